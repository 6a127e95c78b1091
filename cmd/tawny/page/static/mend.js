// A batch of the book that came out off its shade: how it looks, what would help,
// and what was added.

import * as address from "./address.js";
import * as ask from "./ask.js";
import { arm, paint } from "./arms.js";
import { act, capital, element, fixed, statedParts, tell, tint } from "./words.js";

// The words an eye has for it, as the job takes them.
const much = ["a little too", "too", "much too"];
const words = ["pink", "red", "yellow", "green", "light", "dark", "strong", "dull", "sparkly", "flat"];

// form asks how a batch looks, in a place under its line.
export async function form(div, l) {
  const { record } = await ask.job({ job: "book show", kind: "batch", record: String(l.id) }, "mend show");
  const how = element("select"), looks = element("input"), read = element("input"), found = element("div"), chips = element("div", "", "nudges");
  how.append(...much.map((m) => element("option", m)));
  how.value = "too";
  how.setAttribute("aria-label", "How much");
  for (const e of [how, looks, read]) e.dataset.own = "";
  looks.type = read.type = "text";
  read.placeholder = "lab:56.1,12,22/di";
  chips.setAttribute("role", "group");
  chips.setAttribute("aria-label", "It is too");
  for (const w of words) {
    const b = element("button", w);
    b.type = "button";
    b.addEventListener("click", () => { looks.value = [looks.value, `${how.value} ${w}`].filter(Boolean).join(", "); });
    chips.append(b);
  }
  found.setAttribute("role", "status");
  div.append(element("p", "Beside what was wanted, on skin, it is", "hint"), how, chips, labelled("In words", looks), labelled("Or read with an instrument", read),
    act("What would help?", l.title, () => help(found, l, record, { ...(looks.value.trim() ? { looks: looks.value.trim() } : {}), ...(read.value.trim() ? { reading: read.value.trim() } : {}) })),
    act("By pairs of colours", l.title, () => help(found, l, record, { nearer: [] })), found);
}

function labelled(text, input) {
  const p = element("div", "", "typed"), label = element("label", text);
  label.append(input);
  p.append(label);
  return p;
}

// help asks what to add, by what is said of its look: words, a reading, or which
// of two colours was nearer, pair after pair.
async function help(at, l, record, said) {
  try {
    const r = await ask.job({ ...request(record), ...said }, "mend");
    if (r.pair) { at.replaceChildren(...pair(r.pair, (answer) => help(at, l, record, { nearer: [...said.nearer, answer] }))); return; }
    const cards = r.options.map((o) => option(l, r, o, said));
    const more = cards.length || said.new ? [] : [act("Try powders it has none of", l.title, () => help(at, l, record, { ...said, new: 1 }))];
    at.replaceChildren(element("p", [r.now && `It lacks: ${r.now.words}.`, r.advice && capital(r.advice).replace(/ \(--[^)]*\)/, "")].filter(Boolean).join(" "), "says"), ...cards, ...more);
    paint(at);
    tell(cards.length ? `${cards.length} ways to mend it.` : r.advice);
  } catch (e) { if (!e.stale) at.replaceChildren(element("p", capital(e.message) + ".", "fault")); }
}

// pair shows two colours to be held beside the batch.
function pair(p, answer) {
  const sides = element("div", "", "versions pair-of"), acts = element("p", "", "acts");
  for (const [name, side] of [["Left", p.left], ["Right", p.right]]) {
    const div = element("div", "", "version");
    div.append(tint(side.hex), element("p", `${name}: ${side.words || ""}`));
    sides.append(div);
  }
  for (const [text, key] of [["Left is nearer", "l"], ["Right is nearer", "r"], ["Both alike", "s"]]) {
    const b = element("button", text);
    b.type = "button";
    b.addEventListener("click", () => answer(key));
    acts.append(b);
  }
  return [element("p", "Hold the batch, worn, beside the two: which is nearer?", "says"), sides, acts];
}

// request is what the batch was made for, with what was weighed.
function request(record) {
  const doc = { ...address.understood("mend", record.request), job: "mend" };
  const sum = record.weights.reduce((g, w) => g + (w.weighed_g ?? w.planned_g), 0);
  doc.weighed = record.weights.filter((w) => w.role === "powder").map((w) => `${w.name}=${w.weighed_g ?? w.planned_g}`);
  doc.made = record.made_g ?? Number(sum.toFixed(6));
  delete doc.grams; delete doc.containers; delete doc.ml;
  return doc;
}

function option(l, r, o, said) {
  const div = element("div", "", "version"), what = o.additions.map((a) => `${fixed(a.grams, 2)} g of ${a.powder || a.base}`).join(" and ");
  div.append(arm(r.skin.hex, o.hex, statedParts(o.parts), `Bare skin, and beside it the batch once mended`), element("h4", `Add ${what}`),
    element("p", `${o.sentence || capital(o.words) + "."} The batch grows by ${fixed(o.growPercent, 1)} % to ${fixed(o.afterGrams, 1)} g.`),
    act("It is added: write it down", what, async () => {
      try {
        const base = o.additions.filter((a) => a.base).map((a) => `${a.grams} g of ${a.base} too`);
        const v = await ask.job({
          job: "book mend-record", batch: String(l.id), add: o.additions.filter((a) => a.powder).map((a) => `${a.powder}=${a.grams}`),
          weighed: true, after: o.afterGrams, note: [said.looks, ...base].filter(Boolean).join("; "),
        });
        div.append(element("p", v.says, "says"));
      } catch (e) { div.append(element("p", capital(e.message) + ".", "fault")); }
    }));
  return div;
}
