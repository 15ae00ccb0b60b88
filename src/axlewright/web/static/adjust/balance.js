// The balance: from "pushes" to "loose", as compared with and now, with how well it is known; grip left at both ends.
import { html, useRef } from "../kit/html.js";

const SCALES = [0.1, 0.2, 0.4, 0.8, 1.6, 4];
const G = 9.81;

/** The largest thing on the page. */
export function Balance({ state, limit, sure, stale, phase }) {
  const by = (id) => state && state.readings.find((one) => one.id === id);
  const balance = by("balance");
  const scale = useScale(balance, phase);
  if (!balance) return html`<section class="card balance" aria-label="Balance"><p class="quiet">Solving...</p></section>`;
  const [saved, now] = balance.si.map((value) => (value === null ? null : value / G));
  const known = sure && sure.range !== null ? sure.range : null;
  const word = now === null ? "not reached" : Math.abs(now) < 0.001 ? "neutral" : now > 0 ? "looser at the rear" : "pushes at the front";
  return html`
    <section class="card balance" aria-labelledby="balance-name">
      <div class=${stale ? "stale" : ""}>
        <h2 id="balance-name">Balance <small class="quiet">${state.phase}: ${state.words}</small></h2>
        <div class="row spread">
          <p class="big"><output>${balance.now}</output> <small>g</small> <span class="word">${word}</span></p>
          <p class="change"><strong>${balance.change}</strong> g <span class="quiet">from ${balance.saved}</span><br />
            <span class=${balance.felt ? "" : "quiet"}>${balance.words ? balance.words.replace(/ [0-9.]+ g$/, "") : "no change"}${
              balance.words && !balance.felt ? ", too small to feel" : ""}</span></p>
        </div>
        <${Bar} saved=${saved} now=${now} known=${known} scale=${scale} />
        <p class="known">${sure && sure.known
          ? html`known to about <strong>±${sure.range_text} g</strong>${sure.direction && html`; the change to ±${sure.change_range} g: its direction is <strong>${sure.direction}</strong>`}<span class="more">. Most of the doubt: ${sure.measure}</span>.`
          : sure ? "How sure this is can't be said: the car file gives no tolerances." : "Working out how sure this is..."}</p>
        <dl class="ends">
          <${End} name="Front grip left" one=${by("grip_left_front")} />
          <${End} name="Rear grip left" one=${by("grip_left_rear")} />
          <${Margin} limit=${limit} />
        </dl>
      </div>
    </section>`;
}

/** A scale that holds both and only grows while one phase is looked at, so that the bar doesn't jump. */
function useScale(balance, phase) {
  const kept = useRef({ phase: "", scale: SCALES[1] });
  if (kept.current.phase !== phase) kept.current = { phase, scale: SCALES[1] };
  const largest = balance ? Math.max(...balance.si.map((value) => Math.abs(value || 0) / G)) * 1.1 : 0;
  kept.current.scale = Math.max(kept.current.scale, SCALES.find((one) => one >= largest) || SCALES.at(-1));
  return kept.current.scale;
}

function Bar({ saved, now, known, scale }) {
  const at = (value) => 50 + 47 * Math.max(-1, Math.min(1, value / scale));
  return html`
    <div class="balance-bar" aria-hidden="true">
      <svg viewBox="0 0 100 14" preserveAspectRatio="none" class="track">
        <rect x="3" y="4" width="94" height="6" class="line" />
        ${now !== null && known !== null && html`<rect x=${at(now - known)} y="2.5" width=${Math.max(at(now + known) - at(now - known), 0.3)} height="9" class="doubt" />`}
        ${now !== null && html`<rect x=${Math.min(50, at(now))} y="4" width=${Math.abs(at(now) - 50)} height="6" class=${now > 0 ? "loose" : "push"} />`}
        <line x1="50" x2="50" y1="1" y2="13" class="zero" />
      </svg>
      ${saved !== null && html`<i class="was" style=${{ left: `${at(saved)}%` }}></i>`}
      ${now !== null && html`<i class="is" style=${{ left: `${at(now)}%` }}></i>`}
      <span class="left">pushes</span><span class="middle">0</span><span class="right">loose</span>
      <span class="far-left">-${scale} g</span><span class="far-right">+${scale} g</span>
    </div>`;
}

function End({ name, one }) {
  if (!one) return null;
  const [saved, now] = one.si.map((value) => Math.max(0, (value || 0) / G));
  return html`<div><dt>${name}</dt><dd>
    <span class="bar"><i style=${{ width: `${Math.min(100, now * 100)}%` }}></i><b style=${{ left: `${Math.min(100, saved * 100)}%` }}></b></span>
    <span class="value">${one.now}<small> g</small></span> <span class="quiet">${one.change}</span></dd></div>`;
}

function Margin({ limit }) {
  return html`<div><dt>To the limit</dt><dd>${limit
    ? html`<span class="value">${limit.margin.now}<small> g</small></span> <span class="quiet">${limit.margin.change}</span>
      <span class="runs-out">${limit.runs_out[1] ? `then ${limit.runs_out[1]}` : "no limit found this way"}</span>`
    : html`<span class="quiet">walking there...</span>`}</dd></div>`;
}
