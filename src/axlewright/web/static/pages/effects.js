// Effects: a grid of what one step of each adjuster changes; a tap on a number tries that step.
import { html, useEffect, useMemo, useRef, useState } from "../kit/html.js";
import { adjusterNow, askedBody } from "../kit/bench.js";
import { mount } from "../kit/frame.js";
import { Cautions, PhaseChooser, Problem, Progress } from "../kit/parts.js";
import { useAnswer } from "../kit/ask.js";
import { show } from "../kit/shown.js";
import { Choices } from "../effects/choices.js";
import { Columns, useColumns } from "../effects/columns.js";
import { Grid } from "../effects/grid.js";
import { Legend } from "../effects/legend.js";
import { lines } from "../effects/lines.js";
import { useLook } from "../effects/look.js";
import { Tried } from "../effects/tried.js";

function Effects({ bench }) {
  const [look, choose] = useLook();
  const [tried, setTried] = useState(null);
  const body = { ...askedBody(bench), base: {}, phase: bench.phase, turn: bench.turn, adjuster: look.adjuster,
    readings: look.columns, place: look.place || null, minutes: look.minutes || null };
  const asked = useAnswer("/effects/table", body);
  const { answer, error } = asked;
  const old = asked.asked !== JSON.stringify(body);
  const [place, fit] = useColumns(answer, look);
  const found = useOrder(answer, look, fit);

  const attempt = (line, at) => {
    const adjuster = answer.adjusters[line.adjuster];
    if (adjusterNow(bench, line.adjuster).position !== adjuster.position) {
      setTried({ wait: true, name: adjuster.name });
      return;
    }
    bench.move(line.adjuster, line.steps);
    setTried({ line, name: adjuster.name, cautions: adjuster.cautions, move: adjuster.moves[line.steps], column: answer.columns[at],
      cell: line.cells[at] || answer.none, lead: line.cells[0] || answer.none });
  };

  useEffect(() => {
    show({
      title: "Effects", settled: !asked.stale || !!error, dimmed: old, error: error ? error.message : "",
      sure: !!(answer && answer.sure), now: answer ? answer.phases.map((one) => one.now.join("; ")) : [],
      columns: fit.map((i) => answer.columns[i].id), sort: look.sort, still: found.still.length,
      rows: found.shown.map((line) => ({ key: line.key, felt: line.felt,
        cells: fit.map((i) => texts(line.cells[i] || answer.none)) })),
      sharpen: answer ? answer.sharpen : [], tried: tried ? tried.move || "" : "",
    });
  });

  return html`
    <h1 class="hidden">Effects: what one step of each adjuster changes</h1>
    <div class="row effects-phase">
      <div class="no-print">
      ${look.adjuster ? html`<button type="button" onClick=${() => choose({ adjuster: "" })}>All adjusters, one phase</button>`
        : html`<${PhaseChooser} bench=${bench} />`}</div>
      <p class="effects-now grow">${answer ? now(answer, look) : ""}</p>
    </div>
    <${Choices} look=${look} choose=${choose} answer=${answer} bench=${bench} />
    <div class="row effects-columns no-print">
      <${Columns} look=${look} choose=${choose} bench=${bench} answer=${answer} fit=${fit} />
      <span class="grow again">${found.kept && html`<span class="quiet">in the order of before the last move</span>
        <button type="button" onClick=${() => choose({ again: look.again + 1 })}>Sort again</button>`}</span>
      <${Progress} progress=${asked.progress} />
    </div>
    <${Problem} error=${error} again=${asked.again} />
    <div ref=${place} class=${`effects-place ${old ? "stale" : ""}`}>
      ${old && answer && html`<p class="hidden" role="status">The table is still that of the setup before.</p>`}
      ${answer && html`<${Grid} answer=${answer} found=${found} fit=${fit} look=${look} choose=${choose} attempt=${attempt} />`}
    </div>
    ${answer && html`<${Below} answer=${answer} found=${found} />`}
    <${Tried} tried=${tried} bench=${bench} close=${() => setTried(null)} />`;
}

const texts = (cell) => cell.text + cell.mark;

function now(answer, look) {
  if (look.adjuster) return `${answer.adjusters[look.adjuster].name}, in every phase; ${answer.adjusters[look.adjuster].now}`;
  const phase = answer.phases[0];
  return html`${phase.now.join("; ")} <small class="quiet">${phase.called}: ${phase.held}</small>`;
}

/** Lines to show. Their order stays when the numbers change by a move, so that nothing jumps from under a thumb. */
function useOrder(answer, look, fit) {
  const keep = useRef({ by: "", order: [] });
  return useMemo(() => {
    if (!answer) return { shown: [], absent: [], still: [], kept: false };
    const by = JSON.stringify([look.sort, look.ways, look.kind, look.adjuster, answer.phases.map((one) => one.called), look.again]);
    const before = keep.current.by === by ? keep.current.order : null;
    const found = lines(answer, look, fit, before);
    keep.current = { by, order: found.order };
    return found;
  }, [answer, look, fit.join()]);
}

function Below({ answer, found }) {
  return html`
    ${found.still.length > 0 && html`<p class="quiet">No change in what is shown: ${found.still.map((line) => line.name).join("; ")}.</p>`}
    <p class="sharpen">${answer.sharpen.length ? html`<strong>What would sharpen this most:</strong> ${answer.sharpen.join("; ")}.`
      : answer.sure ? "" : html`<span class="quiet">How sure each direction is follows in a moment.</span>`}</p>
    <${Legend} answer=${answer} />
    <${Cautions} texts=${[...answer.cautions, ...answer.own_cautions.map((one) => `${one.text} (${few(one.adjusters)})`)]} />`;
}

function few(names) {
  return names.slice(0, 6).join(", ") + (names.length > 6 ? ` and ${names.length - 6} more` : "");
}

mount("effects", Effects);
