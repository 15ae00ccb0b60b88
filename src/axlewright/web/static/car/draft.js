// The draft of a car file: kept in this browser until it is saved or thrown away; the stored text stays beside it.
import { ask } from "../kit/ask.js";
import { keep, kept } from "../kit/kept.js";
import { useCallback, useEffect, useRef, useState } from "../kit/html.js";

const PAUSE = 800; // ms of rest between two edits that are taken back one by one
const MOST = 60; // edits that can be taken back
const AGAIN = 1500; // ms until a stored text that could not be reached is asked for again

/**
 * {stored, text, changed, fresh, stale, edit, begin, undo, canUndo, throwAway, saved, error}.
 * `fresh`: the draft did not begin from the car on the bench, so that saving it replaces another car.
 */
export function useDraft(bench) {
  const [stored, setStored] = useState(null);
  const [draft, setDraft] = useState(() => kept("car-draft", null));
  const [past, setPast] = useState(() => kept("car-past", []));
  const [error, setError] = useState(null);
  const now = useRef({});
  const last = useRef(0);
  const text = draft ? draft.text : stored ? stored.text : "";
  now.current = { ...now.current, stored, draft, past, text };

  const load = useCallback(() => ask("/car/stored", {}).then((found) => {
    setStored(found);
    setError(null);
    return found;
  }).catch((problem) => {
    setError(problem);
    setTimeout(load, AGAIN);
  }), []);
  useEffect(() => { load(); }, [bench.car.digest]);

  const put = useCallback((next) => {
    now.current = { ...now.current, draft: next, text: next ? next.text : now.current.stored.text };
    keep("car-draft", next);
    setDraft(next);
  }, []);
  const remember = useCallback((quick) => {
    const { draft: before } = now.current;
    const at = Date.now();
    if (!quick || at - last.current > PAUSE) {
      const list = [...now.current.past, before].slice(-MOST);
      now.current.past = list;
      keep("car-past", list.slice(-1)); // after a reload one step can be taken back
      setPast(list);
    }
    last.current = at;
  }, []);
  const base = () => now.current.draft || { was: now.current.stored.digest, of: now.current.stored.file || now.current.stored.becomes, fresh: "" };

  return {
    stored, text, error, changed: !!draft, fresh: draft ? draft.fresh : "", canUndo: past.length > 0, now, load,
    stale: !!(draft && stored && draft.was !== stored.digest),
    /** The person changed the text, by typing or by the form, which has waited for a rest already. */
    edit: useCallback((next, rested = false) => {
      now.current.rested = rested;
      const { stored: on } = now.current;
      remember(true);
      const from = base();
      put(next === on.text && from.was === on.digest && !from.fresh ? null : { ...from, text: next });
    }, []),
    /** Another text becomes the draft: imported, new, or a copy. */
    begin: useCallback((next, fresh) => {
      remember(false);
      put({ ...base(), was: now.current.stored.digest, text: next, fresh });
    }, []),
    /** The draft goes on from another stored text: what is on disk has been looked at. */
    rebase: useCallback((next, was) => {
      remember(false);
      put({ ...base(), text: next, was });
    }, []),
    undo: useCallback(() => {
      const list = now.current.past;
      if (!list.length) return;
      setPast(list.slice(0, -1));
      now.current.past = list.slice(0, -1);
      keep("car-past", list.slice(0, -1).slice(-1));
      last.current = 0;
      put(list[list.length - 1]);
    }, []),
    throwAway: useCallback(() => {
      remember(false);
      put(null);
    }, []),
    /** What was the draft is stored now. */
    saved: useCallback(async () => {
      await load();
      setPast([]);
      keep("car-past", []);
      put(null);
    }, []),
  };
}
