// A row's name, and what unfolds below it: how the adjuster is counted, re-checks, cautions, all phases.
import { html } from "../kit/html.js";

/** The row's heading: which step of what, how long it takes and where, and what else there is to say of it. */
export function RowName({ line, look, open, unfold }) {
  const { about } = line;
  return html`<th scope="row">
    <button type="button" class="name" tabindex="-1" data-c="name" aria-expanded=${open} onClick=${unfold}>
      <span class="what">${line.name}</span>
      ${about.cautions.some((one) => one.name === "stored energy") && html`<small class="caution">caution: stored energy</small>`}
      <small class="move">${line.move}</small>
      <small class="quiet">${look.adjuster ? line.held : `${about.minutes_words} min, ${about.place}`}</small>
      ${!line.felt && html`<small class="quiet too-small">too small to feel</small>`}
      ${line.wrong && html`<small class="stop">${line.wrong}</small>`}
      ${line.restoring && html`<small class="restoring">${line.restoring}</small>`}
    </button></th>`;
}

/** All that is known of the row's adjuster. */
export function Unfolded({ line, answer, look, choose, span }) {
  const { about } = line;
  const felt = answer.columns.map((one, i) => [one, line.cells[i] || answer.none]).filter(([, cell]) => cell.value !== 0);
  return html`<tr class="unfolded"><td role="gridcell" colspan=${span}><div class="grid">
    <div><p><strong>${about.name}</strong>, ${line.move}</p>
      <p>${about.now}; one usable step is ${about.step}. ${about.counted}</p>
      <p>Re-check after it: ${about.recheck}.${about.rezero ? "" : " Nothing has to be put right after it."}</p>
      ${about.cautions.map((one) => html`<p class="caution">${one.text}</p>`)}
      ${!look.adjuster && html`<p><button type="button" onClick=${() => choose({ adjuster: line.adjuster, open: "", ways: "both", sort: { by: "car", way: "size" } })}>
        In every phase</button></p>`}</div>
    <ul>${felt.map(([one, cell]) => html`<li>${cell.words}${one.felt && !cell.felt ? html` <span class="quiet">too small to feel</span>` : ""}
      ${cell.sure && html` <span class="quiet">${cell.mark} ${cell.sure}</span>`}</li>`)}
      ${!felt.length && html`<li>no change in these readings</li>`}</ul>
  </div></td></tr>`;
}
