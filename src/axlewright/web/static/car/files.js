// Where a draft comes from and where it goes: import, export, new, copies, another car on the bench, save.
import { ask } from "../kit/ask.js";
import { html, useEffect, useState } from "../kit/html.js";
import { Problem } from "../kit/parts.js";

export const LARGEST = 2_000_000; // bytes of a car file, as on the server
const SIZES = [["wheelbase", "Wheelbase"], ["track", "Track, front and rear"], ["wheel_radius", "Wheel radius, loaded"]];

/** Read a chosen or dropped file on the server, which says whether it is text; throws a sentence. */
export async function importFile(file) {
  if (!file.name.toLowerCase().endsWith(".toml")) throw new Error(`found ${file.name}; expected a car file, NAME.toml. Likeliest fix: choose the car file.`);
  if (file.size > LARGEST) throw new Error(`found a file of ${(file.size / 1e6).toFixed(1)} MB; expected at most 2 MB. Likeliest fix: choose the car file.`);
  let reply;
  try {
    reply = await fetch("/car/import", { method: "POST", headers: { "Content-Type": "application/octet-stream" }, body: file });
  } catch {
    throw new Error("The bench can't be reached: the file has not been read. Try again when it is back.");
  }
  const { answer, error } = await reply.json();
  if (error) throw new Error(error.message);
  return answer.text;
}

/** Everything about files, folded away until it is wanted. */
export function Files({ draft, say, bench }) {
  const take = (work, words) => work.then((text) => draft.begin(text, words)).catch((error) => say(error));
  return html`<div class="files no-print">
    <label class="button">Import a car file<input type="file" accept=".toml" class="hidden" onChange=${(event) => {
      const [file] = event.target.files;
      event.target.value = "";
      if (file) take(importFile(file), `imported from ${file.name}`);
    }} /></label>
    <a class="button" href="/car/export" download>Export as stored</a>
    <${New} take=${take} />
    <${Cars} bench=${bench} draft=${draft} say=${say} take=${take} />
  </div>`;
}

function New({ take }) {
  const [offered, setOffered] = useState(null);
  const [chosen, choose] = useState({ name: "my car" });
  const [error, setError] = useState(null);
  const load = (event) => event.currentTarget.open && !offered && ask("/car/starters", {}).then((found) => {
    setOffered(found);
    choose((old) => ({ ...found.usual, ...old }));
  }).catch(setError);
  const set = (key) => (event) => choose({ ...chosen, [key]: event.target.value });
  const make = (event) => {
    event.preventDefault();
    setError(null);
    const asked = { ...chosen, sideways: chosen.sideways || null };
    take(ask("/car/new", asked).then(({ text }) => text).catch((problem) => {
      setError(problem);
      throw problem;
    }), "new from a starter");
  };
  const list = (kind, more = []) => html`<label>${kind === "sideways" ? "What holds the axle sideways" : `${kind} suspension`}
    <select value=${chosen[kind] || ""} onChange=${set(kind)}>${more}${Object.entries(offered.layouts[kind]).map(([key, words]) => html`
      <option value=${key} title=${words}>${key}: ${words}</option>`)}</select></label>`;
  return html`<details class="card" onToggle=${load}><summary>New from a starter</summary>${offered && html`
    <form class="choose" onSubmit=${make}>
      <label>Name of the car<input value=${chosen.name} maxlength="80" required onInput=${set("name")} /></label>
      ${list("front")}${list("rear")}${list("sideways", [html`<option value="">nothing: its own links do</option>`])}
      ${SIZES.map(([key, words]) => html`<label>${words}<input value=${chosen[key] || ""} placeholder=${offered.sizes[key]} onInput=${set(key)} /></label>`)}
      <${Problem} error=${error} />
      <button class="main">Make the draft</button>
    </form>`}</details>`;
}

function Cars({ bench, draft, say, take }) {
  const [listed, setListed] = useState(null);
  const load = () => ask("/car/list", {}).then(setListed).catch(say);
  useEffect(() => { if (listed) load(); }, [bench.car.digest]);
  const choice = (number) => ({ listed: listed.listed, number });
  return html`<details class="card" onToggle=${(event) => event.currentTarget.open && load()}><summary>Cars: copy one, or put it on the bench</summary>${listed && html`
    <table><thead><tr><th scope="col">car</th><th scope="col">what</th><th scope="col"><span class="hidden">do</span></th></tr></thead>
    <tbody>${listed.cars.map((one, number) => html`<tr key=${one.name}>
      <th scope="row">${one.name}</th><td class="quiet">${one.on ? "on the bench" : one.kind}</td>
      <td class="row"><button type="button" aria-label=${`Draft from ${one.name}`} onClick=${() => take(ask("/car/copy", choice(number)).then(({ text }) => text), `copied from ${one.name}`)}>Draft from it</button>
        ${!one.on && html`<button type="button" aria-label=${`Put ${one.name} on the bench`} onClick=${() => ask("/car/put-on", choice(number))
          .then(() => Promise.all([bench.reload(), draft.load(), load()])).then(() => say(null, `${one.name} is on the bench, for everybody`)).catch(say)}>Put on the bench</button>`}</td></tr>`)}</tbody></table>`}</details>`;
}
