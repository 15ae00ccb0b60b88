// The rear end moving, one drawing a setup: links, wheel and pinion from the left side, the axle from behind.
import { html } from "../kit/html.js";
import { LETTERS, Mark } from "./marks.js";

const NOSE = 330; // mm from the wheel centres to the pinion's nose as drawn
const ROOM = 60; // mm around what is drawn
const TYRE = 210; // mm wide, as drawn from behind
const STATES = { l: "lifted", p: "past its peak" };

/** Every setup's rear end at a moment. `larger`: what moves is drawn so many times as far as it goes. */
export function Axles({ answer, clock, larger }) {
  const k = Math.round(clock.moment / answer.axle.every);
  return html`<div class=${answer.axle.cars.length > 2 ? "axles many" : "axles"}>${answer.axle.cars.map((car, i) => html`
    <${Rear} key=${i} car=${car} i=${i} name=${answer.names[i]} k=${k} larger=${larger}
      forces=${forces(answer, i, clock.moment)} />`)}</div>`;
}

/** Tension of links that have a plot, by the link's name: {text, way}. */
function forces(answer, i, moment) {
  const found = {};
  for (const panel of answer.panels.filter((one) => one.name.endsWith(": force"))) {
    const value = panel.values[i][moment];
    if (value === null) continue;
    const way = value >= 0 ? "tension" : "compression";
    const text = `${Math.abs(value).toFixed(panel.decimals)} ${panel.unit} ${value >= 0 ? panel.more : panel.less}`;
    found[panel.id.replace("_", " ")] = { text, way };
  }
  return found;
}

function Rear({ car, i, name, k, larger, forces }) {
  const at = Math.min(k, car.moments - 1);
  if (at < 0) return html`<figure class="rear-end"><${Mark} i=${i} /> ${name}: not followed at all</figure>`;
  const state = car.states[at];
  const wheels = ["left rear", "right rear"].map((wheel, w) => STATES[state[w]] && `${wheel} ${STATES[state[w]]}`).filter(Boolean);
  const wound = car.side ? `wind-up ${(car.side.wind_up[at] / 1000).toFixed(2)} deg` : "";
  const words = [k > at ? "stopped here" : "", wound, ...wheels].filter(Boolean).join(", ");
  return html`<figure class="rear-end">
    <figcaption><${Mark} i=${i} /> <span>${name}</span><span class="now quiet">${words}</span></figcaption>
    <div class="views">
      ${car.side && html`<${Side} car=${car} at=${at} larger=${larger} forces=${forces}
        label=${`${LETTERS[i]} from the left side`} />`}
      <${Behind} car=${car} at=${at} larger=${larger} state=${state} label=${`${LETTERS[i]} from behind`} />
    </div>
    ${car.side && html`<ul class="link-forces quiet">${car.side.links.filter((link) => forces[link.name]).map((link) => html`
      <li><span class=${`force ${forces[link.name].way}`}>${link.name}</span> ${forces[link.name].text}</li>`)}</ul>`}
  </figure>`;
}

/** Where a point is drawn at a moment: mm, to the right and down. */
function place(point, at, larger) {
  const [a, b] = point.moves ? [point.moves[0][at] ?? 0, point.moves[1][at] ?? 0] : [0, 0];
  return [-(point.at[0] + (larger * a) / 10), -(point.at[1] + (larger * b) / 10)];
}

function Links({ links, at, larger, forces = {} }) {
  return links.map((link) => {
    const [[x1, y1], [x2, y2]] = link.ends.map((end) => place(end, at, larger));
    const way = forces[link.name] ? forces[link.name].way : "plain";
    return html`<g class=${`link ${way}`}><title>${link.name}</title><line x1=${x1} y1=${y1} x2=${x2} y2=${y2} />
      <circle cx=${x1} cy=${y1} r="11" /><circle cx=${x2} cy=${y2} r="11" /></g>`;
  });
}

function Side({ car, at, larger, forces, label }) {
  const { links, arms, wheel, wind_up: wound } = car.side;
  const [x, y] = place(wheel, at, larger);
  const turn = (larger * (wound[at] - wound[0]) * Math.PI) / 180000;
  const still = place(wheel, 0, 0);
  const ends = links.flatMap((link) => link.ends);
  const xs = [...ends.map((end) => -end.at[0]), still[0] - car.radius, still[0] + car.radius];
  const ys = [...ends.map((end) => -end.at[1]), still[1] - car.radius, still[1] + car.radius];
  return html`<svg class="view" viewBox=${box(xs, ys)} role="img" aria-label=${label}>
    <text class="way" x=${Math.min(...xs)} y=${Math.max(...ys) - 12}>front</text>
    <circle class="tyre" cx=${x} cy=${y} r=${car.radius} />
    ${arms.map((arm) => arm.ends.map((end) => place(end, at, larger))).map(([[x1, y1], [x2, y2]]) => html`
      <line class="arm" x1=${x1} y1=${y1} x2=${x2} y2=${y2} />`)}
    <${Links} links=${links} at=${at} larger=${larger} forces=${forces} />
    <line class="pinion" x1=${x} y1=${y} x2=${x - NOSE * Math.cos(turn)} y2=${y - NOSE * Math.sin(turn)} />
    <circle class="hub" cx=${x} cy=${y} r="34" /></svg>`;
}

function Behind({ car, at, larger, state, label }) {
  const { links, wheels, road, body, tube } = car.rear;
  const centres = wheels.map((one) => place(one, at, larger));
  const still = wheels.map((one) => place(one, 0, 0));
  const [left, right] = body.map((one) => place(one, at, larger));
  const xs = still.flatMap(([x]) => [x - TYRE / 2, x + TYRE / 2]);
  const others = [...body, ...links.flatMap((link) => link.ends)];
  const ys = [...still.flatMap(([, y]) => [y - car.radius, y + car.radius]), ...others.map((one) => -one.at[1])];
  return html`<svg class="view" viewBox=${box(xs, ys)} role="img" aria-label=${label}>
    ${road.map((one) => place(one, at, larger)).map(([x, y]) => html`
      <line class="road" x1=${x - TYRE * 0.8} y1=${y} x2=${x + TYRE * 0.8} y2=${y} />`)}
    ${centres.map(([x, y], w) => html`<rect class=${`tyre ${STATES[state[w]] ? "worry" : ""}`} rx="50"
      x=${x - TYRE / 2} y=${y - car.radius} width=${TYRE} height=${2 * car.radius} />`)}
    ${tube && html`<line class="tube" x1=${centres[0][0]} y1=${centres[0][1]} x2=${centres[1][0]} y2=${centres[1][1]} />`}
    <line class="body" x1=${left[0]} y1=${left[1]} x2=${right[0]} y2=${right[1]} />
    <${Links} links=${links} at=${at} larger=${larger} /></svg>`;
}

function box(xs, ys) {
  const [x, y] = [Math.min(...xs) - ROOM, Math.min(...ys) - ROOM];
  return `${x} ${y} ${Math.max(...xs) + ROOM - x} ${Math.max(...ys) + ROOM - y}`;
}
