// Small arms: a blend's flat colours at once, its picture when its turn comes.

import { drawn } from "./look.js";
import { element } from "./words.js";

const waiting = new WeakMap(); // box to what is asked for

// arm is such a picture of a blend on a skin, the one chosen unless more is asked;
// says is read out in its place.
export function arm(bare, hex, part, says, more = {}) {
  const box = element("div", "", { className: "arm small", role: "img", ariaLabel: says });
  box.style.backgroundImage = `linear-gradient(90deg, ${bare} 50%, ${hex} 50%)`;
  waiting.set(box, { part, ...more });
  return box;
}

const turns = new WeakMap(); // of what holds them
let last = Promise.resolve();

// paint draws those inside an element that are not drawn yet, one after the
// other; a newer call for the same element takes over.
export function paint(within) {
  const mine = (turns.get(within) || 0) + 1;
  turns.set(within, mine);
  last = last.then(() => draw(within, () => mine === turns.get(within)));
}

async function draw(within, wanted) {
  for (const box of within.querySelectorAll(".arm.small")) {
    const asked = waiting.get(box);
    if (!wanted()) return;
    if (!asked || !box.clientWidth) continue;
    try {
      const p = await drawn(box, asked, "arms");
      const url = URL.createObjectURL(p.blob), img = element("img", "", { alt: "", src: url });
      await img.decode();
      URL.revokeObjectURL(url);
      waiting.delete(box);
      box.replaceChildren(img);
    } catch { if (!wanted()) return; }
  }
}
