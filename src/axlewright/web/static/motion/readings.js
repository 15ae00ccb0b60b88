// Readings of the runs: setups by readings, in the words and digits of the command line.
import { html, useState } from "../kit/html.js";
import { Mark } from "./marks.js";

/** The table; details only when asked for. */
export function Readings({ answer }) {
  const [all, setAll] = useState(false);
  const rows = answer.table.filter((row) => all || !row.detail);
  return html`
    <div class="row"><h2 id="readings">Readings</h2><label class="tick"><input type="checkbox" checked=${all}
      onChange=${(e) => setAll(e.target.checked)} /> every reading, details too</label></div>
    <div class="scroll" role="region" aria-labelledby="readings" tabindex="0"><table class="readings">
      <thead><tr><th scope="col">reading</th>${answer.names.map((name, i) => html`
          <th scope="col" class="number"><${Mark} i=${i} /><br />${name}</th>`)}<th scope="col">unit</th><th scope="col">more is</th></tr></thead>
      <tbody>${rows.map((row) => html`<tr key=${row.id} data-reading=${row.id}><th scope="row">${row.name}</th>
        ${row.shown.map((text, i) => html`<td class="number"><span class="shown">${text}</span>${
          row.changes[i] && html`<small class="quiet">${row.changes[i]}</small>`}</td>`)}
        <td>${row.unit}</td><td>${row.more}</td></tr>`)}</tbody></table></div>
    <p class="quiet">A dash: this setup has no such reading. Small words: against the first setup.</p>
    ${answer.dampers && html`<${Dampers} answer=${answer} />`}`;
}

function Dampers({ answer }) {
  const { ranges, cars } = answer.dampers;
  return html`<details class="dampers"><summary>Damper speeds: share of time, %</summary>${cars.map((car, i) => html`
    <h3><${Mark} i=${i} /> ${answer.names[i]}</h3>
    <div class="scroll" role="region" aria-label=${`damper speeds of ${answer.names[i]}`} tabindex="0"><table>
      <thead><tr><th scope="col">mm/s</th>${Object.keys(car).map((name) => html`
        <th scope="col" class="number">${name}</th>`)}</tr></thead>
      <tbody>${ranges.map((words, k) => html`<tr><th scope="row">${words}</th>${Object.values(car).map((shares) => html`
        <td class="number">${shares[k]}</td>`)}</tr>`)}</tbody>
    </table></div>`)}</details>`;
}
