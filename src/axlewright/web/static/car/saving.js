// Saving: on disk before anything says so, and never over what somebody else has written meanwhile.
import { ask } from "../kit/ask.js";
import { html, useEffect, useRef, useState } from "../kit/html.js";

/** Buttons of the draft, and the comparison when the file on disk is another one by now. */
export function Saving({ draft, look, bench, say }) {
  const [conflict, setConflict] = useState(null);
  const [working, setWorking] = useState(false);
  const { stored } = draft;
  const current = look.answer && look.whole && !look.waiting;
  const can = draft.changed && current && look.answer.ok && !working;
  const file = stored.file || stored.becomes;

  const act = (work) => {
    setWorking(true);
    return work().catch((error) => say(error)).finally(() => setWorking(false));
  };
  const save = (text, was) => act(async () => {
    const found = await ask("/car/save", { text, was });
    if (found.conflict) {
      setConflict({ ...found.conflict, mine: text });
      return;
    }
    setConflict(null);
    await draft.saved();
    await bench.reload();
    say(null, `saved in ${found.file}`);
  });
  const saveNew = () => act(async () => {
    const found = await ask("/car/save-new", { text: draft.text });
    say(null, `saved as a new car file, ${found.file}; it is among the cars that can be put on the bench`);
  });
  const state = !draft.changed ? `${file}: as stored` : !current ? "checking..." : look.answer.ok
    ? "draft: can be used" : `draft: ${counted(look.answer.problems.length, "problem")}`;

  return html`<section class="card saving" aria-label="Draft">
    <p class="state" role="status"><strong class=${draft.changed && current && !look.answer.ok ? "stop" : ""}>${state}</strong>
      ${current && look.answer.warnings.length ? html` <span class="warn">${counted(look.answer.warnings.length, "thing")} unusual</span>` : ""}
      ${draft.fresh ? html` <span class="quiet">${draft.fresh}; not ${file}</span>` : ""}
      ${draft.stale ? html` <span class="warn">the file has changed since this draft began: saving shows what differs</span>` : ""}</p>
    <div class="row no-print">
      <button type="button" class=${draft.fresh ? "" : "main"} disabled=${!can} onClick=${() => save(draft.text, draft.now.current.draft.was)}>${draft.fresh ? `Replace ${file}` : `Save in ${file}`}</button>
      <button type="button" class=${draft.fresh ? "main" : ""} disabled=${!current || !look.answer.ok || working} onClick=${saveNew}>Save as a new car file</button>
      <button type="button" disabled=${!draft.canUndo} onClick=${draft.undo}>Undo</button>
      <button type="button" disabled=${!draft.changed} onClick=${draft.throwAway}>Throw the draft away</button>
    </div>
    ${conflict && html`<${Conflict} conflict=${conflict}
      mine=${() => save(conflict.mine, conflict.digest)}
      theirs=${() => { draft.rebase(conflict.text, conflict.digest); setConflict(null); }}
      later=${() => setConflict(null)} />`}
  </section>`;
}

const counted = (count, word) => `${count} ${count === 1 ? word : `${word}s`}`;
const WHO = { theirs: "on disk", mine: "your draft", same: "", gap: "" };

function Conflict({ conflict, mine, theirs, later }) {
  const head = useRef(null);
  useEffect(() => head.current.focus(), []);
  return html`<div class="conflict" role="region" aria-labelledby="conflict-title">
    <h2 id="conflict-title" tabindex="-1" ref=${head}>${conflict.file || "The file"} has changed on disk since your draft began</h2>
    <p>Nothing has been written. Where they differ:</p>
    <div class="differ" tabindex="0" role="group" aria-label="What differs"><table><tbody>${conflict.differences.map((one) => (one.who === "gap"
      ? html`<tr class="gap"><td colspan="3">from line ${one.line}</td></tr>`
      : html`<tr class=${one.who}><td class="quiet">${WHO[one.who]}</td><td class="number quiet">${one.line}</td><td><code>${one.text}</code></td></tr>`))}</tbody></table></div>
    <div class="row"><button type="button" onClick=${mine}>Write my draft over it</button>
      <button type="button" onClick=${theirs}>Take what is on disk</button>
      <button type="button" class="main" onClick=${later}>Neither yet</button></div>
  </div>`;
}
