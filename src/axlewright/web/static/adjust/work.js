// The moves so far as work: merged and in order, what has to be looked at again, elapsed minutes for one or two people.
import { html, useEffect, useState } from "../kit/html.js";

/** A list to work through, on paper too. */
export function Work({ bench, body }) {
  const [found, set] = useState(null);
  const text = body === null ? "" : JSON.stringify(body);
  useEffect(() => {
    if (!text) return undefined;
    let gone = false;
    fetch("/adjust/work", { method: "POST", headers: { "Content-Type": "application/json" }, body: text })
      .then((reply) => (reply.ok ? reply.json() : null)).then((answer) => { if (!gone && answer) set(answer); }).catch(() => {});
    return () => { gone = true; };
  }, [text, bench.connected]);
  return html`
    <section class="card work" id="work" aria-labelledby="work-name">
      <h2 id="work-name">Moves and re-checks</h2>
      ${found && found.jobs.length ? html`
        ${found.cautions.map((one) => html`<p class="caution">${one}</p>`)}
        <ol>${found.jobs.map((job) => html`<li><span class="box" aria-hidden="true"></span><span><strong>${job.name}</strong>: ${job.from} to <strong>${job.to}</strong>${" "}
          <span class="quiet">${job.minutes} min, ${job.place}</span>${job.note && html` <span class="warn">${job.note}</span>`}</span></li>`)}</ol>
        <h3>Then look again at</h3>
        ${found.looks.length ? html`<ol>${found.looks.map((look) => html`<li><span class="box" aria-hidden="true"></span><span><strong>${look.words}</strong>${" "}
          <span class="quiet">${look.minutes ? `${look.minutes} min` : "while driving"}; after ${look.because.join("; ")}</span></span></li>`)}</ol>
        <p class="warn">Not ready until these ${found.looks.length} are looked at.</p>` : html`<p class="quiet">Nothing.</p>`}
        <p>About <strong>${found.alone} min</strong> for one, <strong>${found.together} min</strong> for two people.${" "}
          <span class="quiet">Tools at hand, cold car; common practice. One reads back.</span></p>`
        : html`<p class="quiet">Nothing has been moved.</p>`}
    </section>`;
}
