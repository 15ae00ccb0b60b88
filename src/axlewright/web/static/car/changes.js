// What is typed in the form, on its way into the text: one change after the other, each on the text as it is then.
import { ask } from "../kit/ask.js";
import { keep, kept } from "../kit/kept.js";
import { useCallback, useEffect, useRef, useState } from "../kit/html.js";

const REST = 250; // ms without a key until what was typed goes into the text
const AGAIN = 1500; // ms until a change that could not be sent is sent again

/** {typed, refused, lost, busy, type, leave, settle}: `typed` is what fields show until the text has it. */
export function useChanges(draft, opened) {
  const [typed, setTyped] = useState(() => kept("car-typed", {}));
  const [refused, setRefused] = useState({});
  const [busy, setBusy] = useState(false);
  const [lost, setLost] = useState(false);
  const state = useRef({ queue: new Map(), timers: new Map(), running: false });
  const latest = useRef({});
  latest.current = { draft, opened };

  const note = useCallback((path, said) => setTyped((old) => {
    const next = { ...old, [path]: said };
    keep("car-typed", next);
    return next;
  }), []);

  const run = useCallback(async () => {
    const { queue } = state.current;
    if (state.current.running || !queue.size) return;
    state.current.running = true;
    setBusy(true);
    let rest = 0;
    while (queue.size) {
      const [path, said] = queue.entries().next().value;
      const { text } = latest.current.draft.now.current;
      queue.delete(path);
      try {
        const found = await ask("/car/change", { text, path, said, opened: latest.current.opened });
        if (latest.current.draft.now.current.text !== text) { // somebody typed in the text meanwhile
          if (!queue.has(path)) queue.set(path, said);
          continue;
        }
        setLost(false);
        if (found.text !== text) latest.current.draft.edit(found.text, true);
        setRefused((old) => ({ ...old, [path]: undefined }));
      } catch (error) {
        if (error.lost) {
          if (!queue.has(path)) queue.set(path, said);
          rest = AGAIN;
          setLost(true);
          break;
        }
        setLost(false);
        setRefused((old) => ({ ...old, [path]: error.message }));
      }
    }
    state.current.running = false;
    setBusy(queue.size > 0);
    if (rest) setTimeout(run, rest);
  }, []);

  const send = useCallback((path, said) => {
    clearTimeout(state.current.timers.get(path));
    state.current.timers.delete(path);
    state.current.queue.set(path, said);
    run();
  }, []);

  useEffect(() => { // typed before a reload, while the bench could not be reached
    if (draft.stored) for (const [path, said] of Object.entries(kept("car-typed", {}))) if (said.trim()) send(path, said);
  }, [!!draft.stored]);

  return {
    typed, refused, lost, busy: busy || state.current.timers.size > 0,
    /** A key was pressed: an empty field waits until it is left, since taking a key out takes its comment along. */
    type: useCallback((path, said) => {
      note(path, said);
      clearTimeout(state.current.timers.get(path));
      if (said.trim()) state.current.timers.set(path, setTimeout(() => send(path, said), REST));
    }, []),
    /** The field was left, or a choice was made. */
    leave: useCallback((path, said) => {
      note(path, said);
      send(path, said);
    }, []),
    /** The text has everything that was typed: fields show what it says again. */
    settle: useCallback((focused) => {
      if (state.current.queue.size || state.current.running || state.current.timers.size) return;
      setTyped((old) => {
        const left = Object.fromEntries(Object.entries(old).filter(([path]) => path === focused));
        if (Object.keys(left).length === Object.keys(old).length) return old;
        keep("car-typed", left);
        return left;
      });
    }, []),
  };
}
