// Questions to the server: lines of JSON with progress; two in flight, the latest wins, a failure keeps the last answer.
import { useCallback, useEffect, useRef, useState } from "./html.js";

const LOST = "The bench can't be reached; this is the last answer. It is asked again by itself.";
const AGAIN = 1500; // ms until a lost question is asked again
const SLOW = 1000; // ms; an answer that takes longer shows how far it is

/** Ask once: `tell` gets progress and parts. Throws an Error with `problems` when the server says what is wrong. */
export async function ask(path, body, { tell = () => {}, signal } = {}) {
  let reply;
  try {
    reply = await fetch(path, {
      method: "POST", signal, headers: { "Content-Type": "application/json" }, body: JSON.stringify(body),
    });
  } catch (error) {
    throw Object.assign(new Error(LOST), { lost: error.name !== "AbortError", cause: error });
  }
  if (reply.status === 401) location.assign("/in");
  if (!/json/.test(reply.headers.get("Content-Type"))) throw new Error(await reply.text());
  let answer;
  await lines(reply, (line) => {
    if (line.error) throw Object.assign(new Error(line.error.message), { problems: line.error.problems || [] });
    if ("answer" in line) answer = line.answer;
    else tell(line);
  });
  if (answer === undefined) throw Object.assign(new Error(LOST), { lost: true });
  return answer;
}

async function lines(reply, take) {
  const reader = reply.body.getReader();
  const decoder = new TextDecoder();
  let rest = "";
  for (;;) {
    let piece;
    try {
      piece = await reader.read();
    } catch (error) {
      throw Object.assign(new Error(LOST), { lost: true, cause: error });
    }
    rest += decoder.decode(piece.value || new Uint8Array(), { stream: !piece.done });
    const parts = rest.split("\n");
    rest = piece.done ? "" : parts.pop();
    for (const part of parts) if (part.trim()) take(JSON.parse(part));
    if (piece.done) return;
  }
}

/**
 * The answer to a question that changes: {answer, asked, stale, progress, error, again}.
 * `body` null asks nothing. A part is merged into the answer at once; `asked` is the body that the answer is of.
 */
export function useAnswer(path, body, { wait = 0, merge = true } = {}) {
  const [state, set] = useState({ answer: null, asked: null, progress: null, error: null });
  const flight = useRef({ running: [], next: null, newest: 0, shown: 0, timer: 0 });
  const text = body === null ? null : JSON.stringify(body);
  const [round, again] = useState(0);

  useEffect(() => {
    if (text === null) return undefined;
    const timer = setTimeout(() => start(flight.current, path, text, set, merge), wait);
    return () => clearTimeout(timer);
  }, [path, text, round]);
  useEffect(() => () => {
    clearTimeout(flight.current.timer);
    flight.current.gone = true;
    flight.current.running.forEach((one) => one.abort.abort());
  }, []);
  const repeat = useCallback(() => again((n) => n + 1), []);
  return { ...state, stale: text !== null && (state.asked !== text || !state.whole), again: repeat };
}

function start(flight, path, text, set, merge) {
  clearTimeout(flight.timer);
  if (flight.running.length >= 2) {
    flight.next = text; // asked when one of the two has come back; only the latest is kept
    return;
  }
  const one = { number: ++flight.newest, abort: new AbortController(), text };
  flight.running.push(one);
  const latest = () => one.number >= flight.shown;
  const began = performance.now();
  let parts = {};
  const tell = (line) => {
    if (flight.gone || !latest()) return;
    if (line.progress && performance.now() - began > SLOW) set((old) => ({ ...old, progress: line.progress }));
    if (line.part) {
      parts = { ...parts, ...line.part };
      flight.shown = one.number;
      const now = parts;
      set((old) => ({ ...old, answer: merge ? { ...old.answer, ...now } : now, asked: text, whole: false, error: null }));
    }
  };
  ask(path, JSON.parse(text), { tell, signal: one.abort.signal })
    .then((answer) => {
      if (flight.gone || !latest()) return;
      flight.shown = one.number;
      set({ answer: { ...parts, ...answer }, asked: text, whole: true, progress: null, error: null });
    })
    .catch((error) => {
      if (flight.gone || !latest()) return;
      set((old) => ({ ...old, progress: null, error: { message: error.message, problems: error.problems || [], lost: !!error.lost } }));
      if (error.lost && one.number === flight.newest) flight.timer = setTimeout(() => start(flight, path, text, set, merge), AGAIN);
    })
    .finally(() => {
      flight.running = flight.running.filter((other) => other !== one);
      const next = flight.next;
      flight.next = null;
      if (next !== null && !flight.gone) start(flight, path, next, set, merge);
    });
}
