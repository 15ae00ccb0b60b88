// The frame around every page: links, the car and its setup, the connection, units and light.
import { html, render, useState } from "./html.js";
import { useBench } from "./bench.js";

const THEMES = [["auto", "as the machine"], ["light", "light"], ["dark", "dark"], ["sun", "sun: most contrast"]];

/** Draw a page inside the frame; it gets the bench as a prop. */
export function mount(name, Page) {
  const root = document.getElementById("page");
  const links = [...root.querySelectorAll("nav a")].map((one) => [one.pathname, one.textContent]); // as the server lists them
  root.replaceChildren();
  render(html`<${Frame} here=${`/${name}`} links=${links} Page=${Page} />`, root);
}

function Frame({ here, links, Page }) {
  const bench = useBench();
  return html`
    <header class="top">
      <nav aria-label="Pages"><ul>${links.map(([address, title]) => html`
        <li><a href=${address} aria-current=${address === here ? "page" : undefined}>${title}</a></li>`)}</ul></nav>
      <${Standing} bench=${bench} />
    </header>
    <${Notice} bench=${bench} />
    <main id="content" tabindex="-1">
      ${bench.ready ? html`<${Page} bench=${bench} />` : html`<p class="quiet" role="status">${bench.connected
        ? "Reading the car..." : "The bench can't be reached. Is it still running on the laptop? It is tried again by itself."}</p>`}
    </main>`;
}

function Standing({ bench }) {
  const moved = Object.keys(bench.positions).length;
  const busy = bench.warm.done < bench.warm.of;
  const link = bench.connected ? (bench.waiting.length ? `${bench.waiting.length} waiting` : "") : "not connected";
  return html`
    <div class="standing">
      <span class="car-name">${bench.ready ? bench.car.name : ""}</span>
      <span class="quiet">${bench.ready ? (moved ? `${moved} moved` : "as written") : ""}</span>
      ${bench.rechecks > 0 && html`<a class="mark" href="/adjust#work">${bench.rechecks} to re-check</a>`}
      <span class=${`link ${bench.connected ? "" : "stop"}`} role="status">${link}</span>
      ${busy && html`<span class="warming" role="status">
        <progress max=${bench.warm.of} value=${bench.warm.done + 0.3} aria-label="solver"></progress> ${bench.warm.what}</span>`}
      <${Choices} bench=${bench} />
    </div>`;
}

function Choices({ bench }) {
  const [theme, setTheme] = useState(window.benchTheme.get());
  return html`
    <details class="choices"><summary>Units, light</summary>
      <div class="panel">
        <fieldset><legend>Units</legend>${[["metric", "SI"], ["us", "US"]].map(([value, words]) => html`
          <label><input type="radio" name="units" value=${value} checked=${bench.units === value}
            onChange=${() => bench.choose({ units: value })} /> ${words}</label>`)}</fieldset>
        <fieldset><legend>Light</legend>${THEMES.map(([value, words]) => html`
          <label><input type="radio" name="theme" value=${value} checked=${theme === value}
            onChange=${() => { window.benchTheme.set(value); setTheme(value); }} /> ${words}</label>`)}</fieldset>
      </div>
    </details>`;
}

function Notice({ bench }) {
  return html`<div class="notices" role="status" aria-live="polite">${bench.notice && html`
    <p class=${`notice ${bench.notice.kind}`}>${bench.notice.text}
      <button type="button" class="small" onClick=${() => bench.tell(null)}>OK</button></p>`}</div>`;
}
