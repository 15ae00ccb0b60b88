// Which lines of the table are shown, and in which order. Nothing is reckoned here but the order.

const NONE = -Infinity;

/** {shown, still, absent, order, kept}: lines to show, those that change nothing shown, steps that aren't there. */
export function lines(answer, look, fit, before) {
  const all = chosen(answer, look).map((row) => described(answer, row, look));
  const fitting = all.filter((line) => matches(line.about, look));
  const seen = look.feltOnly ? fitting.filter((line) => line.felt) : fitting;
  const still = look.words || look.adjuster ? [] : seen.filter((line) => fit.every((i) => line.cells[i] === null) && !line.wrong);
  const shown = seen.filter((line) => !still.includes(line));
  const sorted = sort(shown, answer, look.sort);
  const order = sorted.map((line) => line.key);
  const place = before && new Map(before.map((key, i) => [key, i]));
  const kept = place ? [...sorted].sort((a, b) => at(place, a) - at(place, b)) : sorted;
  return {
    shown: kept, still, absent: look.feltOnly ? [] : absent(answer, look), order: kept.map((line) => line.key),
    kept: kept.some((line, i) => line.key !== order[i]),
  };
}

function chosen(answer, look) {
  const ways = look.ways === "both" ? [1, -1] : [look.ways === "up" ? 1 : -1];
  const put = new Set(answer.rows.filter((row) => row.kind === "put-right").map(name));
  return answer.rows.filter((row) => ways.includes(row.steps)
    && (look.kind === "put-right" && put.has(name(row)) ? row.kind === "put-right" : row.kind === "as-turned"));
}

const name = (row) => `${row.adjuster}|${row.steps}|${row.phase}`;

function described(answer, row, look) {
  const about = answer.adjusters[row.adjuster];
  const lead = answer.columns.findIndex((one) => one.lead);
  const felt = lead < 0 || !!(row.cells[lead] && row.cells[lead].felt);
  const phase = answer.phases.find((one) => one.called === row.phase);
  return { ...row, about, key: name(row), felt, name: look.adjuster ? row.phase : about.name, move: about.moves[row.steps],
    held: look.adjuster ? phase.held : "" };
}

function matches(about, look) {
  if (look.adjuster) return true;
  if (look.group && about.group !== look.group) return false;
  const words = about.search.split(/[\s,:;]+/);
  return look.words.toLowerCase().split(/\s+/).every((typed) => words.some((word) => word.startsWith(typed)));
}

function absent(answer, look) {
  const ways = { up: [1, 0], down: [-1, 0], both: [1, -1, 0] }[look.ways];
  return answer.absent.filter((one) => ways.includes(one.steps) && matches(answer.adjusters[one.adjuster], look))
    .map((one) => ({ ...one, about: answer.adjusters[one.adjuster], key: `${one.adjuster}|${one.steps}` }));
}

const at = (place, line) => (place.has(line.key) ? place.get(line.key) : Infinity);

function sort(shown, answer, { by, way }) {
  const i = answer.columns.findIndex((one) => one.id === by);
  if (by === "minutes") return [...shown].sort((a, b) => a.about.minutes - b.about.minutes);
  if (i < 0) return shown;
  const value = (line) => {
    const cell = line.cells[i];
    if (cell === null) return way === "size" ? 0 : 0;
    if (cell.value === null) return NONE;
    return way === "size" ? Math.abs(cell.value) : way === "more" ? cell.value : -cell.value;
  };
  return [...shown].sort((a, b) => value(b) - value(a));
}
