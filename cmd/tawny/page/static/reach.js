// What would come nearer a shade that is out of reach.

import * as address from "./address.js";
import * as ask from "./ask.js";
import { byId, element, fixed, capital, tell, act, on } from "./words.js";

on("reach", "click", run);
on("reach-stop", "click", () => ask.stop("reach"));

// offer shows the question where the nearest blend is visibly off.
export function offer(m) {
  ask.stop("reach");
  byId("routes").replaceChildren();
  byId("reach").hidden = !(m.blends[0]?.deltaE00 >= 1);
}

async function run() {
  byId("reach-progress").hidden = false;
  try {
    const r = (await ask.stream(address.asked("match", { reach: "true" }), "reach", () => {})).reach;
    const ways = [];
    if (r.load) ways.push(way(r.load, { load: fixed(r.load.loadPercent, 2), "load-max": "" }));
    if (r.coverage) ways.push(way(r.coverage, { apply: r.coverage.applyMgCm2.toPrecision(3) }));
    for (const p of r.powders || []) ways.push(way(p));
    if (r.together) ways.push(way(r.together));
    byId("routes").replaceChildren(...(ways.length ? ways : [element("li", "Nothing that tawny knows comes nearer.")]));
    tell(ways.length ? "What would come nearer is listed." : "Nothing that tawny knows comes nearer.");
  } catch (e) {
    if (!e.stale) byId("routes").replaceChildren(element("li", capital(e.message) + "."));
  } finally { byId("reach-progress").hidden = true; }
}

function way(r, changes) {
  const li = element("li", "", "", element("span", `${capital(r.words)}: ${r.reaches ? "reaches the shade" : "comes nearer"} (off by ${fixed(r.deltaE00)})${r.lacks ? `, but not ${r.lacks.join(" or ")}` : ""}.`, "says"));
  if (changes) li.append(act("Try it", r.words, () => address.choose({ ...changes, part: [] })));
  return li;
}
