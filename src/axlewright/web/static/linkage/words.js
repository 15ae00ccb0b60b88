// Everything that is drawn, in words: the state, the value at the cursor, the centres, and every link by number.
import { html } from "../kit/html.js";
import { TAGS, carried } from "./view.js";

const SIGN = { pull: "+", push: "\u2212", idle: "0" };

/** Which state is drawn, and what went short. */
export function Said({ answer, link }) {
  const told = link && `${link.number} ${link.name}${link.said ? `: ${link.said}` : ""}${link.state ? ` (${link.state})` : ""}`;
  return html`<div class="said"><p><strong>${answer.said}</strong> <span class="quiet">${told || ""}</span></p>
    ${answer.short && html`<p class="stop" role="alert">${answer.short}. The furthest state on the way there is drawn.</p>`}
    ${answer.base_short && html`<p class="warn">The second setup: ${answer.base_short}.</p>`}</div>`;
}

/** A reading where the slider is. */
export function AtCursor({ value, said, state }) {
  if (!value) return html`<p class="at-cursor quiet">-</p>`;
  const none = state === "moved" ? "no value where the linkage does not reach" : "not read in this state: move the wheels by hand to see it";
  return html`<p class="at-cursor" role="status"><span class="quiet">${value.name}, ${said}</span>
    <strong class="value">${value.text || "-"}</strong>
    <span class="quiet">${value.text ? (value.base && `second setup ${value.base}: ${value.change}`) : none}</span></p>`;
}

/** The curve as a table, for who reads or prints numbers. */
export function CurveTable({ swept, reading, movement }) {
  const found = swept && swept.movement === movement.id && swept.curves.find((one) => one.id === reading.id);
  if (!found) return null;
  const unit = (one) => (one.unit ? `${one.name}, ${one.unit}` : one.name);
  return html`<details class="more"><summary>As a table</summary><table>
    <thead><tr><th scope="col" class="number">${unit(movement)}</th><th scope="col" class="number">${unit(reading)}</th>
      ${found.base && html`<th scope="col" class="number">second setup</th>`}</tr></thead>
    <tbody>${found.rows.map((row) => html`<tr>${row.map((text, i) => (i ? html`<td class="number">${text}</td>` : html`<th scope="row" class="number">${text}</th>`))}</tr>`)}</tbody></table></details>`;
}

/** Centres and lines that are drawn, in numbers. */
export function CentreWords({ centres, lines }) {
  const side = ["drive", "brake", "front"].filter((one) => lines[one]);
  return html`<dl class="centre-words">
    ${lines.roll && ["front", "rear", "axis"].map((key) => html`<div><dt>${centres[key].name}</dt><dd>${centres[key].text}</dd></div>`)}
    ${lines.roll && Object.keys(centres).filter((key) => key.startsWith("front_")).map((key) => html`<div><dt>${centres[key].name}</dt>
      <dd>${centres[key].text}, instant centre ${centres[key].height} above the tyre's contact</dd></div>`)}
    ${side.map((key) => html`<div><dt>${TAGS[key]}: ${centres[`side_${key}`].name}</dt>
      <dd>${centres[`side_${key}`].text}, swing arm ${centres[`side_${key}`].arm}</dd></div>`)}</dl>`;
}

/** How links are drawn. */
export function Key({ loaded, overlay }) {
  const item = (name, words) => html`<li><svg viewBox="0 0 44 10" width="44" height="10" aria-hidden="true"><g class=${`rod link ${name}`}><path d="M2 5H42" /></g></svg> ${words}</li>`;
  return html`<ul class="key" aria-label="Key">
    ${loaded ? [item("pull", "+ pulls"), item("push", "\u2212 pushes"), item("idle", "carries nothing")] : item("free", "link, no force known")}
    ${overlay && html`<li><svg viewBox="0 0 44 10" width="44" height="10" aria-hidden="true"><g class="behind"><path d="M2 5H42" /></g></svg> second setup</li>`}</ul>`;
}

/** Every link by its number in the drawings, with what has to be known of the forces first. */
export function Links({ links, marked, onMark, first }) {
  return html`<section class="links" aria-label="Links by number"><h2>Links by number</h2><p class="caution">${first}</p><ol>${links.map((link) => html`
    <li><button type="button" class=${`link-row ${carried(link)}`} aria-pressed=${marked === link.path} onClick=${() => onMark(marked === link.path ? null : link.path)}>
      <span class="link-number">${link.number}${link.sense === null ? "" : html`<b aria-hidden="true">${SIGN[carried(link)]}</b>`}</span>
      <span class="grow">${link.name}</span><span class="link-said">${link.said || ""}${link.state ? html` <em>${link.state}</em>` : ""}</span></button></li>`)}</ol></section>`;
}
