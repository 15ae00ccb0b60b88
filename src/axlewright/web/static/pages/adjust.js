// Adjust: adjusters by where they sit on the car, and the readings saved, now and changed.
import { html, useEffect } from "../kit/html.js";
import { mount } from "../kit/frame.js";
import { PhaseChooser } from "../kit/parts.js";
import { show } from "../kit/shown.js";

function Adjust({ bench }) {
  useEffect(() => show({ title: "Adjust" }));
  return html`<h1>Adjust</h1><${PhaseChooser} bench=${bench} />`;
}

mount("adjust", Adjust);
