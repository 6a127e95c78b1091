// The looks found, each by its picture.

import * as address from "./address.js";
import * as steps from "./steps.js";
import { arm, paint } from "./arms.js";
import { byId, element, blendText, cost, fixed, sameSet, statedParts, capital, steady } from "./words.js";

let match = null;
let pick = -1;

export const current = () => match && pick >= 0 ? match.blends[pick] : null;
export const currentParts = () => current() ? statedParts(current().parts) : address.all("part");

// setMatch shows a result; kept is a blend from the address or the book that
// the search did not bring up, or null.
export function setMatch(m, kept, onPick) {
  match = m;
  if (kept) {
    m.blends.push(kept);
    kept.apart = "as it was kept";
  }
  const wanted = address.all("part");
  pick = kept ? m.blends.length - 1 : Math.max(0, m.blends.findIndex((b) => sameSet(statedParts(b.parts), wanted)));
  const rows = byId("rows");
  const here = rows.contains(document.activeElement);
  rows.replaceChildren(...m.blends.map((b, i) => row(m, b, i, onPick)));
  if (here) rows.querySelector("input:checked")?.focus({ preventScroll: true });
  byId("notes").replaceChildren(...(m.notes || []).map((n) => element("li", n)));
  empty(m.blends.length === 0 ? "No blend fits." : "");
  follow();
}

steps.watch(follow);

// follow draws what is to be seen.
export function follow() { if (steps.current() === "blend") paint(byId("rows")); }

function row(m, b, i, onPick) {
  const radio = element("input", "", { type: "radio", name: "ranked", value: i, checked: i === pick, onchange: () => { pick = i; onPick(); } });
  const text = element("span", "", "", element("b", capital(b.look)), element("span", b.sentence, "of"), element("span", blendText(b.parts), "parts"));
  const row = element("div", "", "blend", element("label", "", "", arm(m.skin.hex, b.hex, statedParts(b.parts), `Bare skin, and beside it ${b.look}`), radio, text));
  for (const says of [b.because, b.premix?.length && `It wants a premix of ${b.premix.map((p) => p.powder).join(" and ")}; the sheet says how`].flat().filter(Boolean)) row.append(element("p", capital(says), "hint"));
  const facts = `${capital(steady(b.lightShiftDeltaE00))} between daylight and stage lamps (${fixed(b.lightShiftDeltaE00)}); flakes cover ${fixed(100 * b.covered, 0)} % of the skin${b.powderCostPer100 ? `; the powders in 100 g cost ${cost(b)}` : ""}.${b.grain ? ` Gleam ${fixed(b.gleam)}.` : ""}`;
  row.append(element("p", (b.apart ? capital(b.apart) + ". " : "") + facts, "off"));
  if (b.twins) row.append(element("p", b.twins === 1 ? "One other mixture looks the same." : `${b.twins} other mixtures look the same.`, "off"));
  return row;
}

export function empty(says) {
  byId("blends-empty").hidden = !says;
  byId("blends-empty").textContent = says;
  byId("ranked").hidden = Boolean(says);
  byId("acts").hidden = byId("twins-set").hidden = Boolean(says);
  for (const step of ["keep", "make"]) {
    byId(step + "-empty").hidden = !says;
    byId(step + "-body").hidden = Boolean(says);
  }
  if (says) { pick = -1; byId("notes").replaceChildren(); }
}
