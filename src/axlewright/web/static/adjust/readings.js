// Readings of both setups: what changed first, all of them on request; limits that are near; states of the parts.
import { html, useState } from "../kit/html.js";

const FIRST = ["vehicle_roll", "inside_rear_load", "rear_difference", "understeer_angle", "pitch", "wind_up", "anti_squat", "anti_lift", "cross_weight_change", "front_load_transfer_share"];

/** The table: the first ten always in one order, so that nothing jumps; then what else changed; then all. */
export function Readings({ state, stale, against }) {
  const [all, setAll] = useState(false);
  if (!state) return html`<section class="card readings" aria-label="Readings"></section>`;
  const first = FIRST.map((id) => state.readings.find((one) => one.id === id)).filter(Boolean);
  const others = state.readings.filter((one) => !FIRST.includes(one.id) && one.id !== "balance" && !one.id.startsWith("grip_left"));
  const rest = all ? others : [];
  const more = others.filter((one) => one.words).length;
  return html`
    <section class="card readings" aria-labelledby="readings-name">
      <h2 id="readings-name">Readings</h2>
      <div class="scrolls" tabindex="0" role="region" aria-labelledby="readings-name"><table class=${stale ? "stale" : ""}>
        <thead><tr><th scope="col">reading</th><th scope="col" class="number">${against || "saved"}</th><th scope="col" class="number">now</th><th scope="col" class="number">change</th></tr></thead>
        <tbody>${[...first, ...rest].map((one) => html`<${Row} key=${one.id} one=${one} />`)}</tbody>
      </table></div>
      <button type="button" class="no-print" aria-expanded=${all} onClick=${() => setAll(!all)}>${all ? "Fewer readings" : `All readings (${others.length} more, ${more} of them changed)`}</button>
    </section>`;
}

function Row({ one }) {
  return html`<tr class=${one.words ? "" : "same"}>
    <th scope="row"><a href=${`/help#reading-${one.id}`}>${one.name}</a> <small class="quiet">${one.unit}</small>${
      one.words && html`<small class="words">${one.words.replace(/ -?[0-9.,]+ ?[^ ]*( ft| m\/deg| ft\/deg)?$/, "")}</small>`}</th>
    <td class="number"><span class="column">saved </span>${one.saved}</td><td class="number"><span class="column">now </span><strong>${one.now}</strong></td><td class="number">${one.change}</td></tr>`;
}

/** What is near its end, in words and loudest first. */
export function Near({ limit, stale }) {
  const near = limit ? limit.near : [];
  return html`
    <section class="card near" aria-labelledby="near-name">
      <h2 id="near-name">Near its end</h2>
      ${near.length ? html`<ul class=${stale ? "stale" : ""}>${near.map((one) => html`
        <li><span class=${one.bad ? "stop" : "warn"}>${one.word}</span> ${one.name}: <strong>${one.left}</strong> left <span class="quiet">(was ${one.was})</span></li>`)}</ul>`
        : html`<p class="quiet">${limit ? "Nothing is near its end in this phase." : "Looking..."}</p>`}
    </section>`;
}

/** Seats, springs, stops, slack, lifted, locked, spinning: in words. */
export function States({ state, stale }) {
  if (!state) return html`<section class="card states" aria-label="State of the parts"></section>`;
  return html`
    <section class="card states" aria-labelledby="states-name">
      <h2 id="states-name">State of the parts</h2>
      <ul class=${stale ? "stale" : ""}>${state.states.map((one) => html`
        <li>${one.part}: <strong class=${one.bad ? "stop" : ""}>${one.word}</strong></li>`)}</ul>
      ${state.changed.length > 0 && html`<p class="warn">Changed: ${state.changed.map((one) => `${one.part} from ${one.before} to ${one.now}`).join("; ")}</p>`}
      <p class="quiet">${state.others} others ordinary: wheels rolling, springs seated, stops clear, bars turning.</p>
    </section>`;
}
