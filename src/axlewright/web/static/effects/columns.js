// Which readings are columns: as many as fit beside the balance, the last one chosen at a time where not all do.
import { html, useEffect, useLayoutEffect, useMemo, useRef, useState } from "../kit/html.js";
import { ask } from "../kit/ask.js";
import { askedBody } from "../kit/bench.js";

const NAME = 300, NARROW_NAME = 132, COLUMN = 112, NARROW = 620; // px
const MOST = 24;

/** A ref for the grid's place, and the columns (places among the answer's) that fit into it. */
export function useColumns(answer, look) {
  const place = useRef(null);
  const [width, set] = useState(0);
  useLayoutEffect(() => {
    const watch = new ResizeObserver(([one]) => set(Math.round(one.contentRect.width)));
    watch.observe(place.current);
    return () => watch.disconnect();
  }, []);
  const fit = useMemo(() => (answer && width ? fitting(answer.columns, look.beside, width) : []), [answer, look.beside, width]);
  return [place, fit];
}

function fitting(columns, beside, width) {
  const name = width < NARROW ? NARROW_NAME : NAME;
  const room = Math.max(2, Math.floor((width - name) / COLUMN));
  if (columns.length <= room) return columns.map((_, i) => i);
  const first = columns.slice(0, room - 1).map((_, i) => i);
  const other = columns.findIndex((one) => one.id === beside);
  return [...first, other >= room - 1 ? other : room - 1];
}

/** The chooser of columns, and of the one beside where not all fit. */
export function Columns({ look, choose, bench, answer, fit }) {
  const [every, set] = useState([]);
  const [words, setWords] = useState("");
  const digest = bench.car.digest;
  useEffect(() => { ask("/effects/readings", { ...askedBody(bench), positions: {}, base: {} }).then(set).catch(() => {}); }, [digest]);
  if (!answer) return null;
  const columns = answer.columns;
  const now = look.columns.length ? look.columns : columns.map((one) => one.id);
  const left = columns.filter((_, i) => !fit.slice(0, -1).includes(i));
  const flip = (id) => choose({ columns: now.includes(id) ? now.filter((other) => other !== id) : [...now, id].slice(-MOST), beside: id });
  const typed = words.toLowerCase().split(/\s+/);
  const found = every.filter((one) => now.includes(one.id) || typed.every((text) => one.search.includes(text)));
  return html`
    ${fit.length > 0 && fit.length < columns.length && html`<label>Beside <select value=${columns[fit[fit.length - 1]].id}
      onChange=${(event) => choose({ beside: event.target.value })}>
      ${left.map((one) => html`<option value=${one.id}>${one.head}</option>`)}</select></label>`}
    <details><summary>Columns (${columns.length})</summary>
      <div class="card">
        <div class="row"><label>Find a reading <input type="search" value=${words} onInput=${(event) => setWords(event.target.value)} /></label>
          <button type="button" onClick=${() => choose({ columns: [], beside: "" })}>The usual ones</button></div>
        <ul class="reading-list">${found.map((one) => html`<li key=${one.id}><label>
          <input type="checkbox" checked=${now.includes(one.id)} disabled=${now.length === 1 && now[0] === one.id}
            onChange=${() => flip(one.id)} /> ${one.name}${one.costly ? html` <small class="quiet">takes longer</small>` : ""}</label></li>`)}</ul>
      </div></details>`;
}
