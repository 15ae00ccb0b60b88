// What moves the drawing: which state, sliders with numbers beside them, the setup that is compared with, the lines.
import { html, useEffect, useState } from "../kit/html.js";
import { PhaseChooser } from "../kit/parts.js";
import { TAGS } from "./view.js";

const STATES = [["moved", "By hand"], ["held", "Held"], ["rest", "At rest"]];
const AXES = [["road", "on the road"], ["chassis", "chassis still"]];

/** A group of which one is chosen. */
export function OneOf({ name, legend, options, value, onChoose, hidden }) {
  return html`<fieldset class="segments"><legend class=${hidden ? "hidden" : ""}>${legend}</legend>${options.map(([id, words]) => html`
    <label><input type="radio" name=${name} value=${id} checked=${value === id} onChange=${() => onChoose(id)} /><span>${words}</span></label>`)}</fieldset>`;
}

/** Which state is drawn, and what moves it. */
export function Hand({ bench, choices, own, change, pose, put }) {
  return html`<section class="hand" aria-label="What moves it">
    <${OneOf} name="state" legend="State" hidden options=${STATES} value=${own.state} onChoose=${(state) => change({ state })} />
    ${own.state === "moved" && html`<div class="sliders">
      ${choices.movements.map((one) => html`<${Slider} key=${one.id} one=${one} value=${pose[one.id] || 0} put=${(to) => put({ [one.id]: to })} />`)}
      <button type="button" disabled=${choices.movements.every((one) => !pose[one.id])}
        onClick=${() => put(Object.fromEntries(choices.movements.map((one) => [one.id, 0])))}>All as drawn</button>
      ${choices.active.length > 0 && html`<label class="wide">Torque link <select value=${own.active} onChange=${(event) => change({ active: event.target.value })}>
        ${choices.active.map((one) => html`<option value=${one.id}>${one.name}</option>`)}</select></label>`}
      <p class="quiet small-print">${choices.unloaded}</p></div>`}
    ${own.state === "held" && html`<${PhaseChooser} bench=${bench} />`}
    ${own.state === "rest" && html`<p class="quiet">As it stands on scales, springs carrying it.</p>`}
  </section>`;
}

function Slider({ one, value, put }) {
  const shown = value / one.scale;
  const step = one.step / one.scale;
  const digits = one.unit === "in" ? 2 : 1;
  const [typed, setTyped] = useState(null);
  useEffect(() => setTyped(null), [value, one.unit]);
  const text = typed ?? shown.toFixed(digits);
  const type = (event) => {
    setTyped(event.target.value);
    const number = Number.parseFloat(event.target.value);
    if (Number.isFinite(number)) put(Math.min(Math.max(number * one.scale, -0.6), 0.6));
  };
  const name = `${one.name[0].toUpperCase()}${one.name.slice(1)}`;
  const way = value > 0 ? one.more : value < 0 ? one.less : "as drawn";
  return html`<div class="slider" role="group" aria-label=${one.name}>
    <span class="slider-name">${name} <span class="quiet">${way}</span></span>
    <label class="typed"><span class="hidden">${`${name}, ${one.unit}`}</span><input type="number" inputmode="decimal" name=${one.id} step=${step} value=${text}
      onInput=${type} onBlur=${() => setTyped(null)} /> <span aria-hidden="true">${one.unit}</span></label>
    <button type="button" aria-label=${`${name} back to zero`} title="back to zero" disabled=${!value} onClick=${() => put(0)}>0</button>
    <input type="range" aria-label=${`${name}, ${one.less} to ${one.more}, ${one.unit}`} min=${-one.far / one.scale} max=${one.far / one.scale} step=${step} value=${shown}
      aria-valuetext=${`${shown.toFixed(digits)} ${one.unit}, ${way}`}
      onInput=${(event) => put(Math.abs(event.target.value) < step / 2 ? 0 : Number(event.target.value) * one.scale)} />
  </div>`;
}

/** What else is drawn: the other setup, the axes, the centres and lines. */
export function Drawn({ bench, own, change }) {
  const same = JSON.stringify(bench.base) === JSON.stringify(bench.positions);
  const against = bench.against ? (bench.against === "as measured" ? "as measured" : `"${bench.against}"`) : "as written";
  const line = (id, words) => html`<label class="check"><input type="checkbox" checked=${own.lines[id]}
    onChange=${(event) => change({ lines: { ...own.lines, [id]: event.target.checked } })} /> ${words}</label>`;
  return html`<section class="drawn-choices" aria-label="What is drawn">
    <${OneOf} name="axes" legend="Seen" hidden options=${AXES} value=${own.axes} onChoose=${(axes) => change({ axes })} />
    <fieldset><legend>Centres and lines</legend>
      ${line("roll", "roll centres, axis, front-view lines")}${line("drive", TAGS.drive)}${line("brake", TAGS.brake)}${line("front", TAGS.front)}</fieldset>
    <fieldset><legend>Second setup, dotted</legend>
      <label class="check"><input type="checkbox" checked=${own.overlay} onChange=${(event) => change({ overlay: event.target.checked })} /> draw it over this one</label>
      <label class="wide">which <select value=${bench.against} onChange=${(event) => bench.choose({ against: event.target.value })}>
        <option value="">as written</option>
        ${bench.setups.map((one) => html`<option value=${one.name}>${one.name}</option>`)}<option value="as measured">as measured</option></select></label>
      ${own.overlay && same && html`<p class="quiet">The car stands just so (${against}): move something on the page Adjust.</p>`}
    </fieldset></section>`;
}
