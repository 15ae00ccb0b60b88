// Which rows: steps up or down, alone or put right, what can be done where and in what time, and search.
import { html, useEffect, useState } from "../kit/html.js";

const PLACES = ["grid", "pits", "scales", "workshop"];
const MINUTES = [1, 2, 3, 5, 8, 10, 15, 30, 60, 120];
const WAYS = [["up", "up"], ["down", "down"], ["both", "both"]];
const KINDS = [["as-turned", "as turned"], ["put-right", "put right"]];

/** The rows' choices; on a phone the rarer ones are folded. */
export function Choices({ look, choose, answer, bench }) {
  const narrow = useNarrow();
  const groups = [...new Set(Object.values(bench.adjusters).map((one) => one.group))];
  const onGrid = look.place === "grid" && look.minutes === 5;
  const count = [look.place, look.minutes, look.group, look.feltOnly, narrow && look.words, narrow && look.kind === "put-right"].filter(Boolean).length;
  const steps = html`<${Segments} name="ways" legend="One step" each=${WAYS} value=${look.ways} take=${(ways) => choose({ ways })} />`;
  const first = html`
    <${Segments} name="kind" legend="As turned or put right" each=${KINDS} value=${look.kind} take=${(kind) => choose({ kind })} />
    ${!look.adjuster && html`
      <label class="grow find"><span class="hidden">Find an adjuster</span><input type="search" placeholder="find, e.g. sway bar" value=${look.words}
        onInput=${(event) => choose({ words: event.target.value })} /></label>
      <button type="button" aria-pressed=${onGrid} onClick=${() => choose(onGrid ? { place: "", minutes: 0 } : { place: "grid", minutes: 5 })}>
        On the grid in five minutes</button>`}`;
  const more = !look.adjuster && html`
        <label>Place <select value=${look.place} onChange=${(event) => choose({ place: event.target.value })}>
          <option value="">anywhere</option>${PLACES.map((one) => html`<option>${one}</option>`)}</select></label>
        <label>Time <select value=${look.minutes} onChange=${(event) => choose({ minutes: Number(event.target.value) })}>
          <option value="0">any</option>${MINUTES.map((one) => html`<option value=${one}>${one} min</option>`)}</select></label>
        <label>On the car <select value=${look.group} onChange=${(event) => choose({ group: event.target.value })}>
          <option value="">all of it</option>${groups.map((one) => html`<option>${one}</option>`)}</select></label>
        <label>Order <select value=${`${look.sort.by}|${look.sort.way}`} onChange=${(event) => {
          const [by, way] = event.target.value.split("|");
          choose({ sort: { by, way }, again: look.again + 1 });
        }}>${orders(answer).map(([value, words]) => html`<option value=${value}>${words}</option>`)}</select></label>
        <label><input type="checkbox" checked=${look.feltOnly} onChange=${(event) => choose({ feltOnly: event.target.checked })} />
          ${" "}only what can be felt</label>`;
  return html`<div class="row effects-choices no-print" role="group" aria-label="Rows">${steps}${!narrow && first}
    ${(narrow || more) && html`<details class="more"><summary>${narrow ? "Which rows" : "More"}${count ? ` (${count} set)` : ""}</summary>
      <div class="row card">${narrow && first}${more}</div></details>`}</div>`;
}

/** Whether the screen is a phone's. */
function useNarrow() {
  const asked = window.matchMedia("(max-width: 760px)");
  const [narrow, set] = useState(asked.matches);
  useEffect(() => {
    const turn = () => set(asked.matches);
    asked.addEventListener("change", turn);
    return () => asked.removeEventListener("change", turn);
  }, []);
  return narrow;
}

function orders(answer) {
  const columns = answer ? answer.columns : [];
  return [["car|size", "as on the car"], ["minutes|size", "quickest first"],
    ...columns.flatMap((one) => [[`${one.id}|size`, `${one.head}: largest first`], [`${one.id}|more`, `${one.more} first`],
      [`${one.id}|less`, `${one.less} first`]])];
}

function Segments({ name, legend, each, value, take }) {
  return html`<fieldset class="row"><legend class="hidden">${legend}</legend>
    ${name === "ways" && html`<span aria-hidden="true">Step</span>`}
    <span class="segments">${each.map(([one, words]) => html`<label><input type="radio" name=${name} value=${one}
      checked=${one === value} onChange=${() => take(one)} /><span>${words}</span></label>`)}</span></fieldset>`;
}
