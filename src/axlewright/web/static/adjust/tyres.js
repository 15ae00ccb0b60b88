// Tyre loads on a plan of the car, seen from above, nose up: now as an area, compared with as an outline.
import { html } from "../kit/html.js";

const AT = { LF: [38, 40], RF: [162, 40], LR: [38, 190], RR: [162, 190] };
const WORDS = { LF: "left front", RF: "right front", LR: "left rear", RR: "right rear" };

/** The plan, and the same in words for who doesn't see it. */
export function Tyres({ tyres, stale }) {
  if (!tyres) return html`<section class="card tyres" aria-label="Tyre loads"></section>`;
  const most = Math.max(...tyres.map((one) => Math.max(...one.load.si)), 1);
  return html`
    <section class="card tyres" aria-labelledby="tyres-name">
      <h2 id="tyres-name">Tyre loads</h2>
      <svg viewBox="0 0 200 236" role="img" aria-labelledby="tyres-name tyres-words" class=${stale ? "stale" : ""}>
        <path d="M64 22 Q100 4 136 22 L140 70 L136 120 L142 176 L134 216 Q100 226 66 216 L58 176 L64 120 L60 70 Z" class="body" />
        <text x="100" y="34" class="nose">front</text>
        <line x1="52" x2="148" y1="190" y2="190" class="axle" /><circle cx="100" cy="190" r="7" class="axle" />
        ${tyres.map((one) => html`<${Tyre} one=${one} most=${most} />`)}
      </svg>
      <ul id="tyres-words" class="tyre-words">${tyres.map((one) => html`
        <li><span>${WORDS[one.wheel]}</span> <strong>${one.load.now} ${one.load.unit}</strong> <span class="quiet">${one.load.change}</span>
          ${one.word !== "rolling" && one.word !== "standing" && html`<span class="stop">${one.word}</span>`}</li>`)}</ul>
    </section>`;
}

function Tyre({ one, most }) {
  const [x, y] = AT[one.wheel];
  const size = (value) => Math.sqrt(Math.max(0, value) / most); // area says the load
  const [was, now] = one.load.si.map(size);
  return html`<g>
    <rect x=${x - 15 * now} y=${y - 28 * now} width=${30 * now} height=${56 * now} rx="4" class="now" />
    <rect x=${x - 15 * was} y=${y - 28 * was} width=${30 * was} height=${56 * was} rx="4" class="was" />
    <text x=${x} y=${y + 4}>${one.load.now}</text>
  </g>`;
}
