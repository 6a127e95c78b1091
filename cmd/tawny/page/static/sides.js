// Warm and cool versions of the shade as two arms in one light.

import * as address from "./address.js";
import * as ask from "./ask.js";
import * as steps from "./steps.js";
import { arm, paint } from "./arms.js";
import { act, byId, cost, element, blendText, fixed, capital, tell, trouble, statedParts, rig, version, on } from "./words.js";

let of = ""; // the request that the two answer

on("sides", "click", () => {
  address.settle({ sides: address.get("sides") ? "" : "true" });
  follow(true);
});
on("side-stop", "click", () => ask.stop("compare"));
steps.watch(() => follow());

// outOfDate ends what is compared for another wish.
export function outOfDate() {
  ask.stop("compare");
  of = "";
  byId("versions").setAttribute("aria-busy", "true");
}

// follow compares what is chosen, once its blends are found and while it is looked at.
export function follow(look) {
  const on = address.get("sides") !== "";
  byId("warmcool").hidden = !on;
  byId("sides").setAttribute("aria-expanded", String(on));
  if (!on || steps.current() !== "look") { outOfDate(); return; }
  if (look) byId("warmcool").scrollIntoView();
  if (byId("ranked").getAttribute("aria-busy") !== "true") run(look);
}

// Its name and its light are of a picture, which is not asked for here.
async function run(look) {
  const doc = address.asked("compare", { title: "", rig: "" }), text = JSON.stringify(doc);
  if (text === of) return;
  of = text;
  byId("side-progress").hidden = false;
  try {
    const r = await ask.stream(doc, "compare", (x) => { byId("side-bar").value = x; });
    byId("versions").replaceChildren(side(r.warm), side(r.cool), element("p", `They lie ΔE00 ${fixed(r.betweenDeltaE00)} apart, in ${rig()}. ${[...(r.givenUp || []), ...(r.cool.givenUp || [])].join(" ")}`, "gap"));
    if (!address.get("turn")) {
      byId("turn").value = String(Math.round(r.turnDegrees));
      byId("turn-out").textContent = `${fixed(r.turnDegrees)}° to warm, ${fixed(r.turnCoolDegrees)}° to cool`;
      byId("turn").setAttribute("aria-valuetext", byId("turn-out").textContent);
    }
    tell(`Warm and cool are ready; they differ by ${fixed(r.betweenDeltaE00)}.`);
    byId("versions").removeAttribute("aria-busy");
    paint(byId("versions"));
    if (look) byId("warmcool").scrollIntoView(); // there is room for it now
  } catch (e) {
    if (of === text) of = "";
    if (!e.stale) { byId("versions").replaceChildren(element("p", capital(e.message) + ".", "empty")); trouble(e.field ? e : null); }
  } finally { if (of === text || !of) byId("side-progress").hidden = true; }
}

function side(m) {
  const b = m.blends[0], name = m.title;
  return version(arm(m.skin.hex, b.hex, statedParts(b.parts), `${name}: ${b.look}`), element("h4", `${name}: ${b.look}`),
    element("p", b.sentence), element("p", blendText(b.parts)),
    element("p", `Gleam ${fixed(b.gleam)} (${b.gleamWord}), ${b.grain || "no flakes"}; load ${fixed(b.loadPercent)} %; shift between lights ${fixed(b.lightShiftDeltaE00)}; costs ${cost(b)} for 100 g.`), act("Take this one", name, () => { address.choose({ part: statedParts(b.parts) }); steps.go("blend"); }));
}
