// One drawing of the linkage as SVG: wheels, bodies, links with their signs, centres, and a second setup behind it.
import { html } from "../kit/html.js";
import { VIEWS, belongs, circle, middleOf, placer } from "./project.js";

const SIGNS = { 1: "+", "-1": "\u2212", 0: "" };
const WORDS = { 1: "pull", "-1": "push", 0: "idle" };
const COILS = 7;
const CROWDED = 110; // px/m; numbers of links would cover a smaller drawing: its ends alone have them
const FAR = -0.25; // m left: what lies further to the right is faint in the view from the left

/** The class of a link by what it carries; no force is known while the linkage is only moved. */
export function carried(link) {
  return !link || link.sense === null ? "free" : WORDS[link.sense];
}

/** A drawing. `links` by path, `lines` the centres that are asked for, `marked` the path of one link. */
export function View({ view, scene, base, links, lines, marked, box, scale, width, height, onMark, says }) {
  const put = placer(view, box, scale, width, height);
  const ground = scene.axes === "road" && view !== "plan" ? put([0, 0, 0])[1] : null;
  return html`<svg class="drawn" viewBox=${`0 0 ${width} ${height}`} role="img" aria-label=${`${VIEWS[view].title} view ${VIEWS[view].says}: ${says}`}>
    ${ground !== null && html`<line class="ground" x1="0" x2=${width} y1=${ground} y2=${ground} />`}
    ${base && html`<${Behind} view=${view} scene=${base} put=${put} lines=${lines} />`}
    <${Car} view=${view} scene=${scene} put=${put} links=${links} marked=${marked} onMark=${onMark} />
    <${Centres} view=${view} scene=${scene} put=${put} lines=${lines} width=${width} height=${height} />
    ${scale > CROWDED && html`<${Labels} view=${view} scene=${scene} put=${put} links=${links} width=${width} height=${height} />`}
  </svg>`;
}

function shapes(view, scene) {
  const middle = middleOf(scene);
  const near = VIEWS[view].near;
  const listed = [
    ...scene.wheels.map((w) => ({ wheel: w, points: circle(w.centre, w.axis, w.radius) })),
    ...scene.bodies.flatMap((body) => body.lines.map((line) => ({ body, points: line }))),
    ...scene.rods.map((rod) => ({ rod, points: [rod.a, rod.b] })),
  ].filter((one) => belongs(view, one.points, middle));
  const depth = (one) => one.points.reduce((sum, p) => sum + near(p), 0) / one.points.length;
  return listed.map((one) => ({ ...one, depth: depth(one) })).sort((a, b) => a.depth - b.depth);
}

function Behind({ view, scene, put, lines }) {
  const reactions = view === "side" ? scene.side.filter((one) => lines[one.case]) : [];
  return html`<g class="behind">${shapes(view, scene).map((one) => html`<path d=${path(one.points.map(put), !!one.wheel)} />`)}
    ${reactions.map((one) => html`<path d=${path(reaction(one, put))} />`)}</g>`;
}

function Car({ view, scene, put, links, marked, onMark }) {
  return html`<g>${shapes(view, scene).map((one) => {
    const far = view === "side" && one.depth < FAR ? "far" : "";
    const points = one.points.map(put);
    if (one.wheel) return html`<path class=${`wheel ${far}`} d=${path(points, true)} />`;
    if (one.body) return html`<path class=${`body ${one.body.kind} ${far}`} d=${path(points)} />`;
    const { path: name, kind } = one.rod;
    const classes = `rod ${kind.replace(" ", "-")} ${carried(links[name])} ${far} ${marked === name ? "marked" : ""}`;
    return html`<g class=${classes} onMouseEnter=${() => onMark(name)} onMouseLeave=${() => onMark(null)}>
      <path class="touch" d=${path(points)} /><path d=${kind === "spring" ? coil(points) : path(points)} />
      ${points.map(([x, y]) => html`<circle cx=${x} cy=${y} r="2.2" />`)}</g>`;
  })}${scene.pickups.filter((p) => belongs(view, [p], middleOf(scene))).map((p) => {
    const [x, y] = put(p);
    return html`<rect class="pickup" x=${x - 2.6} y=${y - 2.6} width="5.2" height="5.2" />`;
  })}</g>`;
}

const path = (points, closed = false) => `M${points.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join("L")}${closed ? "Z" : ""}`;

function coil([a, b]) {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const long = Math.hypot(dx, dy);
  if (long < 16) return path([a, b]);
  const [nx, ny] = [-dy / long, dx / long];
  const wide = Math.min(11, Math.max(6, long / 22), long / 5);
  const at = (t, side) => [a[0] + dx * t + nx * side * wide, a[1] + dy * t + ny * side * wide];
  const turns = Array.from({ length: 2 * COILS }, (_, i) => at(0.15 + (0.7 * (i + 0.5)) / (2 * COILS), i % 2 ? 1 : -1));
  return path([a, at(0.15, 0), ...turns, at(0.85, 0), b]);
}

const ASIDE = [0.5, 0.36, 0.64, 0.24, 0.76, 0.14, 0.86];
const CLEAR = [13, 11]; // px between the middles of two numbers, across and down

function Labels({ view, scene, put, links, width, height }) {
  const taken = [];
  const middle = middleOf(scene);
  const rods = scene.rods.filter((rod) => belongs(view, [rod.a, rod.b], middle));
  const order = [...rods].sort((a, b) => VIEWS[view].near(b.a) - VIEWS[view].near(a.a));
  return html`<g class="numbers" aria-hidden="true">${order.map((rod) => {
    const link = links[rod.path];
    const [a, b] = [put(rod.a), put(rod.b)];
    if (!link || (view === "side" && (rod.a[1] + rod.b[1]) / 2 < FAR)) return null;
    const long = Math.hypot(b[0] - a[0], b[1] - a[1]);
    if (long < 12) return null;
    const [nx, ny] = [-(b[1] - a[1]) / long, (b[0] - a[0]) / long];
    const side = ny > 0 ? -8 : 8;
    const spots = ASIDE.map((t) => [a[0] + (b[0] - a[0]) * t + nx * side, a[1] + (b[1] - a[1]) * t + ny * side]);
    const clear = ([x, y]) => x > 8 && x < width - 8 && y > 8 && y < height - 4
      && taken.every(([p, q]) => Math.abs(p - x) > CLEAR[0] + (link.sense ? 6 : 0) || Math.abs(q - y) > CLEAR[1]);
    const spot = spots.find(clear);
    if (!spot) return null;
    taken.push(spot);
    return html`<text class=${carried(link)} x=${spot[0]} y=${spot[1] + 4}>${link.number}${link.sense === null ? "" : SIGNS[link.sense]}</text>`;
  })}</g>`;
}

function Centres({ view, scene, put, lines, width, height }) {
  const { end } = VIEWS[view];
  const roll = Object.entries(scene.roll).filter(([name]) => !end || name === end);
  const marks = [];
  if (view !== "plan" && lines.roll) {
    if (view === "side") marks.push(html`<path class="axis" d=${path(beyond(put(scene.roll.rear), put(scene.roll.front), width))} />`);
    marks.push(...roll.map(([, at]) => mark(put(at), width, height, view === "side" ? 16 : -9)));
  }
  if (end && lines.roll) {
    for (const line of scene.front.filter((one) => belongs(view, [one.contact], middleOf(scene)))) {
      const centre = put(line.centre);
      marks.push(html`<path class="swing" d=${path([put(line.contact), centre])} />`);
      if (within(centre, width, height)) marks.push(html`<path class="instant" d=${diamond(centre)} />`);
    }
  }
  if (view === "side") {
    for (const line of scene.side.filter((one) => lines[one.case])) {
      const centre = put(line.centre);
      const [start, last] = reaction(line, put);
      marks.push(html`<path class=${`reaction ${line.case}`} d=${path([start, last])} />`);
      const inside = within(centre, width, height);
      const tag = inside ? centre : at(start, last, width);
      if (inside) marks.push(html`<path class=${`instant ${line.case}`} d=${diamond(centre)} />`);
      marks.push(html`<text class=${`tag ${line.case}`} x=${tag[0]} y=${Math.max(tag[1] + (line.case === "brake" ? 17 : -9), 10)}>${TAGS[line.case]}</text>`);
    }
    if (lines.drive || lines.brake || lines.front) {
      const [x, y] = put(scene.mass);
      marks.push(html`<g class="mass"><circle cx=${x} cy=${y} r="6" /><path d=${`M${x} ${y - 6}A6 6 0 0 1 ${x + 6} ${y}L${x - 6} ${y}A6 6 0 0 0 ${x} ${y + 6}Z`} /></g>`);
    }
  }
  return html`<g class="centres">${marks}</g>`;
}

/** From where the force reacts through the instant centre, as far as the other axle at least. */
function reaction(line, put) {
  const [start, centre, target] = [line.start, line.centre, line.target].map(put);
  const ahead = (centre[0] - start[0]) * (target[0] - start[0]) > 0;
  const beyond = ahead && Math.abs(centre[0] - start[0]) > Math.abs(target[0] - start[0]);
  return [start, beyond ? centre : along(start, centre, target[0])];
}

/** Short names of the side-view lines. */
export const TAGS = { drive: "drive", brake: "brake, rear", front: "brake, front" };

const along = (a, b, x) => [x, a[1] + ((b[1] - a[1]) * (x - a[0])) / (b[0] - a[0] || 1e-9)];
const beyond = (a, b, width) => [along(a, b, 0), along(a, b, width)];
const at = (a, b, width) => along(a, b, Math.min(Math.max((a[0] + 2 * b[0]) / 3, 60), width - 60));
const within = ([x, y], width, height) => x > 6 && x < width - 6 && y > 6 && y < height - 6;
const diamond = ([x, y]) => `M${x} ${y - 6}L${x + 6} ${y}L${x} ${y + 6}L${x - 6} ${y}Z`;

function mark([x, y], width, height, down) {
  if (x < 0 || x > width || y < 0 || y > height) return null;
  return html`<g class="roll-centre"><circle cx=${x} cy=${y} r="5" /><path d=${`M${x - 9} ${y}H${x + 9}M${x} ${y - 9}V${y + 9}`} />
    <text class="tag" x=${Math.min(Math.max(x, 34), width - 34)} y=${y + down > height - 3 ? y - 11 : y + down}>roll centre</text></g>`;
}
