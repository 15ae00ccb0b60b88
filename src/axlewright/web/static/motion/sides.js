// The setups beside each other: as written, as it stands now, named ones, and one step of an adjuster on top of now.
import { html, useState } from "../kit/html.js";
import { LETTERS, MOST, Mark } from "./marks.js";

const COUNTED = ["hole", "turn", "click"];
const STANDARD = [{ kind: "saved" }, { kind: "now" }];
export const FIRST = STANDARD;

const same = (a, b) => a.kind === b.kind && a.name === b.name && a.adjuster === b.adjuster && a.steps === b.steps;

/** Setups as they were chosen, without those that this car does not have. */
export function known(bench, sides) {
  const has = (one) => one.kind === "named" ? bench.setups.some((setup) => setup.name === one.name)
    : one.kind === "step" ? one.adjuster in bench.adjusters : true;
  const found = sides.filter(has).slice(0, MOST);
  return found.length ? found : STANDARD;
}

/** What a setup is called; the step itself is said by the server. */
function nameOf(bench, one) {
  if (one.kind === "saved") return bench.against || "as written";
  return one.kind === "named" ? one.name : "as it stands now";
}

/** Setups as a question carries them: names and positions. */
export function asked(bench, sides) {
  return sides.map((one) => ({
    name: nameOf(bench, one),
    positions: one.kind === "saved" ? bench.base
      : one.kind === "named" ? bench.setups.find((setup) => setup.name === one.name).positions : bench.positions,
    ...(one.kind === "step" ? { adjuster: one.adjuster, steps: one.steps } : {}),
  }));
}

function words(bench, one) {
  if (one.kind !== "step") return nameOf(bench, one);
  const adjuster = bench.adjusters[one.adjuster];
  return `as it stands now, ${adjuster.name} ${one.steps > 0 ? "up" : "down"} ${sized(adjuster, one.steps)}`;
}

function sized({ step, unit }, steps) {
  const size = +(Math.abs(steps) * step).toFixed(6);
  return `${size} ${unit}${size !== 1 && COUNTED.includes(unit) ? "s" : ""}`;
}

/** The list of setups, and what can be put beside them. */
export function Sides({ bench, sides, change }) {
  const full = sides.length >= MOST;
  const add = (one) => !sides.some((other) => same(one, other)) && change([...sides, one]);
  const others = [...STANDARD, ...bench.setups.map(({ name }) => ({ kind: "named", name }))]
    .filter((one) => !sides.some((other) => same(one, other)));
  const unmoved = !bench.against && Object.keys(bench.positions).length === 0
    && sides.length === 2 && sides.every((one) => one.kind === "saved" || one.kind === "now");
  return html`
    <ol class="sides">${sides.map((one, i) => html`<li key=${JSON.stringify(one)}><${Mark} i=${i} />
      <span class="grow">${words(bench, one)}</span>
      <button type="button" disabled=${sides.length === 1} aria-label=${`take away ${LETTERS[i]}, ${words(bench, one)}`}
        onClick=${() => change(sides.filter((_, k) => k !== i))}>×</button></li>`)}</ol>
    ${unmoved && html`<p class="quiet">Nothing is moved on the bench: both are the same car. Put one step beside them.</p>`}
    <div class="row">${others.map((one) => html`
      <button type="button" disabled=${full} onClick=${() => add(one)}>+ ${words(bench, one)}</button>`)}</div>
    <${Step} bench=${bench} full=${full} add=${add} />
    <p class="quiet" role="status">${full
      ? `${MOST} setups are beside each other: take one away to put another there.` : ""}</p>`;
}

function Step({ bench, full, add }) {
  const groups = {};
  for (const one of Object.values(bench.adjusters)) {
    const group = one.acts === "only in motion" ? "dampers" : one.group;
    (groups[group] ||= []).push(one);
  }
  const order = Object.keys(groups).sort((a, b) => (b === "dampers") - (a === "dampers"));
  const [chosen, choose] = useState("");
  const adjuster = chosen in bench.adjusters ? chosen : groups[order[0]][0].id;
  return html`<div class="row step">
    <label for="step-adjuster">One step of</label><select class="grow" id="step-adjuster" value=${adjuster}
      onChange=${(e) => choose(e.target.value)}>
      ${order.map((group) => html`<optgroup label=${group}>${groups[group].map((one) => html`
        <option value=${one.id}>${one.name}, ${sized(one, 1)}</option>`)}</optgroup>`)}</select>
    <button type="button" disabled=${full} onClick=${() => add({ kind: "step", adjuster, steps: -1 })}>+ down</button>
    <button type="button" disabled=${full} onClick=${() => add({ kind: "step", adjuster, steps: 1 })}>+ up</button>
  </div>`;
}
