// The setup as a whole: undo, redo, compare with, put right, save as, print.
import { html, useEffect, useState } from "../kit/html.js";

/** What one does with the whole setup. */
export function SetupBar({ bench, right, setRight }) {
  const [saving, setSaving] = useState(false);
  useEffect(() => {
    const key = (event) => {
      if (!(event.ctrlKey || event.metaKey) || /INPUT|TEXTAREA|SELECT/.test(event.target.tagName)) return;
      if (event.key === "z" && !event.shiftKey) { event.preventDefault(); bench.undo(); }
      if (event.key === "y" || (event.key === "z" && event.shiftKey)) { event.preventDefault(); bench.redo(); }
    };
    addEventListener("keydown", key);
    return () => removeEventListener("keydown", key);
  }, []);
  const moved = Object.keys(bench.positions).length;
  return html`
    <section class="setup-bar no-print" aria-label="The whole setup">
      <div class="row">
        <button type="button" disabled=${!bench.undo_able} onClick=${bench.undo}>Undo</button>
        <button type="button" disabled=${!bench.redo_able} onClick=${bench.redo}>Redo</button>
        <button type="button" disabled=${!moved} onClick=${() => bench.take({}, "back to the setup as written")}>Back to as written</button>
        <button type="button" class="main" aria-expanded=${saving} onClick=${() => setSaving(!saving)}>Save as...</button>
        <button type="button" onClick=${() => print()}>Print</button>
      </div>
      <div class="row">
        <label>Compare with <select value=${bench.against} onChange=${(event) => bench.choose({ against: event.target.value })}>
          <option value="">as written in the file</option><option value="as measured">as measured, nothing moved</option>
          ${bench.setups.map((one) => html`<option value=${one.name}>${one.name}</option>`)}</select></label>
        <fieldset class="segments"><legend class="hidden">How the change is counted</legend>
          <label><input type="radio" name="right" checked=${!right} onChange=${() => setRight(false)} /><span>as turned</span></label>
          <label><input type="radio" name="right" checked=${right} onChange=${() => setRight(true)} /><span>put right</span></label></fieldset>
      </div>
      ${saving && html`<${Save} bench=${bench} done=${() => setSaving(false)} />`}
      <${Setups} bench=${bench} />
    </section>`;
}

function Save({ bench, done }) {
  const [form, set] = useState({ name: "", author: bench.author, why: "", on_car: true });
  const [failed, setFailed] = useState(null);
  const field = (name) => ({ value: form[name], onInput: (event) => set({ ...form, [name]: event.target.value }) });
  const save = async (event) => {
    event.preventDefault();
    bench.choose({ author: form.author });
    const found = await bench.keepSetup({ ...form, name: form.name.trim(), replace: failed !== null && failed.name === form.name.trim() });
    if (found.error) setFailed({ name: form.name.trim(), text: found.error.message });
    else done();
  };
  return html`
    <form class="card save" onSubmit=${save}>
      <label>Name <input required maxlength="80" ...${field("name")} /></label>
      <label>Who <input maxlength="80" ...${field("author")} /></label>
      <label class="wide">Why <input maxlength="500" ...${field("why")} /></label>
      <label class="wide"><input type="checkbox" checked=${form.on_car} onChange=${(event) => set({ ...form, on_car: event.target.checked })} /> this is on the car now (otherwise it is kept as an idea)</label>
      ${failed && html`<p class="stop wide" role="alert">${failed.text}</p>`}
      <div class="row wide"><button type="submit" class="main">${failed && failed.name === form.name.trim() ? "Replace it" : "Save"}</button>
        <button type="button" onClick=${done}>Don't save</button><span class="quiet">into ${bench.car.file || `${bench.car.name}.toml, a file of your own`}</span></div>
    </form>`;
}

function Setups({ bench }) {
  if (!bench.setups.length) return null;
  return html`<details class="setups"><summary>Saved setups (${bench.setups.length})</summary><ul>${bench.setups.map((one) => html`
    <li><span class="grow"><strong>${one.name}</strong> <span class="quiet">${[one.author, one.date, one.why].filter(Boolean).join(", ")}</span></span>
      <button type="button" onClick=${() => bench.take(one.positions, `to "${one.name}"`)}>Take it</button></li>`)}</ul></details>`;
}

/** The restoring moves that "put right" makes, and a way to make them too. */
export function Restoring({ bench, state }) {
  if (!state) return null;
  const moves = state.restoring;
  return html`<section class="card restoring" aria-labelledby="restoring-name"><h2 id="restoring-name">Put right with</h2>
    ${moves.length ? html`<ul>${moves.map((one) => html`<li>${one.name}: ${one.counts > 0 ? "+" : "-"}${Math.abs(one.counts).toFixed(2)} ${one.unit}, to ${one.to}
      ${one.outside && html`<span class="stop">outside its range</span>`}</li>`)}</ul>
      <button type="button" class="no-print" disabled=${moves.some((one) => one.outside)} onClick=${() => moves.forEach((one) => bench.put(one.adjuster, one.position))}>Make these moves too</button>`
      : html`<p class="quiet">Nothing has to be put right after these moves.</p>`}
    ${state.note && html`<p class="stop">${state.note}</p>`}</section>`;
}
