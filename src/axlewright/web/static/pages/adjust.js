// Adjust: adjusters by where they sit on the car, and the readings saved, now and changed.
import { html, useEffect, useRef, useState } from "../kit/html.js";
import { askedBody } from "../kit/bench.js";
import { useAnswer } from "../kit/ask.js";
import { mount } from "../kit/frame.js";
import { Cautions, PhaseChooser, Problem, Progress } from "../kit/parts.js";
import { keep, kept } from "../kit/kept.js";
import { show } from "../kit/shown.js";
import { Adjusters } from "../adjust/adjusters.js";
import { Balance } from "../adjust/balance.js";
import { Near, Readings, States } from "../adjust/readings.js";
import { Restoring, SetupBar } from "../adjust/setup.js";
import { Tyres } from "../adjust/tyres.js";
import { Work } from "../adjust/work.js";

const LATER = 150; // ms without a tap before the slower questions are asked

function Adjust({ bench }) {
  const [right, choose] = useState(kept("right", false));
  const setRight = (to) => { keep("right", to); choose(to); };
  const asked = askedBody(bench);
  const body = asked && { ...asked, phase: bench.phase, turn: bench.turn, right };
  const state = useAnswer("/adjust/state", body);
  const limit = useAnswer("/adjust/limit", body, { wait: LATER });
  const sure = useAnswer("/adjust/sure", body, { wait: 4 * LATER });
  const stale = state.stale || !bench.connected;
  const answer = state.answer;
  const took = useRef(null); // ms from the tap to this answer
  useEffect(() => { if (!stale) took.current = bench.since(); }, [state.asked, stale]);
  useEffect(() => {
    const by = (id) => answer && answer.readings.find((one) => one.id === id);
    show({
      settled: !stale && !limit.stale && !sure.stale, solved: state.asked && JSON.parse(state.asked), answer, limit: limit.answer,
      sure: sure.answer, balance: by("balance") && by("balance").now, took: took.current, fresh: !stale,
    });
  });
  return html`
    <h1 class="hidden">Adjust</h1>
    <div class="adjust">
      <div class="turns no-print">
        <${Adjusters} bench=${bench} />
      </div>
      <div class="found">
        <${PhaseChooser} bench=${bench} />
        <div class="sticky"><${Balance} state=${answer} phase=${bench.phase + bench.turn} stale=${stale}
          limit=${limit.stale && !limit.answer ? null : limit.answer} sure=${sure.stale ? null : sure.answer} /></div>
        <${Problem} error=${state.error || limit.error} again=${state.again} />
        ${answer && answer.problems[1] && html`<p class="stop" role="alert">${answer.problems[1]}</p>`}
        <${Progress} progress=${state.progress} />
        <${SetupBar} bench=${bench} right=${right} setRight=${setRight} />
        <div class="two">
          <${Tyres} tyres=${answer && answer.tyres} stale=${stale} />
          <div class="grid"><${Near} limit=${limit.answer} stale=${limit.stale} /><${States} state=${answer} stale=${stale} /></div>
        </div>
        ${right && html`<${Restoring} bench=${bench} state=${answer} />`}
        <${Work} bench=${bench} body=${asked} />
        <${Readings} state=${answer} stale=${stale} against=${bench.against} />
        ${sure.answer && sure.answer.measure && html`<p class="quiet sharper">Most of the doubt in the balance: ${sure.answer.measure}.</p>`}
        <${Cautions} texts=${answer ? answer.cautions : []} />
      </div>
    </div>`;
}

mount("adjust", Adjust);
