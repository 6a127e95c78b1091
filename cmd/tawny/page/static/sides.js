// Warm and cool versions of the shade, side by side.

import * as address from "./address.js";
import * as ask from "./ask.js";
import * as form from "./form.js";
import { byId, element, tint, blendText, offText, fixed, capital, tell, trouble } from "./words.js";
import { directions } from "./look.js";

let timer = 0;

export function bind() {
  byId("sides").addEventListener("click", () => { address.settle({ turn: byId("turn").value }); run(); byId("warmcool").scrollIntoView(); });
  byId("turn").addEventListener("input", () => { form.label(byId("turn")); clearTimeout(timer); timer = setTimeout(() => { address.settle({ turn: byId("turn").value }); run(); }, 250); });
  byId("side-stop").addEventListener("click", () => ask.stop("compare"));
  restore();
}

export function restore() {
  byId("warmcool").hidden = !address.get("turn");
  if (address.get("turn")) run();
}

// outOfDate searches again once the slider rests, where the two are shown.
export function outOfDate() {
  if (byId("warmcool").hidden) return;
  ask.stop("compare");
  clearTimeout(timer);
  timer = setTimeout(run, 900);
}

async function run() {
  byId("warmcool").hidden = false;
  byId("side-progress").hidden = false;
  try {
    const r = await ask.stream(address.asked("compare"), "compare", (x) => { byId("side-bar").value = x; });
    const list = byId("versions");
    list.replaceChildren(version("Cooler", r.cool), version("Warmer", r.warm));
    list.append(element("p", `The two differ by ${fixed(r.betweenDeltaE00)}.`, "says"));
    tell(`Warm and cool are ready; they differ by ${fixed(r.betweenDeltaE00)}.`);
  } catch (e) {
    if (!e.stale) { byId("versions").replaceChildren(element("p", capital(e.message) + ".", "empty")); trouble(e.field ? e : null); }
  } finally { byId("side-progress").hidden = true; }
}

function version(name, m) {
  const b = m.blends[0];
  const div = element("div", "", "version");
  div.append(tint(b.hex), element("h3", name), element("p", blendText(b.parts)), element("p", capital(offText(b)) + "."), element("p", `Shift between lights ${fixed(b.lightShiftDeltaE00)}.`), directions(b));
  return div;
}
