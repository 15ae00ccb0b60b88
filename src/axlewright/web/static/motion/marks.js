// How setups are told apart everywhere on the page: a letter, a dash and a colour, in this order.
import { html } from "../kit/html.js";

export const LETTERS = ["A", "B", "C", "D", "E", "F"];
export const MOST = LETTERS.length;
const DASHES = [[], [9, 4], [2, 3], [12, 3, 2, 3], [5, 3], [14, 5]];

/** Lengths of strokes and gaps of a setup's line. */
export const dashOf = (i) => DASHES[i % MOST];

/** The colour of a setup's line in the present light. */
export const colourOf = (i) => getComputedStyle(document.documentElement).getPropertyValue(`--setup-${i % MOST}`).trim();

/** A setup's letter and a piece of its line. */
export function Mark({ i }) {
  return html`<span class=${`setup-mark setup-${i}`}><b>${LETTERS[i]}</b><svg width="30" height="8" aria-hidden="true">
    <line x1="1" y1="4" x2="29" y2="4" stroke-width="2.5" stroke-dasharray=${dashOf(i).join(" ") || "none"} /></svg></span>`;
}
