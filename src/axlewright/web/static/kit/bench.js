// The bench as this browser sees it: the car, the setup that everybody moves, and one's own choices.
// Moves made while the bench can't be reached wait here, survive a reload, and are sent when it is back.
import { useEffect, useState } from "./html.js";
import { keep, kept, randomName } from "./kept.js";
import { show } from "./shown.js";

const who = kept("who") || randomName();
keep("who", who);

const RECONNECT = [300, 600, 1200, 2500, 5000]; // ms

let state = {
  ready: false, connected: true, car: null, adjusters: {}, positions: {}, shown: {}, setups: [], measured: {},
  undo: false, redo: false, warm: { what: "", done: 0, of: 1 }, notice: null, last: null, rechecks: 0,
  waiting: kept("waiting", []), author: kept("author", ""),
  phase: kept("phase", ""), turn: kept("turn", "left"), unitsChosen: kept("units", ""), against: kept("against", ""),
};
const listeners = new Set();
let sending = false;

function change(more) {
  state = { ...state, ...more };
  show({ bench: { positions: state.positions, connected: state.connected, waiting: state.waiting.length },
    settled: state.ready && state.waiting.length === 0 }, "bench");
  listeners.forEach((tell) => tell(state));
}

/** The bench, and one's own choices; redrawn whenever they change. */
export function useBench() {
  const [now, set] = useState(state);
  useEffect(() => {
    listeners.add(set);
    set(state);
    return () => listeners.delete(set);
  }, []);
  return derived(now);
}

function derived(now) {
  if (!now.ready) return { ...now, ...actions };
  const phases = now.car.phases;
  const phase = phases.find((one) => one.name === now.phase) || phases.find((one) => one.name === "mid-corner") || phases[0];
  const turn = phase.turns.includes(now.turn) ? now.turn : phase.turns[0];
  const units = now.unitsChosen || now.car.units;
  const setup = now.setups.find((one) => one.name === now.against);
  const against = setup || now.against === "as measured" ? now.against : "";
  const base = setup ? setup.positions : against === "as measured" ? now.measured : {};
  const shown = { ...now.shown };
  const positions = now.waiting.reduce((at, one) => predict(now, shown, at, one), now.positions);
  return { ...now, positions, undo_able: now.undo, redo_able: now.redo, phase: phase.name, phases, turn, turns: phase.turns, units, against, base, shown, ...actions };
}

/**
 * Positions once a waiting move is made, so that what it does is asked while the move itself is still on its way.
 * The bench has the last word: where it finds other positions, they are asked again.
 */
function predict(now, shown, positions, { path, body }) {
  if (path === "take") return body.positions;
  const adjuster = now.adjusters[body.adjuster];
  if (!adjuster) return positions;
  const at = { ...adjuster, ...shown[body.adjuster] };
  const to = tidy(path === "move" ? at.position + body.steps * adjuster.step : body.position);
  if (to < at.lo - 1e-6 || to > at.hi + 1e-6) return positions;
  shown[body.adjuster] = { ...at, position: to, said: null, moved: true, waiting: true };
  const found = { ...positions };
  for (const [id, share] of adjuster.made_of.length ? adjuster.made_of : [[body.adjuster, 1]]) {
    const written = now.adjusters[id].position;
    found[id] = tidy((id in positions ? positions[id] : written) + share * (to - at.position));
    if (id !== body.adjuster) shown[id] = { ...now.adjusters[id], ...shown[id], position: found[id], said: null, moved: true };
    if (found[id] === written) delete found[id];
  }
  return Object.fromEntries(Object.entries(found).sort(([a], [b]) => (a < b ? -1 : 1)));
}

/** Nine digits, as the bench keeps positions. */
const tidy = (position) => Number(position.toPrecision(9));

/** The fields that every question carries. */
export function askedBody(bench) {
  return bench.ready ? { car: bench.car.digest, positions: bench.positions, base: bench.base, units: bench.units } : null;
}

/** An adjuster as it stands now: its fields with position, range and words of the present setup. */
export function adjusterNow(bench, id) {
  return { ...bench.adjusters[id], moved: false, ...bench.shown[id] };
}

async function load() {
  const reply = await fetch(`/bench?who=${who}`);
  if (reply.status === 401) location.assign("/in");
  const { car, adjusters, setups, measured, words, ...standing } = await reply.json();
  change({ ready: true, car, adjusters, setups, measured, words });
  await stand(standing);
}

async function stand(standing, more = {}) {
  const other = !state.car || standing.digest !== state.car.digest;
  if (other || (standing.revision < state.revision && standing.run === state.run)) {
    change(more);
    return other && state.car ? load() : undefined;
  }
  const before = kept("stood", null);
  const waiting = (more.waiting || state.waiting).filter((one) => !standing.done.includes(one.body.request));
  change({ ...standing, ...more, waiting, connected: true });
  keep("stood", { run: standing.run, digest: standing.digest, positions: standing.positions });
  if (before && before.run !== standing.run && before.digest === standing.digest && Object.keys(before.positions).length) {
    const words = "as it stood before the bench was started again";
    putInLine("take", { car: standing.digest, positions: before.positions, words, first: true }, true); // before what waits
  }
  return undefined;
}

function connect(tries = 0) {
  const socket = new WebSocket(`${location.protocol === "https:" ? "wss" : "ws"}://${location.host}/bench/live?who=${who}`);
  let opened = false;
  socket.onopen = () => {
    opened = true;
    load().then(flush).catch(() => socket.close()); // and it is tried again
  };
  socket.onmessage = (event) => stand(JSON.parse(event.data)).catch(() => {});
  socket.onclose = () => {
    if (!document.hidden || opened) change({ connected: false });
    setTimeout(() => connect(opened ? 0 : tries + 1), RECONNECT[Math.min(tries, RECONNECT.length - 1)]);
  };
}

let began = 0; // when the last move was asked for

function queue(path, body) {
  began = performance.now();
  putInLine(path, body);
}

function putInLine(path, body, ahead = false) {
  const one = { path, body: { ...body, who, request: randomName() } };
  const waiting = ahead ? [one, ...state.waiting] : [...state.waiting, one];
  keep("waiting", waiting);
  change({ waiting, notice: null });
  flush();
}

async function flush() {
  if (sending || !state.waiting.length) return;
  sending = true;
  try {
    if (!state.connected) await load(); // it may be another bench by now, which has to be told first how the old one stood
    while (state.waiting.length) {
      const [first] = state.waiting;
      const reply = await post(first.path, first.body); // a lost connection throws: the move stays and waits
      const rest = state.waiting.filter((one) => one !== first); // with those queued meanwhile
      const { error, words, ...standing } = reply;
      await stand(standing, { waiting: rest });
      keep("waiting", state.waiting);
      if (error) change({ notice: { kind: "stop", text: error.message } });
    }
  } catch {
    change({ connected: false });
    setTimeout(flush, RECONNECT[1]);
  } finally {
    sending = false;
  }
}

async function post(path, body) {
  const reply = await fetch(`/bench/${path}`, {
    method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body),
  });
  if (reply.status === 401) location.assign("/in");
  if (reply.status >= 500) throw new Error("the bench failed");
  return reply.json();
}

async function direct(path, body) {
  try {
    const { error, words, ...standing } = await post(path, { ...body, who, request: "" });
    await stand(standing);
    if (error) change({ notice: { kind: "stop", text: error.message, problems: error.problems } });
    else change({ notice: words ? { kind: "ok", text: words } : null });
    return error ? { error } : { words };
  } catch {
    change({ connected: false, notice: { kind: "stop", text: "The bench can't be reached: this has not been done. Try again when it is back." } });
    return { error: { message: "not reached" } };
  }
}

const own = { phase: "phase", turn: "turn", unitsChosen: "units", against: "against", author: "author" };
const actions = {
  who,
  /** Move an adjuster by whole usable steps. */
  move: (adjuster, steps) => queue("move", { adjuster, steps, of: state.car.name }),
  /** Put an adjuster to a position. */
  put: (adjuster, position) => queue("put", { adjuster, position, of: state.car.name }),
  /** Put the whole setup elsewhere: positions that differ from what is written. */
  take: (positions, words) => queue("take", { car: state.car.digest, positions, words }),
  undo: () => direct("undo", {}).then(({ words }) => words && change({ notice: { kind: "ok", text: `taken back: ${words}` } })),
  redo: () => direct("redo", {}).then(({ words }) => words && change({ notice: { kind: "ok", text: `made again: ${words}` } })),
  /** Keep the setup by name in the car file; says so once it is on disk. */
  keepSetup: (body) => direct("keep", { ...body, positions: state.positions, car: state.car.digest }).then(async (found) => {
    if (!found.error) await load();
    return found;
  }),
  /** Choose for oneself: phase, turn, units, against, author. */
  choose: (more) => {
    const named = "units" in more ? { ...more, unitsChosen: more.units } : more;
    delete named.units;
    for (const [key, name] of Object.entries(own)) if (key in named) keep(name, named[key]);
    change(named);
  },
  /** Tell the person something at the top of the page; null takes it away. */
  tell: (notice) => change({ notice }),
  reload: () => load(),
  /** Milliseconds since the last move was asked for. */
  since: () => performance.now() - began,
};

change({});
connect();
