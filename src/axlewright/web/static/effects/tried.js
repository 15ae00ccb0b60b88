// What was just tried, with the way back, the restoring moves, and saved against now one tap away.
import { html } from "../kit/html.js";
import { adjusterNow } from "../kit/bench.js";

/** A bar at the foot of the page; its place is always kept. */
export function Tried({ tried, bench, close }) {
  const moves = tried && tried.line ? tried.line.moves : [];
  const restore = () => {
    moves.forEach((one) => bench.put(one.adjuster, adjusterNow(bench, one.adjuster).position + one.counts));
    close();
  };
  return html`<div class=${`tried no-print ${tried ? "full" : ""}`} role="status">
    <p>${words(tried, bench)}</p>
    <div class="row">
      ${moves.length > 0 && html`<button type="button" onClick=${restore}>Restoring moves too (${moves.length})</button>`}
      <button type="button" disabled=${bench.undo_able === false} onClick=${() => { bench.undo(); close(); }}>Undo</button>
      <a class="button" href="/adjust">Saved against now</a>
    </div></div>`;
}

function words(tried, bench) {
  if (!tried) {
    const moved = Object.keys(bench.positions).length;
    return html`<span class="quiet">Tap a number to try its step.${moved ? " The table is of the setup as it stands now." : ""}</span>`;
  }
  if (tried.wait) return `${tried.name} has moved since: wait until the table is of where it stands now.`;
  const same = tried.column.lead;
  return html`<strong>Tried: ${tried.name}, ${tried.move}.</strong> ${tried.cell.words}${same ? "" : `; ${tried.lead.words}`}
    ${tried.cautions.map((one) => html` <small class="caution">${one.text}</small>`)}`;
}
