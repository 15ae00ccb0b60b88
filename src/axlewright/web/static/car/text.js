// The car file as text: lines numbered, and what is wrong with a line told beside it.
import { html, useEffect, useRef } from "../kit/html.js";

const HEIGHT = 20; // px of a line, as in the style

/** The text of a draft; `line` {number, at} is brought into view whenever `at` changes. */
export function Text({ text, messages, line, onEdit }) {
  const area = useRef(null);
  const layers = [useRef(null), useRef(null)];
  const follow = () => layers.forEach((one) => { one.current.style.transform = `translateY(${-area.current.scrollTop}px)`; });
  useEffect(() => {
    if (!line.number || !area.current) return;
    const start = text.split("\n").slice(0, line.number - 1).join("\n").length + (line.number > 1 ? 1 : 0);
    const end = text.indexOf("\n", start);
    area.current.focus({ preventScroll: true });
    area.current.setSelectionRange(start, end < 0 ? text.length : end);
    area.current.scrollTop = Math.max(0, (line.number - 4) * HEIGHT);
    area.current.scrollIntoView({ block: "nearest" });
    follow();
  }, [line.at]);
  useEffect(follow, [text]);

  const byLine = new Map();
  for (const one of messages) if (one.line) byLine.set(one.line, [...(byLine.get(one.line) || []), one]);
  const numbers = text.split("\n").map((_, i) => i + 1);
  return html`<div class="text">
    <div class="lines" aria-hidden="true"><div ref=${layers[0]}>${numbers.map((n) => html`
      <div key=${n} class=${byLine.has(n) ? (byLine.get(n)[0].bad ? "bad" : "odd") : ""}>${byLine.has(n) ? "! " : ""}${n}</div>`)}</div></div>
    <textarea ref=${area} aria-label="Car file as text" value=${text} spellcheck="false" autocapitalize="off" autocomplete="off" wrap="off"
      onInput=${(event) => onEdit(event.target.value)} onScroll=${follow}></textarea>
    <div class="notes" aria-hidden="true"><div ref=${layers[1]}>${[...byLine].map(([n, told]) => html`
      <p key=${n} class=${told[0].bad ? "bad" : "odd"} style=${{ top: `${(n - 1) * HEIGHT}px` }}>${told.map((one) => `found ${one.found}; expected ${one.expected}`).join(" | ")}</p>`)}</div></div>
  </div>`;
}
