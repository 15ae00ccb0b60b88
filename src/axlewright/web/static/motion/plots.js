// Plots of every setup over time. One moment for all of them: hover, touch or the slider moves every cursor.
import uPlot from "uplot";
import { html, useEffect, useRef, useState } from "../kit/html.js";
import { LETTERS, Mark, colourOf, dashOf } from "./marks.js";

document.head.append(Object.assign(document.createElement("link"), { rel: "stylesheet", href: "/static/vendor/uplot.css" }));

const HEIGHT = 170;
const LEAST = 20; // last digits that a plot is high at least
const GROUP = "moments"; // of cursors that move together

/** All panels of an answer. */
export function Plots({ answer, clock }) {
  const theme = useTheme();
  return html`<p class="quiet" id="plots-words">Against time since it was done. Drawn every ${answer.every} ms${
    answer.every > answer.of ? `; the readings use every ${answer.of} ms` : ""}. Letters as in the list of setups.</p>
    <div class="plots">${answer.panels.map((panel) => html`
      <${Plot} key=${panel.id} panel=${panel} answer=${answer} clock=${clock} theme=${theme} />`)}</div>`;
}

function useTheme() {
  const read = () => document.documentElement.dataset.theme;
  const [theme, set] = useState(read());
  useEffect(() => {
    const other = () => set(read());
    document.addEventListener("theme", other);
    return () => document.removeEventListener("theme", other);
  }, []);
  return theme;
}

function Plot({ panel, answer, clock, theme }) {
  const place = useRef();
  const plot = useRef(null);
  const moment = useRef(0);
  moment.current = clock.moment;
  useEffect(() => {
    const made = draw(place.current, panel, answer, moment, clock.go);
    plot.current = made.plot;
    put(made.plot, answer.time, moment.current);
    return made.end;
  }, [panel, answer.time, theme]);
  useEffect(() => put(plot.current, answer.time, clock.moment), [clock.moment, answer.time, panel, theme]);
  const names = answer.names.map((name, i) => `${LETTERS[i]} ${name}`).join("; ");
  const ways = [panel.more && `up: ${panel.more}`, panel.less && `down: ${panel.less}`].filter(Boolean).join("; ");
  return html`<figure class="plot">
    <figcaption><h3>${panel.name}${panel.unit && html`<small>, ${panel.unit}</small>`}</h3>
      <small class="quiet ways">${ways}</small>
      <ul class="legend" aria-label=${`${panel.name} at the cursor`}>${panel.values.map((values, i) => html`
        <li><span class="hidden">${answer.names[i]}: </span><${Mark} i=${i} />
          <span> ${number(values[clock.moment], panel.decimals)}</span></li>`)}</ul>
    </figcaption>
    <div class="canvas" ref=${place} role="img" aria-label=${`${panel.name} over time, ${names}`}></div>
  </figure>`;
}

/** A value at the cursor; a dash where a setup had stopped. */
export const number = (value, decimals) => (value === null || value === undefined ? "-" : value.toFixed(decimals));

function put(plot, time, moment) {
  if (plot) plot.setCursor({ left: plot.valToPos(time[moment], "x"), top: 4 }, false);
}

function draw(place, panel, answer, moment, go) {
  const style = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
  const axis = {
    stroke: () => style("--quiet"), grid: { stroke: () => style("--line"), width: 0.5 },
    ticks: { stroke: () => style("--line"), width: 0.5, size: 4 }, font: "12px system-ui, sans-serif",
  };
  const own = { on: true };
  const plot = new uPlot({
    width: Math.max(place.clientWidth, 200), height: HEIGHT, pxAlign: 0.5, legend: { show: false },
    scales: { x: { time: false }, y: { range: (_, low, high) => roomy(low, high, 10 ** -panel.decimals) } },
    axes: [{ ...axis, size: 26, values: (_, all) => all.map((v) => `${+v.toFixed(3)} s`) }, { ...axis, size: 52 }],
    series: [{}, ...panel.values.map((_, i) => (
      { label: answer.names[i], stroke: () => colourOf(i), width: 1.75, dash: dashOf(i), points: { show: false } }))],
    cursor: { y: false, drag: { x: false, y: false }, sync: { key: GROUP, setSeries: false }, points: { size: 7 } },
    hooks: {
      setCursor: [({ cursor }) => {
        if (own.on && cursor.event && cursor.idx !== null && cursor.idx !== moment.current) go(cursor.idx);
      }],
      drawClear: [(u) => begin(u, style("--quiet"))],
    },
  }, [answer.time, ...panel.values], place);
  const back = () => put(plot, answer.time, moment.current);
  const touch = (event) => {
    if (event.pointerType !== "touch") return;
    const left = event.clientX - plot.over.getBoundingClientRect().left;
    go(plot.posToIdx(Math.min(Math.max(left, 0), plot.over.clientWidth)));
  };
  plot.over.addEventListener("mouseleave", back);
  plot.over.addEventListener("pointerdown", touch);
  plot.over.addEventListener("pointermove", touch);
  const sized = new ResizeObserver(() => {
    if (place.clientWidth && place.clientWidth !== plot.width) plot.setSize({ width: place.clientWidth, height: HEIGHT });
    back();
  });
  sized.observe(place);
  return { plot, end: () => {
    own.on = false;
    sized.disconnect();
    plot.destroy();
  } };
}

/** The range of an axis: all values, but never so close that what is too small to be said fills the plot. */
function roomy(low, high, digit) {
  if (low === null) return [0, 1];
  const more = Math.max(0.06 * (high - low), (LEAST * digit - (high - low)) / 2);
  return [low - more, high + more];
}

/** A line where it was done. */
function begin(u, colour) {
  const x = u.valToPos(0, "x", true);
  if (!(x > u.bbox.left)) return;
  u.ctx.save();
  u.ctx.strokeStyle = colour;
  u.ctx.beginPath();
  u.ctx.moveTo(x, u.bbox.top);
  u.ctx.lineTo(x, u.bbox.top + u.bbox.height);
  u.ctx.stroke();
  u.ctx.restore();
}
