// Car: the car file as a form and as text, two views of one draft, with every point in a small drawing.
import { useAnswer } from "../kit/ask.js";
import { mount } from "../kit/frame.js";
import { html, useCallback, useEffect, useMemo, useRef, useState } from "../kit/html.js";
import { Problem } from "../kit/parts.js";
import { show } from "../kit/shown.js";
import { useChanges } from "../car/changes.js";
import { useDraft } from "../car/draft.js";
import { Drawing } from "../car/drawing.js";
import { Files, importFile } from "../car/files.js";
import { Form } from "../car/form.js";
import { groupsAbove, placed, within } from "../car/paths.js";
import { Saving } from "../car/saving.js";
import { Text } from "../car/text.js";

const REST = 250; // ms without a key until a draft is looked at
const VIEWS = [["form", "Form"], ["text", "Text"], ["drawing", "Points"]];
const KEPT = { message: "The bench can't be reached. What you typed is kept in this browser and goes into the text when it is back." };
const NOTHING = { problems: [], warnings: [], form: null, outline: null };

function CarPage({ bench }) {
  const draft = useDraft(bench);
  const [opened, setOpened] = useState([]);
  const [unfolded, setUnfolded] = useState(() => new Set());
  const [focus, setFocus] = useState("");
  const [view, setView] = useState("form");
  const [line, setLine] = useState({ number: 0, at: 0 });
  const [goal, setGoal] = useState(null);
  const changes = useChanges(draft, opened);
  const body = draft.stored ? { text: draft.text, opened } : null;
  const first = useRef(true);
  const asked = useAnswer("/car/look", body, { wait: first.current || draft.now.current.rested ? 0 : REST });
  if (asked.answer) first.current = false;
  const answer = asked.answer || NOTHING;
  const form = useLast(answer.form);
  const outline = useLast(answer.outline);
  const broken = !!asked.answer && !answer.form; // no TOML: the last form is shown, and can't be used
  const settled = !!body && !asked.stale && !changes.busy;

  const say = useCallback((error, words) => bench.tell(error ? { kind: "stop", text: sentence(error) } : { kind: "ok", text: words }), []);
  const messages = useMemo(() => [...answer.problems.map((one) => ({ ...one, bad: true })), ...answer.warnings], [answer]);
  const beside = useMemo(() => (form ? placed(messages, form) : new Map()), [messages, form]);
  const bad = useMemo(() => answer.problems.map((one) => one.path), [answer]);
  useEffect(() => { if (settled) changes.settle(document.activeElement?.id?.replace(/^field-/, "")); }, [settled, answer]);
  useDropped(draft, say);

  const unfold = useCallback((group, open) => {
    setUnfolded((old) => {
      const next = new Set(old);
      if (open) next.add(group.path); else next.delete(group.path);
      return next;
    });
    if (!group.given) setOpened((old) => (open ? [...new Set([...old, group.path])] : old.filter((path) => path !== group.path)));
  }, []);
  const toField = useCallback((path) => {
    setView("form");
    setFocus(path);
    setUnfolded((old) => new Set([...old, ...groupsAbove(path, form)]));
    setGoal(path);
  }, [form]);
  const toLine = useCallback((number) => {
    setView("text");
    setLine({ number, at: performance.now() });
  }, []);
  useEffect(() => {
    if (!goal) return;
    const place = document.getElementById(`field-${goal}`) || document.getElementById(`field-${goal}[1]`) || document.getElementById(`group-${goal}`);
    if (place) {
      place.scrollIntoView({ block: "center" });
      place.focus({ preventScroll: true });
    }
    setGoal(null);
  }, [goal, unfolded]);

  useEffect(() => show({
    title: "Car", settled: settled || !!asked.error, text: draft.text, changed: draft.changed, ok: !!answer.ok, broken, focus,
    problems: answer.problems.map((one) => [one.path, one.line]), warnings: answer.warnings.map((one) => one.path),
    dots: outline ? outline.dots.length : 0, stored: draft.stored ? draft.stored.digest : "",
  }));

  if (!draft.stored || !form) {
    return html`<h1>Car</h1><${Problem} error=${draft.error || asked.error} again=${asked.again} />
      ${broken && html`<${Saving} draft=${draft} look=${{ answer: asked.answer, whole: settled }} bench=${bench} say=${say} />
      <${Listed} messages=${messages} toLine=${toLine} />
      <${Text} text=${draft.text} messages=${messages} line=${line} onEdit=${(next) => draft.edit(next)} />`}`;
  }
  const page = {
    problems: answer.problems, warnings: answer.warnings, placed: beside, typed: changes.typed, refused: changes.refused,
    units: bench.units, locked: broken, unfolded, unfold, focus: setFocus, type: changes.type, leave: changes.leave, toLine,
    left: (path, said, was) => { if (said.trim() !== was.trim() || path in changes.typed) changes.leave(path, said); },
  };
  return html`
    <div class="head row"><h1 class="grow">Car: ${bench.car.name}</h1>
      <fieldset class="segments no-print"><legend class="hidden">Units beside each value</legend>${[["metric", "SI"], ["us", "US"]].map(([value, words]) => html`
        <label><input type="radio" name="beside" checked=${bench.units === value} onChange=${() => bench.choose({ units: value })} /><span>${words} beside</span></label>`)}</fieldset></div>
    <${Saving} draft=${draft} look=${{ answer: asked.answer, whole: settled }} bench=${bench} say=${say} />
    <${Files} draft=${draft} bench=${bench} say=${say} />
    <${Problem} error=${changes.lost ? KEPT : asked.error} again=${changes.lost ? null : asked.again} />
    <${Listed} messages=${messages.filter((one) => one.bad)} toLine=${toLine} toField=${broken ? null : toField} />
    <fieldset class="segments which no-print"><legend class="hidden">View</legend>${VIEWS.map(([key, words]) => html`
      <label><input type="radio" name="view" checked=${view === key} onChange=${() => setView(key)} /><span>${words}</span></label>`)}</fieldset>
    <div class=${`views show-${view}`}>
      <section class=${`view-form ${broken || asked.error ? "stale" : ""}`} aria-label="Form">
        ${broken && html`<p class="stop">The text can't be read: mend it there first; the form is as it was before.</p>`}
        <${Form} form=${form} page=${page} /></section>
      <div class="beside-form">
        <section class=${`view-drawing ${broken ? "stale" : ""}`} aria-label="Points">
          <p class="picked quiet" role="status">${focus && outline.dots.some((one) => within(one.path, focus) || within(focus, one.path)) ? focus : "Tap a point to go to its field."}</p>
          <${Drawing} outline=${outline} focus=${focus} bad=${bad} onPick=${toField} /></section>
        <section class="view-text" aria-label="Text">
          <${Text} text=${draft.text} messages=${messages} line=${line} onEdit=${(next) => draft.edit(next)} /></section>
      </div>
    </div>`;
}

/** Every problem in one list, which leads to its field and its line; its place is small when there is none. */
function Listed({ messages, toLine, toField }) {
  if (!messages.length) return null;
  return html`<section class="card listed" aria-label="Problems"><ul>${messages.map((one) => html`<li>
    <code>${one.path}</code>: found ${one.found}; expected ${one.expected}. Likeliest fix: ${one.fix}.
    ${toField && one.path !== "(file)" && html`<button type="button" class="small" onClick=${() => toField(one.path)}>field</button>`}
    ${one.line && html`<button type="button" class="small" onClick=${() => toLine(one.line)}>line ${one.line}</button>`}</li>`)}</ul></section>`;
}

function useLast(value) {
  const last = useRef(null);
  if (value) last.current = value;
  return last.current;
}

const sentence = (error) => (error.problems && error.problems.length
  ? error.problems.map((one) => `${one.path}: found ${one.found}; expected ${one.expected}`).join("; ") : error.message);

/** A car file dropped anywhere on the page becomes the draft. */
function useDropped(draft, say) {
  useEffect(() => {
    const over = (event) => event.preventDefault();
    const drop = (event) => {
      event.preventDefault();
      const [file] = event.dataTransfer.files;
      if (file) importFile(file).then((text) => draft.begin(text, `imported from ${file.name}`)).catch(say);
    };
    document.addEventListener("dragover", over);
    document.addEventListener("drop", drop);
    return () => {
      document.removeEventListener("dragover", over);
      document.removeEventListener("drop", drop);
    };
  }, []);
}

mount("car", CarPage);
