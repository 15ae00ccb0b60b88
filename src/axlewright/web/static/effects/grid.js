// The grid: a step a row, a reading a column; arrows move in it, Enter tries a step or sorts by a heading.
import { html, useLayoutEffect, useRef } from "../kit/html.js";
import { Cell } from "./cell.js";
import { turned } from "./look.js";
import { RowName, Unfolded } from "./rows.js";
import { held, onKey, settle } from "./walk.js";

const WAYS = { size: "largest first", more: "first", less: "first" };

/** The table with its headings, its steps and the steps that aren't there. */
export function Grid({ answer, found, fit, look, choose, attempt }) {
  const grid = useRef(null);
  useLayoutEffect(() => settle(grid.current));
  const columns = fit.map((i) => answer.columns[i]);
  const sortBy = (by) => choose({ sort: turned(look.sort, by), again: look.again + 1 });
  return html`
    <table ref=${grid} class=${`effects ${columns.length <= 2 ? "few" : ""}`} role="grid" aria-label="What one step of each adjuster changes"
      aria-rowcount=${found.shown.length + 1} aria-colcount=${columns.length + 1} onKeyDown=${(event) => onKey(event, grid.current)}
      onFocusIn=${(event) => held(grid.current, event)}>
      <thead><tr data-r="">
        <th scope="col" aria-sort=${look.sort.by === "minutes" ? "ascending" : "none"}><${Heading} id="minutes" sort=${look.sort} sortBy=${sortBy}
          head=${look.adjuster ? "phase" : "step, minutes and place"} words=${look.sort.by === "minutes" ? "quickest first" : ""} /></th>
        ${columns.map((one) => html`<th scope="col" key=${one.id} aria-sort=${look.sort.by === one.id ? (look.sort.way === "less" ? "ascending" : "descending") : "none"}>
          <${Heading} id=${one.id} sort=${look.sort} sortBy=${sortBy} head=${one.head} unit=${one.unit}
            words=${look.sort.by === one.id ? way(one, look.sort.way) : ""} title=${one.felt_words} /></th>`)}
      </tr></thead>
      <tbody>${found.shown.map((line) => html`<${Row} key=${line.key} line=${line} fit=${fit} answer=${answer} look=${look}
        choose=${choose} attempt=${attempt} open=${look.open === line.key} />`)}
        ${found.absent.map((one) => html`<tr key=${one.key} class="absent"><th scope="row" class="quiet">${one.about.name}</th>
          <td role="gridcell" colspan=${columns.length} class="quiet">no step: ${one.reason}</td></tr>`)}
      </tbody>
    </table>
    ${!found.shown.length && html`<p class="quiet">Nothing to show: ${look.feltOnly
      ? "no step here can be felt; show the others too" : "no adjuster fits these choices; search by other words, or choose less"}.</p>`}`;
}

const way = (column, sorted) => (sorted === "size" ? WAYS.size : `${sorted === "more" ? column.more : column.less} ${WAYS[sorted]}`);

function Heading({ id, head, unit, words, sortBy, title }) {
  return html`<button type="button" class="heading" tabindex="-1" data-c=${id} title=${title || undefined} onClick=${() => sortBy(id)}>
    <span>${head}</span>${unit ? html` <small class="quiet">${unit}</small>` : ""}<small class="sorted">${words && `↓ ${words}`}</small></button>`;
}

function Row({ line, fit, answer, look, choose, attempt, open }) {
  return html`
    <tr data-r=${line.key} class=${line.felt ? "" : "small"}>
      <${RowName} line=${line} look=${look} open=${open} unfold=${() => choose({ open: open ? "" : line.key })} />
      ${fit.map((i) => html`<${Cell} key=${answer.columns[i].id} column=${answer.columns[i]} cell=${line.cells[i] || answer.none}
        line=${line} attempt=${() => attempt(line, i)} />`)}
    </tr>
    ${open && html`<${Unfolded} line=${line} answer=${answer} look=${look} choose=${choose} span=${fit.length + 1} />`}`;
}
