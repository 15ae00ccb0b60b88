// The form: groups as the car file has them, each value as its owner wrote it, the other units beside it.
import { html } from "../kit/html.js";
import { within } from "./paths.js";

/** The form of a draft. `page` carries what fields need: messages, typed values, units, and what to do. */
export function Form({ form, page }) {
  const fields = form.entries.filter((one) => !one.entries);
  const groups = form.entries.filter((one) => one.entries);
  return html`<div class="form">
    <${Told} path="" page=${page} />
    ${fields.map((one) => html`<${Field} key=${one.path} field=${one} page=${page} />`)}
    ${groups.map((one) => html`<${Group} key=${one.path} group=${one} page=${page} depth=${0} />`)}
  </div>`;
}

function Group({ group, page, depth }) {
  if (group.sort === "point") return html`<${Point} group=${group} page=${page} />`;
  const open = page.unfolded.has(group.path);
  const count = (list) => list.filter((one) => within(one.path, group.path)).length;
  const problems = count(page.problems);
  const warnings = count(page.warnings);
  return html`<details class=${`group depth-${Math.min(depth, 3)} ${group.given ? "" : "absent"}`} open=${open}
      onToggle=${(event) => page.unfold(group, event.currentTarget.open)}>
    <summary id=${`group-${group.path}`}>
      <span class="title">${group.title}</span> <span class="quiet grow about">${about(group)}</span>
      ${problems > 0 && html`<span class="stop">${problems} ${problems === 1 ? "problem" : "problems"}</span>`}
      ${problems === 0 && warnings > 0 && html`<span class="warn">${warnings} unusual</span>`}
    </summary>
    ${open && html`<div class="inside">
      <${Told} path=${group.path} page=${page} />
      ${group.entries.map((one) => (one.entries
        ? html`<${Group} key=${one.path} group=${one} page=${page} depth=${depth + 1} />`
        : html`<${Field} key=${one.path} field=${one} page=${page} />`))}
      ${group.given && !group.required && html`<button type="button" class="small" onClick=${() => page.leave(group.path, "")}>Take ${group.title} out</button>`}
    </div>`}
  </details>`;
}

function about(group) {
  const words = group.about.toLowerCase() === group.title.toLowerCase() ? "" : group.about;
  return group.given ? words : words ? `${words} - not in the file` : "not in the file";
}

function Point({ group, page }) {
  return html`<fieldset class="field point" id=${`group-${group.path}`}>
    <legend>${group.title} <span class="quiet">${group.about}</span></legend>
    <div class="axes">${group.entries.map((one) => html`<div key=${one.path}>
      <label for=${`field-${one.path}`}>${one.title}</label><${Input} field=${one} page=${page} /><${Other} field=${one} page=${page} />
    </div>`)}</div>
    ${[group.path, ...group.entries.map((one) => one.path)].map((path) => html`<${Told} path=${path} page=${page} />`)}
  </fieldset>`;
}

function Field({ field, page }) {
  return html`<div class="field" id=${`around-${field.path}`}>
    <label for=${`field-${field.path}`}>${field.title}${field.required ? "" : html` <small class="quiet">may be left out</small>`}</label>
    <div class="row"><${Input} field=${field} page=${page} /><${Other} field=${field} page=${page} /></div>
    ${field.about && html`<p class="quiet about" id=${`about-${field.path}`}>${field.about}${field.default ? `; ${field.default} when left out` : ""}</p>`}
    <${Told} path=${field.path} page=${page} />
  </div>`;
}

/** The value in the chosen system of units; the file keeps its own. */
function Other({ field, page }) {
  const said = field[page.units];
  return html`<span class="other quiet" data-of=${field.path}>${said ? `= ${said}` : ""}</span>`;
}

function Input({ field, page }) {
  const { path } = field;
  const value = path in page.typed ? page.typed[path] : field.value || "";
  const bad = page.placed.get(path)?.some((one) => one.bad);
  const told = page.placed.has(path) ? `told-${path}` : field.about ? `about-${path}` : undefined;
  const common = {
    id: `field-${path}`, value, disabled: page.locked, "aria-invalid": bad ? "true" : undefined, "aria-describedby": told,
    onFocus: () => page.focus(path), class: bad ? "bad" : "",
  };
  const choices = field.sort === "yes" ? ["true", "false"] : field.sort === "words" ? field.words : null;
  if (choices) {
    return html`<select ...${common} onChange=${(event) => page.leave(path, event.target.value)}>
      ${(!field.required || !value) && html`<option value="">${field.default ? `${field.default}, by itself` : "not given"}</option>`}
      ${!choices.includes(value) && value && html`<option value=${value}>${value}</option>`}
      ${choices.map((one) => html`<option value=${one}>${one}</option>`)}</select>`;
  }
  const digits = field.sort === "count" ? "numeric" : field.sort === "number" && field.least >= 0 ? "decimal" : "text";
  return html`<input type="text" ...${common} inputmode=${digits} placeholder=${field.example || ""} autocomplete="off" autocapitalize="off"
    spellcheck=${field.sort === "text"} enterkeyhint="done" onInput=${(event) => page.type(path, event.target.value)}
    onBlur=${(event) => page.left(path, event.target.value, field.value || "")}
    onKeyDown=${(event) => event.key === "Enter" && event.target.blur()} />`;
}

function Told({ path, page }) {
  const list = page.placed.get(path) || [];
  const refused = page.refused[path];
  if (!list.length && !refused) return null;
  return html`<ul class="told" id=${`told-${path}`}>
    ${refused && html`<li class="stop-line">${refused}</li>`}
    ${list.map((one) => html`<li class=${one.bad ? "stop-line" : "warn-line"}>
      <strong>${one.bad ? "Problem" : "Unusual"}</strong>: found ${one.found}; expected ${one.expected}. ${one.bad ? "Likeliest fix" : "If it is not meant"}: ${one.fix}.
      ${one.line && html` <button type="button" class="small" onClick=${() => page.toLine(one.line)}>line ${one.line}</button>`}</li>`)}
  </ul>`;
}
