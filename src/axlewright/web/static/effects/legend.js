// How to read the grid, below it and on paper.
import { html } from "../kit/html.js";

/** What bars, marks and grey mean. */
export function Legend({ answer }) {
  const lead = answer.columns.find((one) => one.lead);
  return html`<ul class="legend quiet" aria-label="How to read it">
    <li><span class="track lead" aria-hidden="true"><i class="more" style="width:36%"></i></span> + to the right, filled: more${lead ? `; of the balance: ${lead.more}` : ""}</li>
    <li><span class="track lead" aria-hidden="true"><i class="less" style="width:36%"></i></span> - to the left, open: less${lead ? `; of the balance: ${lead.less}` : ""}</li>
    <li><span class="track lead" aria-hidden="true"><i class="more over" style="width:50%"></i></span> broken: longer than it is drawn; the third largest step fills its column</li>
    ${lead && lead.felt_words && html`<li><span class="track" aria-hidden="true"><s style="left:30%;width:40%"></s></span> between the dotted lines: too small to feel; the balance is ${lead.felt_words}</li>`}
    <li><b>?</b> the direction is only likely, <b>??</b> it is not known, given how well the car file's numbers are known; moves put right carry no mark</li>
    <li><b>0</b> no change; <b>!</b> the state was not reached as asked</li>
  </ul>`;
}
