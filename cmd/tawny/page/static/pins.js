// Blends set aside to be compared, worn on whatever skin is chosen now.

import * as address from "./address.js";
import * as ask from "./ask.js";
import { byId, element, blendText, fixed, capital, statedParts, tell, act, version, on } from "./words.js";
import { arm, paint } from "./arms.js";
import { current } from "./blends.js";
import { directions } from "./look.js";

const most = 6;
let timer = 0;

on("pin", "click", () => {
  const b = current();
  if (!b) return;
  const pin = statedParts(b.parts.map((p) => ({ powder: p.powder, percent: Number(p.percent.toFixed(4)) }))).join("|");
  const pins = address.all("pin");
  if (pins.includes(pin)) return tell("It is pinned already.");
  if (pins.length >= most) return tell(`At most ${most} can be pinned; take one off first.`);
  address.settle({ pin: [...pins, pin] });
  tell("Pinned.");
  refresh();
});

export function soon() {
  clearTimeout(timer);
  timer = setTimeout(refresh, 300);
}

export const refresh = ask.latest(async () => {
  const pins = address.all("pin");
  byId("pinned").hidden = pins.length === 0;
  const list = [];
  for (const pin of pins) {
    try {
      const r = await ask.job(address.asked("card", { part: pin.split("|") }), "pin");
      list.push(card(r.skin.hex, r.blend, pin));
    } catch (e) {
      if (e.stale) return;
      list.push(version(element("p", capital(e.message) + ".", "fault"), away(pin)));
    }
  }
  byId("pins").replaceChildren(...list);
  paint(byId("pins"));
});

const card = (bare, b, pin) => version(arm(bare, b.hex, pin.split("|"), blendText(b.parts)), element("h4", blendText(b.parts)), element("p", b.sentence), element("p", `Shift between lights ${fixed(b.lightShiftDeltaE00)}; covers ${fixed(100 * b.covered, 0)} %.`), directions(b), away(pin));

function away(pin) {
  return act("Take off", pin.replaceAll("|", ", "), () => { address.settle({ pin: address.all("pin").filter((p) => p !== pin) }); refresh(); });
}
