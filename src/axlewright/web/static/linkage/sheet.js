// The sheet: side above plan and rear beside it, to one scale and on one ground line, the turning view in the corner;
// or any one of them alone, as large as the paper is.
import { html, useEffect, useRef, useState } from "../kit/html.js";
import { Turning } from "./turning.js";
import { OneOf } from "./hand.js";
import { VIEWS, boxOf, partOf, sizeOf } from "./project.js";
import { View } from "./view.js";

const NARROW = 700; // px; a sheet that is narrower shows one view at a time
const GAP = 12;
const HIGHEST = 560; // px of one view alone
const PARTS = [["front", "front end"], ["whole", "whole car"], ["rear", "rear end"]];
const NAMES = [["all", "Sheet"], ["side", "Side"], ["rear", "Rear"], ["plan", "Plan"], ["front", "Front"], ["turning", "Turning"]];

/** Width of an element, followed. */
export function useWidth() {
  const ref = useRef(null);
  const [width, set] = useState(0);
  useEffect(() => {
    const look = new ResizeObserver(([entry]) => set(Math.floor(entry.contentRect.width)));
    look.observe(ref.current);
    return () => look.disconnect();
  }, []);
  return [ref, width];
}

/** The drawings of one answer. `chosen` is the view that is alone, or "all". */
export function Sheet({ answer, base, links, lines, marked, onMark, chosen, onChoose, dimmed, car, children }) {
  const [ref, width] = useWidth();
  const box = useRef({});
  if (answer && box.current.car !== car) box.current = { car, ...boxOf(answer.drawing) };
  const narrow = width > 0 && width < NARROW;
  const alone = narrow && chosen === "all" ? "side" : chosen;
  const [part, setPart] = useState("whole");
  const names = NAMES.filter(([name]) => !(narrow && name === "all"));
  const common = answer && { scene: answer.drawing, base, links, lines, marked, onMark, box: box.current, says: answer.said };
  return html`<section class="sheet" aria-label="Drawings">
    <fieldset class="segments views"><legend class="hidden">View</legend>${names.map(([name, title]) => html`
      <label><input type="radio" name="view" value=${name} checked=${alone === name} onChange=${() => onChoose(name)} /><span>${title}</span></label>`)}</fieldset>
    ${children}
    <div ref=${ref} class=${`paper ${dimmed ? "stale" : ""}`}>${width > 0 && common && (alone === "all"
      ? html`<${Together} width=${width} ...${common} />` : html`<${Alone} view=${alone} width=${width} part=${part} onPart=${setPart} ...${common} />`)}</div>
  </section>`;
}

function Alone({ view, width, part, onPart, ...rest }) {
  if (view === "turning") return html`<${Turning} width=${width} height=${Math.min(HIGHEST, Math.round(width * 0.72))} ...${rest} />`;
  const long = !VIEWS[view].end;
  const box = long ? partOf(rest.box, part) : rest.box;
  const [wide, high] = sizeOf(view, box);
  const scale = Math.min(width / wide, HIGHEST / high);
  return html`<figure class="one"><${View} view=${view} scale=${scale} width=${width} height=${Math.ceil(high * scale)} ...${rest} box=${box} />
    <figcaption>${VIEWS[view].says}</figcaption>
    ${long && html`<${OneOf} name="part" legend="Part of the car" hidden options=${PARTS} value=${part} onChoose=${onPart} />`}</figure>`;
}

function Together({ width, ...rest }) {
  const [long, high] = sizeOf("side", rest.box);
  const [wide] = sizeOf("rear", rest.box);
  const scale = (width - GAP) / (long + wide);
  const px = { long: Math.floor(long * scale), wide: Math.floor(wide * scale), high: Math.ceil(high * scale) };
  const view = (name, w, h) => html`<figure class=${`at-${name}`}><figcaption>${VIEWS[name].title}, <span>${VIEWS[name].says}</span></figcaption>
    <${View} view=${name} scale=${scale} width=${w} height=${h} ...${rest} /></figure>`;
  return html`<div class="together">
    <div class="column" style=${{ width: `${px.long}px` }}>${view("side", px.long, px.high)}${view("plan", px.long, px.wide)}</div>
    <div class="column" style=${{ width: `${px.wide}px` }}>${view("rear", px.wide, px.high)}${view("front", px.wide, px.high)}
      <${Turning} width=${px.wide} height=${Math.max(px.wide - px.high - 26, 170)} ...${rest} /></div>
  </div>`;
}
