// Every point of the draft from the side, from above and from the front; a tap on one goes to its field.
import { html, useMemo, useRef } from "../kit/html.js";
import { within } from "./paths.js";

const VIEWS = [
  ["side", "from the left", ([x, , z]) => [-x, -z]], // forward is left
  ["plan", "from above", ([x, y]) => [-x, -y]],
  ["front", "from the front", ([, y, z]) => [y, -z]], // the car's left is on the right
];
const NEAR = 24; // px; a thumb's reach around a point
const ROOM = 0.12; // m around everything

/** Three small drawings. `focus`: the path whose points are marked; `bad`: paths with problems. */
export function Drawing({ outline, focus, bad, onPick }) {
  return html`<div class="drawings">${VIEWS.map(([name, words, flat]) => html`
    <${View} key=${name} name=${name} words=${words} flat=${flat} outline=${outline} focus=${focus} bad=${bad} onPick=${onPick} />`)}</div>`;
}

function View({ name, words, flat, outline, focus, bad, onPick }) {
  const svg = useRef(null);
  const drawn = useMemo(() => {
    const dots = outline.dots.map((dot) => ({ ...dot, spot: flat(dot.at) }));
    const lines = outline.lines.map((line) => line.map(flat));
    const wheels = outline.wheels.map((at) => ({ spot: flat(at), radius: at[2] }));
    const spots = [...dots.map((one) => one.spot), ...lines.flat(), ...(name === "side" ? wheels.flatMap(({ spot: [x, y], radius: r }) => [[x - r, y - r], [x + r, y + r]]) : [])];
    const [xs, ys] = [spots.map(([x]) => x), spots.map(([, y]) => y)];
    const box = spots.length ? [Math.min(...xs) - ROOM, Math.min(...ys) - ROOM, Math.max(...xs) - Math.min(...xs) + 2 * ROOM, Math.max(...ys) - Math.min(...ys) + 2 * ROOM] : [0, 0, 1, 1];
    return { dots, lines, wheels, box };
  }, [outline]);
  const { dots, lines, wheels, box } = drawn;
  const size = Math.max(box[2], box[3]) / 160; // m of a dot, about 2 px
  const isBad = (path) => bad.some((one) => within(path, one) || within(one, path));
  const isFocus = (path) => !!focus && (within(path, focus) || within(focus, path));
  const pick = (event) => {
    const matrix = svg.current.getScreenCTM();
    const away = (dot) => Math.hypot(dot.spot[0] * matrix.a + matrix.e - event.clientX, dot.spot[1] * matrix.d + matrix.f - event.clientY);
    const near = dots.map((dot) => [away(dot), dot]).sort((a, b) => a[0] - b[0])[0];
    if (near && near[0] < NEAR) onPick(near[1].path);
  };
  const marked = dots.filter((dot) => isFocus(dot.path));
  const ground = name !== "plan";
  return html`<figure><svg ref=${svg} viewBox=${box.join(" ")} role="img" aria-label=${`Points of the car ${words}, ${dots.length} in all`}
      data-view=${name} onClick=${pick}>
    ${ground && html`<line class="ground" x1=${box[0]} x2=${box[0] + box[2]} y1="0" y2="0" />`}
    ${name === "side" && wheels.map(({ spot, radius }) => html`<circle class="wheel" cx=${spot[0]} cy=${spot[1]} r=${radius} />`)}
    ${lines.map(([a, b]) => html`<line class="rod" x1=${a[0]} y1=${a[1]} x2=${b[0]} y2=${b[1]} />`)}
    ${dots.map((dot) => html`<circle class=${dot.twin ? "twin" : "dot"} cx=${dot.spot[0]} cy=${dot.spot[1]} r=${size} />`)}
    ${dots.filter((dot) => isBad(dot.path)).map(({ spot: [x, y] }) => html`<rect class="bad" x=${x - 2.4 * size} y=${y - 2.4 * size} width=${4.8 * size} height=${4.8 * size} />`)}
    ${marked.map((dot) => html`<circle class="mark" cx=${dot.spot[0]} cy=${dot.spot[1]} r=${3 * size} />`)}
  </svg><figcaption class="quiet">${words}${name === "front" ? ", its left on the right" : ", nose to the left"}</figcaption></figure>`;
}
