// Linkage: drawings of everything that links wheels to chassis, moved by hand or held, and readings through travel.
import { html, useCallback, useEffect, useMemo, useState } from "../kit/html.js";
import { askedBody } from "../kit/bench.js";
import { useAnswer } from "../kit/ask.js";
import { mount } from "../kit/frame.js";
import { keep, kept } from "../kit/kept.js";
import { Cautions, Problem, Progress } from "../kit/parts.js";
import { show } from "../kit/shown.js";
import { Curve, CurveChooser } from "../linkage/curve.js";
import { Drawn, Hand } from "../linkage/hand.js";
import { Sheet } from "../linkage/sheet.js";
import { AtCursor, CentreWords, CurveTable, Key, Links, Said } from "../linkage/words.js";

const LATE = 250; // ms; an answer that is older than what is asked for longer than this is dimmed
const OWN = {
  state: "moved", view: "all", axes: "road", active: "drive", overlay: true, movement: "bump", reading: "",
  lines: { roll: true, drive: true, brake: true, front: false },
};

function useLate(stale) {
  const [late, set] = useState(false);
  useEffect(() => {
    if (!stale) return set(false);
    const timer = setTimeout(() => set(true), LATE);
    return () => clearTimeout(timer);
  }, [stale]);
  return late;
}

function Linkage({ bench }) {
  const [own, setOwn] = useState({ ...OWN, ...kept("linkage", {}) });
  const [pose, setPose] = useState({});
  const [marked, mark] = useState(null);
  const change = useCallback((more) => setOwn((old) => {
    const now = { ...old, ...more };
    keep("linkage", now);
    return now;
  }), []);
  const put = useCallback((more) => setPose((old) => ({ ...old, ...more })), []);

  const body = askedBody(bench);
  const { answer: choices, error: refused } = useAnswer("/linkage/choices", body && { ...body, base: {} });
  const movement = choices && (choices.movements.find((one) => one.id === own.movement) || choices.movements[0]);
  const reading = choices && (choices.readings.find((one) => one.id === own.reading) || choices.readings.find((one) => one.id === choices.first));
  const moves = choices && Object.fromEntries(choices.movements.map((one) => [one.id, pose[one.id] || 0]));
  const active = choices && choices.active.length ? own.active : "drive";
  const posed = choices && { ...body, ...moves, active, overlay: own.overlay, readings: [reading.id] };
  const held = { state: own.state, axes: own.axes, phase: own.state === "held" ? bench.phase : "", turn: own.state === "held" ? bench.turn : "left" };
  const seen = useAnswer("/linkage/seen", posed && { ...posed, ...held });
  const swept = useAnswer("/linkage/swept", posed && { ...posed, [movement.id]: 0, movement: movement.id });
  const { late, lateCurve } = { late: useLate(seen.stale), lateCurve: useLate(swept.stale) };
  const links = useMemo(() => Object.fromEntries((seen.answer?.links || []).map((link) => [link.path, link])), [seen.answer]);

  useEffect(() => show({
    title: "Linkage", own, pose, units: bench.units, said: seen.answer?.said, reads: seen.answer?.values[0]?.id, curve: swept.answer?.curves[0]?.id, settled: !!seen.answer && !seen.stale && !!swept.answer && !swept.stale,
    seen: seen.answer, swept: swept.answer, problem: (seen.error || swept.error || refused)?.message || "",
  }));
  if (!choices) return html`<h1>Linkage</h1><${Problem} error=${refused} /><p class="quiet" role="status">Reading the linkage...</p>`;
  const answer = seen.answer;
  return html`<div class="linkage">
    <div class="rail">
      <h1>Linkage</h1>
      <${Hand} bench=${bench} choices=${choices} own=${own} change=${change} pose=${pose} put=${put} />
      <details class="more" open=${window.innerWidth > 760}><summary>What is drawn</summary><${Drawn} bench=${bench} own=${own} change=${change} /></details>
    </div>
    <div class="board">
      <${Problem} error=${seen.error} again=${seen.error?.lost ? null : seen.again} />
      <${Progress} progress=${seen.progress} />
      <${Sheet} answer=${answer} base=${answer?.base} links=${links} lines=${own.lines} marked=${marked} onMark=${mark}
        chosen=${own.view} onChoose=${(view) => change({ view })} dimmed=${late || !!seen.error} car=${bench.car.digest}>
        ${answer && html`<${Said} answer=${answer} link=${links[marked]} />`}</${Sheet}>
    </div>
    <section class="through" aria-label="Readings through travel">
      <${CurveChooser} choices=${choices} own=${{ ...own, reading: reading.id, movement: movement.id }} change=${change} />
      <${AtCursor} value=${answer?.values.find((one) => one.id === reading.id)} said=${answer?.said} state=${own.state} />
      <${Problem} error=${swept.error} again=${swept.error?.lost ? null : swept.again} />
      <${Curve} swept=${swept.answer} reading=${reading} movement=${movement} at=${own.state === "moved" ? moves[movement.id] : null}
        onPut=${(to) => put({ [movement.id]: to })} dimmed=${lateCurve || !!swept.error} />
      ${(swept.answer?.reasons || []).map((reason) => html`<p class="warn">${reason}</p>`)}
      <p class="quiet small-print">Higher is ${reading.more}. Source: ${reading.source}.</p>
      <${CurveTable} swept=${swept.answer} reading=${reading} movement=${movement} />
    </section>
    ${answer && html`<section class="drawn-words" aria-label="What is drawn, in words"><${Key} loaded=${own.state !== "moved"} overlay=${!!answer.base} />
      <${CentreWords} centres=${answer.centres} lines=${own.lines} /></section>`}
    ${answer && html`<${Links} links=${answer.links} marked=${marked} onMark=${mark} first=${answer.cautions[0]} />
      <${Cautions} texts=${answer.cautions.slice(1)} />`}
  </div>`;
}

mount("linkage", Linkage);
