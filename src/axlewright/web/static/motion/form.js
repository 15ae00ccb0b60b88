// What is done to the car: the event, and its inputs with units, checked as they are typed.
import { html } from "../kit/html.js";
import { useAnswer } from "../kit/ask.js";

const CLASSES = [..."ABCDEFGH"];

/** What the server says of the inputs: {problems: {id: words}, said: {id: words}}. */
export function useRead(event, given, units) {
  const { answer, asked, stale, error } = useAnswer("/motion/read", event ? { event, given, units } : null, { wait: 200 });
  const mine = answer && asked && JSON.parse(asked).event === event;
  return { problems: mine ? answer.problems : {}, said: mine ? answer.said : {}, reading: stale && !error };
}

/** The event and its fields. `change` takes {event} or {given}. */
export function EventForm({ forms, event, given, read, change }) {
  const form = forms.find((one) => one.id === event);
  return html`
    <fieldset class="segments events"><legend class="hidden">What is done</legend>${forms.map((one) => html`
      <label><input type="radio" name="event" value=${one.id} checked=${one.id === event}
        onChange=${() => change({ event: one.id })} /><span>${one.name}</span></label>`)}</fieldset>
    <p class="quiet event-words">${form.words}</p>
    <div class="fields">${form.inputs.map((one) => html`<${Field} key=${event + one.id} one=${one} value=${given[one.id] ?? ""}
      problem=${read.problems[one.id]} said=${read.said[one.id]}
      set=${(text) => change({ given: { ...given, [one.id]: text } })} />`)}</div>`;
}

function Field({ one, value, problem, said, set }) {
  const id = `input-${one.id}`;
  const common = { id, name: one.id, "aria-describedby": `${id}-words`, "aria-invalid": problem ? "true" : undefined };
  return html`<div class="field">
    <label for=${id}>${one.name}</label>
    ${one.kind === "class" ? html`<select ...${common} value=${value || one.default} onChange=${(e) => set(e.target.value)}>
        ${CLASSES.map((name) => html`<option value=${name}>${name}</option>`)}</select>`
      : html`<input ...${common} type="text" autocomplete="off" spellcheck=${false} placeholder=${one.default}
        value=${value} inputmode=${one.kind === "count" ? "numeric" : "text"} onInput=${(e) => set(e.target.value)} />`}
    <p id=${`${id}-words`} class=${problem ? "field-words stop" : "field-words quiet"} role=${problem ? "alert" : undefined}>
      ${problem || html`${one.words}${said ? html`: <b>${said}</b>` : ""}${
        value || one.kind === "class" ? "" : ` (${one.default})`}`}</p>
  </div>`;
}
