// Help: search, sections by part, and every entry with an address of its own (/help#reading-balance).
import { useAnswer } from "../kit/ask.js";
import { mount } from "../kit/frame.js";
import { html, useCallback, useEffect, useMemo, useRef, useState } from "../kit/html.js";
import { Problem, Progress } from "../kit/parts.js";
import { show } from "../kit/shown.js";
import { found, indexed } from "../help/found.js";

const MOST = 80; // results drawn at once

const wanted = () => decodeURIComponent(location.hash.slice(1));

function Help({ bench }) {
  const { answer, stale, progress, error, again } = useAnswer("/help/all", { car: bench.car.digest });
  const sections = useMemo(() => indexed(answer ? answer.sections : []), [answer]);
  const [asked, ask] = useState("");
  const [open, setOpen] = useState(() => new Set());
  const results = useMemo(() => found(sections, asked), [sections, asked]);
  const anchor = useAnchor(sections, setOpen, ask);

  const parts = [...new Set(sections.map((one) => one.part))];
  const toggle = useCallback((name, is) => setOpen((old) => {
    const next = new Set(old);
    if (is) next.add(name); else next.delete(name);
    return next;
  }), []);
  useEffect(() => show({
    settled: !stale, sections: sections.map((one) => one.anchor), asked, found: results.map((one) => one.anchor),
    open: [...open], anchor,
  }), [sections, asked, results, open, anchor, stale]);

  return html`
    <h1>Help</h1>
    <label class="search"><span>Search, in the words of the paddock too</span>
      <input type="search" value=${asked} onInput=${(event) => ask(event.target.value)} placeholder="sway bar, wedge, anti-squat"
        autocomplete="off" spellcheck="false" enterkeyhint="search" /></label>
    <p class="quiet count" role="status">${asked.trim() ? said(results.length) : ""}</p>
    <${Progress} progress=${progress} /><${Problem} error=${error} again=${again} />
    ${asked.trim() ? html`<div class="results">${results.slice(0, MOST).map((one) => html`<${Entry} key=${one.anchor} entry=${one} />`)}
        ${results.length > MOST && html`<p class="quiet">${results.length - MOST} more: type another word.</p>`}</div>`
      : html`<div class="shelves">
        <nav aria-label="Parts of help" class="contents no-print">${parts.map((part) => html`<a href=${`#part-${slug(part)}`}>${part}</a>`)}</nav>
        <div class="grow">${parts.map((part) => html`<section key=${part} aria-labelledby=${`part-${slug(part)}`}>
          <h2 id=${`part-${slug(part)}`} tabindex="-1">${part}</h2>
          ${sections.filter((one) => one.part === part).map((one) => html`
            <${Section} key=${one.anchor} section=${one} open=${open.has(one.anchor)} toggle=${toggle} />`)}</section>`)}</div>
      </div>`}`;
}

const said = (count) => (count === 0 ? "Nothing found: try fewer letters." : count === 1 ? "1 found" : `${count} found`);
const slug = (text) => text.toLowerCase().replaceAll(" ", "-");

/** Go to what the address names: its section is opened, and it is brought into view. */
function useAnchor(sections, setOpen, ask) {
  const [anchor, set] = useState(wanted());
  useEffect(() => {
    const look = () => set(wanted());
    window.addEventListener("hashchange", look);
    return () => window.removeEventListener("hashchange", look);
  }, []);
  const gone = useRef("");
  useEffect(() => {
    if (!anchor || !sections.length || gone.current === anchor) return;
    gone.current = anchor;
    const section = sections.find((one) => one.anchor === anchor || one.entries.some((entry) => entry.anchor === anchor));
    if (section) {
      ask("");
      setOpen((old) => new Set(old).add(section.anchor));
    }
    requestAnimationFrame(() => requestAnimationFrame(() => {
      const place = document.getElementById(anchor);
      if (place) {
        place.scrollIntoView({ block: "start" });
        place.focus({ preventScroll: true });
      }
    }));
  }, [anchor, sections]);
  return anchor;
}

function Section({ section, open, toggle }) {
  return html`<details class="card shelf" id=${section.anchor} tabindex="-1" open=${open}
      onToggle=${(event) => toggle(section.anchor, event.currentTarget.open)}>
    <summary><h3>${section.title}</h3> <span class="quiet">${section.entries.length}</span></summary>
    ${open && html`${section.about && section.about.split("\n\n").map((text) => html`<p class="about">${text}</p>`)}
      ${section.entries.map((one) => html`<${Entry} key=${one.anchor} entry=${one} />`)}`}
  </details>`;
}

function Entry({ entry }) {
  return html`<article class="entry" id=${entry.anchor} tabindex="-1" aria-label=${entry.name}>
    <h4>${entry.name} <a class="here" href=${`#${entry.anchor}`} aria-label=${`address of ${entry.name}`}>#</a></h4>
    ${entry.about && entry.about.split("\n\n").map((text) => html`<p>${text}</p>`)}
    ${entry.facts.length > 0 && html`<dl>${entry.facts.map(([label, text]) => html`<div><dt>${label}</dt><dd>${text}</dd></div>`)}</dl>`}
    ${entry.also && html`<p class="quiet also">also found by: ${entry.also}</p>`}
  </article>`;
}

mount("help", Help);
