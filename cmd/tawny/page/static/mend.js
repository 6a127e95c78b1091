// A batch of the book that came out off its shade: how it looks, what would help,
// and what was added.

import * as address from "./address.js";
import * as ask from "./ask.js";
import * as steps from "./steps.js";
import { arm, paint } from "./arms.js";
import { sure, weigh } from "./confirm.js";
import { act, byId, capital, element, fixed, rig, sentence, statedParts, tell, tint, button, failed, weighed, gramsIn, version } from "./words.js";

// The words an eye has for it, as the job takes them.
const much = ["a little too", "too", "much too"];
const words = () => byId("book").dataset.looks.split(", ");

// form asks how a batch looks, in a place under its line; done(says) follows what was
// written.
export function form(div, l, done) {
  const how = element("select", "", { ariaLabel: "How much" }, ...much.map((m) => element("option", m)));
  how.value = "too";
  const looks = element("input", "", { type: "text" }), read = element("input", "", { type: "text", placeholder: "lab:56.1,12,22/di" }), found = element("div", "", { role: "status" }), out = weighed();
  const chips = element("div", "", { className: "nudges", role: "group", ariaLabel: "It is too" },
    ...words().map((w) => button(w, () => { looks.value = [...looks.value.split(/,\s*/).filter((s) => s && !s.endsWith(" " + w)), `${how.value} ${w}`].join(", "); })));
  const gone = () => out.value.trim() ? { removed: out.value.trim() } : {};
  const acts = element("p", "", "acts",
    act("What would help?", l.title, () => {
      const said = { ...gone(), ...(looks.value.trim() ? { looks: looks.value.trim() } : {}), ...(read.value.trim() ? { reading: read.value.trim() } : {}) };
      if (said.looks || said.reading) help(found, l, said, done);
      else found.replaceChildren(element("p", "Say first how it looks: tap a word above, write it, or go by pairs of colours.", "fault"));
    }),
    act("By pairs of colours", l.title, () => help(found, l, { ...gone(), nearer: [] }, done)));
  div.append(element("h4", `Mend batch ${l.id}`), element("p", "Beside what was wanted, on skin, it is", "hint"), how, chips, labelled("In words", looks), labelled("Or read with an instrument", read), labelled("Not in the pot any more, g: in bottles, samples, on the tools", out), acts, found);
}

const labelled = (text, input) => element("div", "", "typed", element("label", text, "", input));

// help asks what to add, by what is said of its look: words, a reading, or which
// of two colours was nearer, pair after pair.
async function help(at, l, said, done, before = "") {
  const again = (more, advice) => help(at, l, { ...said, ...more }, done, advice);
  try {
    const r = await ask.job(mending(l, said));
    if (r.pair) { at.replaceChildren(...pair(r.pair, (answer) => again({ nearer: [...said.nearer, answer] }))); return; }
    // What the advice names is shown, to be chosen.
    if (!r.options.length && r.retry && !before) { await again(r.retry, r.advice); return; }
    const { record } = r.options.length ? await ask.record("batch", l.id, "mended") : {};
    const cards = r.options.map((o, i) => option(r, o, record.request, mending(l, { ...said, choose: i + 1 }), done)), advice = [before, r.advice].filter(Boolean).join(" ");
    const more = [];
    if (r.fresh) more.push(act(`Make a fresh ${fixed(r.fresh.grams, 0)} g instead`, l.title, () => fresh(l, r.fresh).catch((e) => failed(at, e))));
    if (r.retry?.grow) more.push(act(`Let it grow by ${r.retry.grow} %`, l.title, () => again({ grow: r.retry.grow }, " ")));
    const others = r.retry?.new || (said.new ? 0 : 1);
    if (!cards.length && others) more.push(act("Try powders it has none of", l.title, () => again({ new: others }, " ")));
    if (!cards.length && said.new) more.push(element("p", "Only powders that have a lot in the book, or are in a drawer of your own, are proposed.", "hint"), element("a", "Write down a lot that has come", { href: "#drawer" }));
    const says = [r.now && `It lacks: ${r.now.words}.`, ...(advice.trim() ? capital(advice).replace(/ \(--[^)]*\)/g, "").split(/(?<=\.) (?=[A-Z])|; (?=or )/).filter((t) => !cards.length || !t.startsWith("Cheapest")).map(sentence) : []), cards.length && `Pictured in ${rig()}.`];
    at.replaceChildren(...says.filter(Boolean).map((t) => element("p", t, "says")), ...cards, ...more);
    paint(at);
    tell(cards.length ? `${cards.length} ways to mend it.` : advice);
  } catch (e) {
    // Where nobody is known any more whom it was for, it is looked at on the skin chosen.
    if (e.field === "skin" && address.has("skin") && !said.skin) await again({ skin: address.get("skin") }); else failed(at, e);
  } finally { at.scrollIntoView(); } // clear of the bar below
}

// fresh opens a batch to be made instead, for what the old one was made for.
async function fresh(l, f) {
  const { record } = await ask.record("batch", l.id);
  const parts = f.additions.filter((a) => a.powder).map((a) => `${a.powder}=${Number((100 * a.grams / f.grams).toFixed(4))}`);
  address.open({ ...record.request, part: parts, grams: String(f.grams), containers: "", ml: "", samples: "" });
  steps.go("make");
}

// pair shows two colours to be held beside the batch.
function pair(p, answer) {
  return [element("p", "Hold the batch, worn, beside the two: which is nearer?", "says"),
    element("div", "", "versions pair-of", ...[["Left", p.left], ["Right", p.right]].map(([name, side]) => version(tint(side.hex), element("p", `${name}: ${side.words || ""}`)))),
    element("p", "", "acts", ...[["Left is nearer", "l"], ["Right is nearer", "r"], ["Both alike", "s"]].map(([text, key]) => button(text, () => answer(key))))];
}

const mending = (l, said) => ({ job: "mend", batch: String(l.id), ...said });

const named = (a) => a.powder || a.base;
const sum = (list) => list.map((a) => `${fixed(a.grams, 2)} g of ${named(a)}`).join(" and ");

// option is one way; chosen asks for it to be written to the batch, and done(says)
// follows. What the balance said goes with it; request is what the batch was made for.
function option(r, o, request, chosen, done) {
  const said = element("div"), what = sum(o.additions);
  const balance = o.additions.map((a) => {
    const input = weighed({ placeholder: "g" });
    return { a, input, line: labelled(`${capital(named(a))}${a.base ? ", bare, made fresh if none is left" : ""}, ${fixed(a.grams, 2)} g: what the balance said`, input) };
  });
  let c; // the correction, once written: a weight put right is not a second one
  const write = act("It is added: write it down", what, async () => {
    if (balance.map(({ input }) => gramsIn(input)).includes(null)) {
      failed(said, new Error("Write what the balance showed of each; nothing is in the book yet"));
      said.scrollIntoView({ block: "center" });
      return;
    }
    write.disabled = true;
    said.replaceChildren(element("p", "Writing it…", "says"));
    try {
      c ??= (await sure(chosen, { yes: ["Is that right?", "Write it so"] })).chosen;
      await weigh({ correction: c.correctionId, weight: balance.map(({ a, input }) => `${named(a)}=${gramsIn(input)}`) });
      const learnt = (c.lessons || []).map((x) => `Lot ${x.lot} of ${x.powder} is now known to colour ${fixed(x.strength, 2)} times as much as the drawer's data.`);
      await done([`Batch ${chosen.batch} is mended: correction ${c.correctionId} is in the book.`, ...learnt].join(" "));
    } catch (e) {
      failed(said, e);
      write.disabled = false;
    }
  });
  return version(arm(r.skin.hex, o.hex, statedParts(o.parts), `Bare skin, and beside it the batch once mended`, { skin: r.skin.preset ? r.skin.text : `lab:${r.skin.lab.join(",")}/${r.skin.geometry || "di"}`, base: "", of: { ...request, rig: address.get("rig") } }), element("h4", `Add ${what}`),
    element("p", `${o.sentence} The batch grows by ${fixed(o.growPercent, 1)} % to ${fixed(o.afterGrams, 1)} g: ${chosen.removed ? `of what is in the pot, ${chosen.removed} g less than was made` : "what is in bottles is emptied back first"}.`),
    ...[...o.stirIn, o.gleamOff, o.trial && `First try ${sum(o.trial.additions)} in ${o.trial.grams} g of it.`].filter(Boolean).map((t) => element("p", t, "hint")), ...balance.map((b) => b.line), write, said);
}
