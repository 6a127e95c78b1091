// Warm and cool versions of the shade as two arms in one light.

import * as address from "./address.js";
import * as ask from "./ask.js";
import * as form from "./form.js";
import { arm, paint } from "./arms.js";
import { act, byId, element, blendText, offText, fixed, capital, tell, trouble, statedParts, rig } from "./words.js";

let timer = 0;

let take = () => {};

// bind calls take(parts) for the version that is chosen.
export function bind(onTake) {
  take = onTake;
  byId("sides").addEventListener("click", () => { address.settle({ sides: "true" }); run(true); });
  byId("turn").addEventListener("input", () => { form.label(byId("turn")); clearTimeout(timer); timer = setTimeout(() => { address.settle({ turn: byId("turn").value }); run(); }, 250); });
  byId("side-stop").addEventListener("click", () => ask.stop("compare"));
  restore();
}

export function restore() {
  byId("warmcool").hidden = !address.get("sides");
  if (address.get("sides")) run();
}

// outOfDate searches again once the slider rests, where the two are shown.
export function outOfDate() {
  if (byId("warmcool").hidden) return;
  ask.stop("compare");
  clearTimeout(timer);
  timer = setTimeout(() => run(), 900);
}

async function run(look) {
  byId("warmcool").hidden = false;
  if (look) byId("warmcool").scrollIntoView();
  byId("side-progress").hidden = false;
  try {
    const r = await ask.stream(address.asked("compare"), "compare", (x) => { byId("side-bar").value = x; });
    byId("versions").replaceChildren(version(r.warm), version(r.cool), element("p", `They lie ΔE00 ${fixed(r.betweenDeltaE00)} apart, in ${rig()}.`, "gap"));
    if (!address.get("turn")) {
      byId("turn").value = String(Math.round(r.turnDegrees));
      byId("turn-out").textContent = `${fixed(r.turnDegrees)}° of hue to warm, ${fixed(r.turnCoolDegrees)}° to cool`;
      byId("turn").setAttribute("aria-valuetext", byId("turn-out").textContent);
    }
    tell(`Warm and cool are ready; they differ by ${fixed(r.betweenDeltaE00)}.`);
    paint(byId("versions"));
    if (look) byId("warmcool").scrollIntoView(); // there is room for it now
  } catch (e) {
    if (!e.stale) { byId("versions").replaceChildren(element("p", capital(e.message) + ".", "empty")); trouble(e.field ? e : null); }
  } finally { byId("side-progress").hidden = true; }
}

function version(m) {
  const b = m.blends[0], name = m.title;
  const div = element("div", "", "version");
  div.append(arm(m.skin.hex, b.hex, statedParts(b.parts), `${name}: ${b.look || blendText(b.parts)}`), element("h4", b.look ? `${name}: ${b.look}` : name),
    element("p", b.sentence || capital(offText(b)) + "."), element("p", blendText(b.parts)),
    element("p", `Gleam ${fixed(b.gleam)} (${b.gleamWord}), ${b.grain || "no flakes"}; load ${fixed(b.loadPercent)} %; shift between lights ${fixed(b.lightShiftDeltaE00)}; costs ${fixed(b.powderCostPer100, 2)} for 100 g.`), act("Take this one", name, () => take(statedParts(b.parts))));
  return div;
}
