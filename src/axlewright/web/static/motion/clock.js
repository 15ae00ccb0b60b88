// One moment for the whole page: slider, cursors of plots and drawings follow it. It runs only when asked to.
import { html, useCallback, useEffect, useRef, useState } from "../kit/html.js";

const RATES = [[1, "real time"], [0.5, "half as fast"], [0.25, "a quarter"], [0.1, "a tenth"], [0.04, "a twenty-fifth"]];
const USUAL = { drive: 0.1, brake: 0.1, steer: 0.5, road: 0.25 };
const STILL = matchMedia("(prefers-reduced-motion: reduce)");
const STEP = 500; // ms between pictures where somebody has asked for little motion

/** {moment, go, playing, play, pause, rate, setRate} over times in s; starts at what was done. */
export function useClock(time, kind) {
  const start = time ? Math.max(time.findIndex((t) => t >= 0), 0) : 0;
  const [moment, go] = useState(start);
  const [playing, setPlaying] = useState(false);
  const [rate, setRate] = useState(USUAL[kind] || 0.25);
  const at = useRef(0);
  at.current = moment;
  useEffect(() => {
    go(start);
    setPlaying(false);
    setRate(USUAL[kind] || 0.25);
  }, [time]);
  useEffect(() => {
    if (!playing || !time) return undefined;
    return run(time, at, rate, go, () => setPlaying(false));
  }, [playing, rate, time]);
  const play = useCallback(() => {
    if (time && at.current >= time.length - 1) go(start);
    setPlaying(true);
  }, [time, start]);
  const now = time ? Math.min(moment, time.length - 1) : 0;
  return { moment: now, go, playing, play, pause: () => setPlaying(false), rate, setRate };
}

function run(time, at, rate, go, over) {
  let frame = 0;
  let timer = 0;
  let before = performance.now();
  let now = time[Math.min(at.current, time.length - 1)];
  let last = at.current;
  const on = (clock) => {
    if (at.current !== last) now = time[at.current]; // somebody has moved the cursor meanwhile
    now += (rate * (clock - before)) / 1000;
    before = clock;
    let k = at.current;
    while (k < time.length - 1 && time[k + 1] <= now) k += 1;
    last = k;
    at.current = k;
    go(k);
    if (k >= time.length - 1) over();
    else again();
  };
  const again = () => {
    if (STILL.matches) timer = setTimeout(() => on(performance.now()), STEP);
    else frame = requestAnimationFrame(on);
  };
  again();
  return () => {
    cancelAnimationFrame(frame);
    clearTimeout(timer);
  };
}

/** "+120 ms" since it was done. */
export const said = (seconds) => `${seconds < 0 ? "-" : "+"}${Math.abs(seconds * 1000).toFixed(0)} ms`;

/** Play, pause, how fast, and the slider. */
export function Clock({ time, clock, children }) {
  const words = said(time[clock.moment]);
  return html`<div class="clock">
    <button type="button" class="main play" onClick=${clock.playing ? clock.pause : clock.play}>${
      clock.playing ? "Pause" : "Play"}</button>
    <label class="grow slider"><span class="hidden">Moment</span><input type="range" min="0" max=${time.length - 1} step="1"
      value=${clock.moment} aria-valuetext=${`${words} since it was done`} onInput=${(e) => { clock.pause(); clock.go(+e.target.value); }} /></label>
    <output class="moment">${words}</output>
    <label><span>Pace</span> <select value=${String(clock.rate)} onChange=${(e) => clock.setRate(+e.target.value)}>
      ${RATES.map(([rate, name]) => html`<option value=${String(rate)}>${name}</option>`)}</select></label>
    ${children}
  </div>`;
}
