// Motion: a torque hit, a brake hit, a step of steering or a rough road, two or more setups side by side.
import { html, useEffect, useState } from "../kit/html.js";
import { useAnswer } from "../kit/ask.js";
import { askedBody } from "../kit/bench.js";
import { mount } from "../kit/frame.js";
import { keep, kept } from "../kit/kept.js";
import { Cautions, Problem, Progress } from "../kit/parts.js";
import { show } from "../kit/shown.js";
import { Axles } from "../motion/axle.js";
import { Clock, useClock } from "../motion/clock.js";
import { download } from "../motion/csv.js";
import { EventForm, useRead } from "../motion/form.js";
import { Plots } from "../motion/plots.js";
import { Readings } from "../motion/readings.js";
import { FIRST, Sides, asked, known } from "../motion/sides.js";

const SIDE = "From the left side, as seen from the chassis: links, and the pinion, which turns with the axle.";
const NO_AXLE = "No axle that winds up: each rear wheel has its own suspension.";
const CHANGED = "What is asked above has changed since: this is the answer of before. Run again for the new one.";
const AGAIN = 1500; // ms until it is tried again

/** Events and what each asks for; null until the bench has answered. */
function useForms() {
  const [forms, set] = useState(null);
  useEffect(() => {
    let timer = 0;
    const get = () => fetch("/motion/events").then((reply) => reply.json()).then(set)
      .catch(() => { timer = setTimeout(get, AGAIN); });
    get();
    return () => clearTimeout(timer);
  }, []);
  return forms;
}

function Motion({ bench }) {
  const forms = useForms();
  const [form, setForm] = useState(() => kept("motion", { event: "drive", given: {}, sides: FIRST }));
  const change = (more) => setForm((old) => {
    const now = { ...old, ...more };
    keep("motion", now);
    return now;
  });
  const { event } = form;
  const given = form.given[event] || {};
  const sides = known(bench, form.sides);
  const read = useRead(forms && event, given, bench.units);
  const filled = Object.fromEntries(Object.entries(given).filter(([, text]) => text.trim()));
  const body = { ...askedBody(bench), base: {}, positions: {}, event, given: filled, sides: asked(bench, sides) };
  const [question, ask] = useState(null);
  const [pressed, press] = useState(0);
  const run = useAnswer("/motion/run", question, { merge: false });
  const bad = Object.keys(read.problems);
  const busy = question !== null && run.stale && !run.error;
  const other = run.answer && !busy && run.asked !== JSON.stringify(body);

  useEffect(() => {
    if (question && question.units !== bench.units) ask({ ...question, units: bench.units }); // the same, said otherwise
  }, [bench.units]);
  const start = (e) => {
    e.preventDefault();
    if (!bad.length) press(pressed + 1);
    if (bad.length) document.getElementById(`input-${bad[0]}`).focus();
    else if (question && JSON.stringify(question) === JSON.stringify(body)) run.again();
    else ask(body);
  };
  useEffect(() => {
    show({
      pressed, problems: read.problems, said: read.said, event, sides: sides.length, busy, other: !!other,
      answer: summary(run.answer), error: run.error, settled: !!forms && !busy && !read.reading,
    });
  });
  if (!forms) return html`<h1>Motion</h1><p class="quiet" role="status">Reading what can be done...</p>`;
  return html`
    <h1>Motion</h1>
    <form class="grid asking no-print" onSubmit=${start} novalidate>
      <section class="card" aria-label="What is done"><${EventForm} forms=${forms} event=${event} given=${given} read=${read}
        change=${(more) => change(more.given ? { given: { ...form.given, [event]: more.given } } : more)} /></section>
      <section class="card" aria-labelledby="beside"><h2 id="beside">Setups beside each other</h2>
        <${Sides} bench=${bench} sides=${sides} change=${(to) => change({ sides: to })} /></section>
      <div class="row run"><button type="submit" class="main" disabled=${busy}>Run</button>
        <div class="grow"><${Progress} progress=${busy ? run.progress : null} /></div></div>
    </form>
    <${Problem} error=${run.error} again=${run.again} />
    ${run.answer ? html`<${Results} answer=${run.answer} stale=${busy || !!run.error || other} other=${other} />`
      : html`<section class="card empty"><p class="quiet">Choose what is done and what is put beside each other, then Run. The
        first run of a car compiles its equations of motion, which takes 10 to 40 s; a later one takes a second or so.
        Nothing waits for it: the page can be used meanwhile.</p></section>`}`;
}

function Results({ answer, stale, other }) {
  const clock = useClock(answer.time, answer.kind);
  const [larger, setLarger] = useState(3);
  useEffect(() => show({ moment: clock.moment, playing: clock.playing, time: answer.time[clock.moment], larger }, "clock"));
  return html`<div class=${stale ? "results stale" : "results"} aria-busy=${stale}>
    <div class="row heading"><h2 class="grow" id="done">${answer.event}</h2>
      <span class="row no-print"><a href="#plots">Plots</a> <a href="#readings">Readings</a>
      <button type="button" onClick=${() => download(answer)}>Plots as CSV</button></span></div>
    <p class="warn other" role="status">${other ? CHANGED : ""}</p>
    ${answer.notes.map((note) => html`<p class=${note.stopped ? "stop" : "warn"}>${note.name}: ${note.words}</p>`)}
    <div class="grid moving">
      <section class=${clock.playing ? "card animation playing" : "card animation"} aria-label="The rear end in motion">
        <${Clock} time=${answer.time} clock=${clock}><label><span>Moves drawn</span> <select value=${larger} onChange=${(e) => setLarger(+e.target.value)}>
          <option value="1">1 x</option><option value="3">3 x</option></select></label><//>
        <${Axles} answer=${answer} clock=${clock} larger=${larger} />
        <p class="quiet">${answer.axle.cars.some((car) => car.side) ? SIDE : NO_AXLE} From behind: wheels and links on the road,
          and the chassis as a dashed line. Moves from the first moment are drawn ${larger} x.</p>
      </section>
      <section id="plots" aria-label="Plots" aria-describedby="plots-words"><${Plots} answer=${answer} clock=${clock} /></section>
    </div>
    <section class="card"><${Readings} answer=${answer} /></section>
    <${Cautions} texts=${answer.cautions} /></div>`;
}

/** What tests look at. */
function summary(answer) {
  return answer && {
    event: answer.event, names: answer.names, panels: answer.panels.map((one) => one.id), moments: answer.time.length,
    notes: answer.notes,
    readings: Object.fromEntries(answer.table.map(({ id, shown, values, unit }) => [id, { shown, values, unit }])),
  };
}

mount("motion", Motion);
