// Small things that every page shows alike.
import { html } from "./html.js";

/** How far a long answer is; nothing before a second has gone, and its place is reserved. */
export function Progress({ progress }) {
  return html`<div class="progress-place" role="status">${progress && html`
    <label><span>${progress.what}</span> <progress max=${progress.of || 1} value=${progress.done}></progress></label>`}</div>`;
}

/** What went wrong, in its own words; the last answer stays below it. */
export function Problem({ error, again }) {
  if (!error) return null;
  const listed = (error.problems || []).filter((one) => one.path);
  return html`<div class="problem" role="alert">
    ${listed.length ? html`<ul>${listed.map((one) => html`<li><code>${one.path}</code>: found ${one.found}${one.expected
      ? `; expected ${one.expected}` : ""}. ${one.fix ? `Likeliest fix: ${one.fix}.` : ""}</li>`)}</ul>` : html`<p>${error.message}</p>`}
    ${again && html`<button type="button" onClick=${again}>Try again</button>`}</div>`;
}

/** Cautions, one line each, quiet and always there. */
export function Cautions({ texts }) {
  return html`<ul class="cautions" aria-label="Cautions">${texts.map((text) => html`<li>${text}</li>`)}</ul>`;
}

/** Which held manoeuvre, and to which side. */
export function PhaseChooser({ bench }) {
  return html`<div class="row phase-chooser">
    <label>Phase <select value=${bench.phase} onChange=${(event) => bench.choose({ phase: event.target.value })}>
      ${bench.phases.map((one) => html`<option value=${one.name}>${one.name}</option>`)}</select></label>
    <fieldset class="segments" disabled=${bench.turns.length < 2}><legend class="hidden">Turn</legend>${bench.turns.map((turn) => html`
      <label><input type="radio" name="turn" value=${turn} checked=${bench.turn === turn}
        onChange=${() => bench.choose({ turn })} /><span>${turn}</span></label>`)}</fieldset>
  </div>`;
}
