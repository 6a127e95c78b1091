// The ranked blends.

import * as address from "./address.js";
import { byId, element, tint, blendText, offText, fixed, sameSet, nameOf, statedParts } from "./words.js";

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
  const wanted = address.all("part").map(nameOf);
  pick = kept ? m.blends.length - 1 : Math.max(0, m.blends.findIndex((b) => sameSet(b.parts.map((p) => p.powder), wanted)));
  const rows = byId("rows");
  const here = rows.contains(document.activeElement);
  rows.replaceChildren();
  m.blends.forEach((b, i) => {
    const row = element("label", "", "blend");
    const radio = element("input");
    radio.type = "radio"; radio.name = "blend"; radio.value = String(i); radio.checked = i === pick;
    radio.addEventListener("change", () => { pick = i; onPick(); });
    const text = element("span");
    const of = element("span", blendText(b.parts), "of");
    const off = element("span", `${offText(b)}. `, "off");
    if (b.apart) { off.append(element("b", b.apart), "."); }
    off.append(` Shift between lights ${fixed(b.lightShiftDeltaE00)}; covers ${fixed(100 * b.covered, 0)} %; costs ${fixed(b.powderCostPer100, 2)} for 100 g.`);
    text.append(of, off);
    row.append(radio, tint(b.hex), text);
    rows.append(row);
  });
  if (here) rows.querySelector("input:checked")?.focus({ preventScroll: true });
  byId("notes").replaceChildren(...(m.notes || []).map((n) => element("li", n)));
  empty(m.blends.length === 0 ? "No blend fits." : "");
}

export function empty(says) {
  byId("blends-empty").hidden = !says;
  byId("blends-empty").textContent = says;
  byId("ranked").hidden = Boolean(says);
  byId("acts").hidden = Boolean(says);
  byId("keep-empty").hidden = !says;
  byId("keep-body").hidden = Boolean(says);
  if (says) { pick = -1; byId("notes").replaceChildren(); }
}
