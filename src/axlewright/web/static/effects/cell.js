// One number of the grid: signed text, how sure, and a bar to the right for more and to the left for less.
import { html } from "../kit/html.js";

/** A cell that tries its step when it is tapped. */
export function Cell({ column, cell, line, attempt }) {
  const there = cell.value !== 0;
  const small = there && column.felt && !cell.felt;
  const said = [cell.words, small ? "too small to feel" : "", cell.sure, line.wrong].filter(Boolean).join(", ");
  return html`<td role="gridcell" class=${there && !small ? "" : "quiet"}>
    <button type="button" class="cell" tabindex="-1" data-c=${column.id} aria-label=${`${cell.text}${cell.mark}: ${said}. Try ${line.move}`}
      onClick=${attempt}>
      <span class="text">${cell.text}${cell.mark && html`<b class="mark">${cell.mark}</b>`}${line.wrong && html`<b class="stop">!</b>`}</span>
      <${Bar} column=${column} cell=${cell} small=${small} /></button></td>`;
}

function Bar({ column, cell, small }) {
  const share = Math.min(1, Math.abs(cell.value || 0) / column.full);
  const over = Math.abs(cell.value || 0) > column.full * 1.001;
  const way = cell.value > 0 ? "more" : "less";
  const felt = column.felt && cell.value !== 0 ? Math.min(1, column.felt / column.full) * 50 : 0;
  return html`<span class=${`track ${column.lead ? "lead" : ""}`} aria-hidden="true">
    ${felt > 0 && html`<s style=${`left:${50 - felt}%;width:${2 * felt}%`}></s>`}
    ${share > 0 && html`<i class=${`${way} ${over ? "over" : ""} ${small ? "faint" : ""}`} style=${`width:${50 * share}%`}></i>`}</span>`;
}
