// How one looks at the table: which steps, rows, columns and order. One's own, and kept in this browser.
import { useCallback, useState } from "../kit/html.js";
import { keep, kept } from "../kit/kept.js";

const FIRST = {
  adjuster: "", columns: [], beside: "", ways: "up", kind: "as-turned", sort: { by: "balance", way: "size" }, again: 0,
  place: "", minutes: 0, group: "", words: "", feltOnly: false, open: "",
};
const VISIT = { words: "", open: "", again: 0 }; // not kept: what is typed or unfolded for a moment

/** The look and how to change it; `?adjuster=ID` in the address asks for one adjuster in all phases. */
export function useLook() {
  const [look, set] = useState(() => {
    const asked = new URLSearchParams(location.search);
    return { ...FIRST, ...kept("effects", {}), ...VISIT, adjuster: asked.get("adjuster") || "" };
  });
  const choose = useCallback((more) => set((old) => {
    const next = { ...old, ...more };
    keep("effects", next);
    if (next.adjuster !== old.adjuster) {
      history.replaceState(null, "", next.adjuster ? `?adjuster=${encodeURIComponent(next.adjuster)}` : location.pathname);
    }
    return next;
  }), []);
  return [look, choose];
}

/** What a tap on a heading does next: largest first, then more first, then less first. */
export function turned(sort, by) {
  if (sort.by !== by) return { by, way: "size" };
  return { by, way: { size: "more", more: "less", less: "size" }[sort.way] };
}
