// A geometry reading through one movement, with a cursor where the slider is and the second setup dashed.
import uPlot from "uplot";
import { html, useEffect, useMemo, useRef } from "../kit/html.js";
import { useWidth } from "./sheet.js";

const HEIGHT = 236;
document.head.append(Object.assign(document.createElement("link"), { rel: "stylesheet", href: "/static/vendor/uplot.css" }));

/** The chooser of reading and movement. */
export function CurveChooser({ choices, own, change }) {
  const group = (first) => choices.readings.filter((one) => one.first === first)
    .map((one) => html`<option value=${one.id}>${one.name}</option>`);
  return html`<div class="row curve-chooser">
    <label>Curve <select name="reading" value=${own.reading} onChange=${(event) => change({ reading: event.target.value })}>
      <optgroup label="to look at first">${group(true)}</optgroup><optgroup label="further">${group(false)}</optgroup></select></label>
    <label>through <select name="movement" value=${own.movement} onChange=${(event) => change({ movement: event.target.value })}>
      ${choices.movements.map((one) => html`<option value=${one.id}>${one.name}</option>`)}</select></label></div>`;
}

/** The curve. `at` is where the slider stands, SI, or null where the car isn't moved by hand. */
export function Curve({ swept, reading, movement, at, onPut, dimmed }) {
  const [ref, width] = useWidth();
  const holder = useRef(null);
  const plot = useRef(null);
  const live = useRef({});
  live.current = { at: at === null ? null : at / movement.scale, onPut: (x) => onPut(x * movement.scale) };
  const found = swept && swept.movement === movement.id && swept.curves.find((one) => one.id === reading.id);
  const data = useMemo(() => found && [
    swept.places.map((x) => x / movement.scale),
    found.values.map((y) => (y === null ? null : y / reading.scale)),
    ...(found.base ? [found.base.map((y) => (y === null ? null : y / reading.scale))] : []),
  ], [swept, reading.id, movement.id, reading.scale, movement.scale]);

  useEffect(() => {
    if (!data || !width) return undefined;
    const make = () => {
      plot.current?.destroy();
      plot.current = new uPlot(options(width, reading, movement, data.length > 2, live), data, holder.current);
    };
    make();
    document.addEventListener("theme", make);
    return () => {
      document.removeEventListener("theme", make);
      plot.current?.destroy();
      plot.current = null;
    };
  }, [data, width]);
  useEffect(() => plot.current?.redraw(false), [at]);

  return html`<div ref=${ref} class=${`curve ${dimmed ? "stale" : ""}`}>
    <div ref=${holder} class="curve-place" role="img" aria-label=${`${reading.name} through ${movement.name}`}></div></div>`;
}

function options(width, reading, movement, second, live) {
  const style = getComputedStyle(document.documentElement);
  const colour = (name) => style.getPropertyValue(name).trim();
  const font = "13px system-ui, DejaVu Sans, sans-serif";
  const axis = (label) => ({ label, stroke: colour("--ink"), font, labelFont: font, grid: { stroke: colour("--line"), width: 1 }, ticks: { stroke: colour("--line") } });
  const unit = reading.unit ? `, ${reading.unit}` : "";
  return {
    width, height: HEIGHT, legend: { show: false }, cursor: { show: true, drag: { x: false, y: false }, points: { show: false } },
    scales: { x: { time: false }, y: { range: spread } },
    axes: [
      axis(`${movement.name}, ${movement.unit}: ${movement.less} \u2190 \u2192 ${movement.more}`),
      { ...axis(`${short(reading.name)}${unit}`), size: 64 },
    ],
    series: [{}, { stroke: colour("--accent"), width: 2.5, pxAlign: 0, points: { show: false } },
      ...(second ? [{ stroke: colour("--loose"), width: 2, dash: [7, 5], points: { show: false } }] : [])],
    hooks: {
      draw: [(u) => cursor(u, live.current.at, colour("--ink"))],
      ready: [(u) => u.over.addEventListener("click", (event) => live.current.at !== null
        && live.current.onPut(u.posToVal(event.clientX - u.over.getBoundingClientRect().left, "x")))],
    },
  };
}

const LONGEST = 34;
const short = (name) => (name.length > LONGEST ? `${name.slice(0, LONGEST - 1)}\u2026` : name);

/** A curve that hardly changes is not blown up to fill the paper. */
function spread(u, low, high) {
  if (low === null || low === undefined) return [0, 1];
  const size = Math.max(high - low, Math.max(Math.abs(low), Math.abs(high)) * 0.02, 1e-6);
  const middle = (low + high) / 2;
  return [middle - size * 0.6, middle + size * 0.6];
}

function cursor(u, at, colour) {
  if (at === null) return;
  const x = u.valToPos(at, "x", true);
  if (x < u.bbox.left - 1 || x > u.bbox.left + u.bbox.width + 1) return;
  u.ctx.save();
  u.ctx.strokeStyle = colour;
  u.ctx.setLineDash([]);
  u.ctx.lineWidth = window.devicePixelRatio;
  u.ctx.beginPath();
  u.ctx.moveTo(x, u.bbox.top);
  u.ctx.lineTo(x, u.bbox.top + u.bbox.height);
  u.ctx.stroke();
  u.ctx.restore();
}
