// The linkage in space, turned by hand, by buttons or by arrow keys; drawn when something changes and never otherwise.
import { html, useEffect, useRef, useState } from "../kit/html.js";
import { carried } from "./view.js";

const TURN = Math.PI / 16;
const KEYS = { ArrowLeft: [-TURN, 0], ArrowRight: [TURN, 0], ArrowUp: [0, -TURN], ArrowDown: [0, TURN] };
const NEARER = 0.85;

/** The turning view; its library is loaded only when it is shown. */
export function Turning({ scene, base, links, marked, width, height, says }) {
  const canvas = useRef(null);
  const space = useRef(null);
  const [fault, setFault] = useState("");
  const [ready, setReady] = useState(false);
  useEffect(() => {
    let gone = false;
    import("./space.js").then(({ Space }) => {
      if (gone) return;
      space.current = new Space(canvas.current);
      setReady(true);
    }).catch(() => setFault("This browser can't draw in three dimensions. The four drawings say the same."));
    const theme = () => space.current?.paint();
    document.addEventListener("theme", theme);
    return () => {
      gone = true;
      document.removeEventListener("theme", theme);
      space.current?.close();
      space.current = null;
    };
  }, []);
  useEffect(() => space.current?.size(width, height), [ready, width, height]);
  useEffect(() => space.current?.show(scene, base, (path) => (path === marked ? "marked" : carried(links[path]))), [ready, scene, base, links, marked]);
  const turn = (sideways, up) => space.current?.turn(sideways, up);
  const key = (event) => {
    const by = KEYS[event.key];
    if (by) turn(...by);
    else if (event.key === "+" || event.key === "-") space.current?.nearer(event.key === "+" ? NEARER : 1 / NEARER);
    else return;
    event.preventDefault();
  };
  if (fault) return html`<p class="quiet turning-fault">${fault}</p>`;
  return html`<figure class="turning">
    <canvas ref=${canvas} width=${width} height=${height} tabindex="0" role="img" onKeyDown=${key}
      aria-label=${`Turning view: ${says}. Arrow keys turn it, plus and minus come nearer and go away.`}></canvas>
    <div class="turn-buttons no-print">
      <button type="button" aria-label="Turn to the left" onClick=${() => turn(-TURN, 0)}>\u2190</button>
      <button type="button" aria-label="Turn to the right" onClick=${() => turn(TURN, 0)}>\u2192</button>
      <button type="button" aria-label="Look from higher" onClick=${() => turn(0, -TURN)}>\u2191</button>
      <button type="button" aria-label="Look from lower" onClick=${() => turn(0, TURN)}>\u2193</button>
    </div></figure>`;
}
