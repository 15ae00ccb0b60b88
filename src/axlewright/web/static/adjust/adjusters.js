// Adjusters by where they sit on the car: a plan to tap, and a big minus and plus for each.
import { html, useState } from "../kit/html.js";
import { adjusterNow } from "../kit/bench.js";
import { keep, kept } from "../kit/kept.js";

const PLACES = [
  ["front left", "left front"], ["front", "front"], ["front right", "right front"],
  ["cockpit", "cockpit"], ["whole car", "whole car"],
  ["rear left", "left rear"], ["rear", "rear"], ["rear right", "right rear"],
  ["axle", "axle and its links"],
];

/** The plan and the adjusters of the place that is tapped, or those that a word finds, or those that have moved. */
export function Adjusters({ bench }) {
  const [place, setPlace] = useState(kept("place", "rear"));
  const [word, setWord] = useState("");
  const every = Object.values(bench.adjusters).map((one) => adjusterNow(bench, one.id));
  const listed = every.filter((one) => !one.off && (word ? fits(one, word) : place === "moved" ? one.moved : one.group === place));
  const choose = (to) => { keep("place", to); setPlace(to); setWord(""); };
  return html`
    <section class="adjusters" aria-labelledby="adjusters-name">
      <h2 id="adjusters-name" class="hidden">Adjusters</h2>
      <div class="plan" role="group" aria-label="Where on the car">
        <svg viewBox="0 0 200 130" aria-hidden="true" preserveAspectRatio="none"><path d="M60 8 Q100 -4 140 8 L146 40 L140 70 L146 100 L136 124 Q100 130 64 124 L54 100 L60 70 L54 40 Z" /></svg>
        ${PLACES.map(([id, words]) => html`<${Place} id=${id} words=${words} every=${every} chosen=${!word && place === id} choose=${choose} />`)}
      </div>
      <div class="row find">
        <label class="grow"><span class="hidden">Find an adjuster</span><input type="search" placeholder="find an adjuster" value=${word} onInput=${(event) => setWord(event.target.value)} /></label>
        <button type="button" aria-pressed=${!word && place === "moved"} onClick=${() => choose("moved")}>Moved (${every.filter((one) => one.moved && !one.made_of.length).length})</button>
      </div>
      <ul class="list">${listed.map((one) => html`<${Stepper} key=${one.id} one=${one} bench=${bench} />`)}</ul>
      ${!listed.length && html`<p class="quiet">${word ? `Nothing is called "${word}" here.` : place === "moved" ? "Nothing has been moved." : "Nothing adjusts here on this car."}</p>`}
    </section>`;
}

function fits(one, word) {
  const text = `${one.name} ${one.id} ${one.note} ${one.family}`.toLowerCase().replaceAll("_", " ");
  return word.toLowerCase().split(/\s+/).filter(Boolean).every((part) => text.includes(part));
}

function Place({ id, words, every, chosen, choose }) {
  const own = every.filter((one) => one.group === id && !one.off);
  const moved = own.filter((one) => one.moved).length;
  return html`<button type="button" class=${`place ${id.replace(" ", "-")}`} aria-pressed=${chosen} disabled=${!own.length}
    onClick=${() => choose(id)}>${words}${moved > 0 && html` <span class="moved" aria-label=${`${moved} moved`}>${moved}</span>`}</button>`;
}

function Stepper({ one, bench }) {
  const step = `${one.step} ${one.unit}`.trim();
  const down = one.position - one.step >= one.lo - 1e-6;
  const up = one.position + one.step <= one.hi + 1e-6;
  const saidNow = one.said || `${Number(one.position.toFixed(4))} ${one.unit}`;
  const key = (event) => {
    const way = { "+": 1, "=": 1, "-": -1 }[event.key];
    if (way && event.target.tagName !== "INPUT") { event.preventDefault(); bench.move(one.id, way); }
  };
  return html`
    <li><div class=${`adjuster ${one.moved ? "is-moved" : ""}`} role="group" aria-label=${one.name} onKeyDown=${key} data-adjuster=${one.id}>
      <h3>${one.name} ${one.moved && html`<span class="mark">moved, was ${bench.adjusters[one.id].said}</span>`}</h3>
      <div class="stepper">
        <button type="button" class="step" disabled=${!down} aria-label=${`${one.name}: ${step} less`} onClick=${() => bench.move(one.id, -1)}>−</button>
        <p><output>${saidNow}</output>${one.waiting && html` <small class="warn">waits</small>`}<small class="quiet">${one.unit === "hole"
          ? `of ${one.lo} to ${one.hi}` : `${round(one.lo)} to ${round(one.hi)}`}, by ${step}</small></p>
        <button type="button" class="step" disabled=${!up} aria-label=${`${one.name}: ${step} more`} onClick=${() => bench.move(one.id, 1)}>+</button>
      </div>
      <p class="quiet about">${one.minutes} min, ${bench.words.places[one.place].split(": ")[1]}; ${one.reference}${one.acts === "held" ? "" : html`. <a href="/motion">Acts only in motion</a>`}</p>
      ${one.moved && one.cautions.map((code) => html`<p class="caution">${bench.words.cautions[code]}</p>`)}
    </div></li>`;
}

const round = (value) => Number(value.toFixed(3));
