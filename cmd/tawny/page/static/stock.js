// The drawer's lots: what is left, what came, where one went.

import * as ask from "./ask.js";
import * as steps from "./steps.js";
import { act, byId, element, fixed, capital, tint, failed, weighed, list } from "./words.js";

export function bind() {
  byId("add-powder").addEventListener("click", addPowder);
  if (!byId("stock-body")) return;
  steps.watch((step) => { if (step === "drawer") lots(); });
  byId("find-lot").addEventListener("click", findLot);
  byId("lot").addEventListener("keydown", (e) => { if (e.key === "Enter") { e.preventDefault(); findLot(); } });
  byId("add-lot").addEventListener("click", add);
  byId("show-short").addEventListener("click", short);
}

// filled is what a form of the drawer says, by the job's fields.
function filled(form) {
  const said = [...byId(form).querySelectorAll("[data-field]")].map((e) => [e.dataset.field, e.value.trim()]);
  return Object.fromEntries(said.filter(([, v]) => v));
}

// addPowder puts a powder by its label into the drawer.
async function addPowder() {
  const says = byId("jar-says"), doc = { job: "drawer add", ...filled("jar") };
  try {
    const r = await ask.job(doc);
    const text = element("div", "", "result"), words = element("div");
    words.append(element("p", `${r.name}: ${r.source}, like ${r.like}; 95 in 100 within ${fixed(r.doubtDeltaE00)} of its true colour.`, "says"),
      ...[...(r.words || []), ...(r.notes || [])].map((w) => element("p", capital(w) + ".", "hint")));
    text.append(tint(r.onBlack.hex), words);
    says.replaceChildren(text);
    if (!r.added) return;
    let lot = "";
    if (doc.lot && doc.grams && byId("stock-body")) {
      await ask.job({ job: "book add lot", lot: doc.lot, powder: r.name, grams: doc.grams, ...(doc.price ? { price: doc.price } : {}) });
      lot = ` Its lot ${doc.lot} is in the book.`;
      await lots();
    }
    says.prepend(element("p", "It is in the drawer." + lot, "says"), act("Use it", r.name, () => { location.hash = "#look"; location.reload(); }));
  } catch (e) { failed(says, e); }
}

async function lots() {
  const at = byId("stock-body");
  try {
    const { lots } = await ask.job({ job: "book stock" });
    if (!lots.length) { at.replaceChildren(element("p", "No lots in the book yet.", "empty")); return; }
    const ul = element("ul", "", "lines");
    for (const l of lots) {
      const li = element("li");
      li.append(element("span", l.powder_name), element("span", `lot ${l.lot}: ${fixed(l.left_g, 2)} g left of ${fixed(l.bought_g, 2)} g`, "says"), act("Count", `lot ${l.lot}`, () => count(li, l)));
      ul.append(li);
    }
    at.replaceChildren(ul);
  } catch (e) { failed(at, e); }
}

// count writes what the balance shows is left.
function count(li, l) {
  if (li.querySelector("input")) return;
  const label = element("label", "Left now, g "), input = weighed();
  label.append(input);
  li.append(label, act("Write", `what is left of lot ${l.lot}`, async () => {
    try {
      await ask.job({ job: "book count", lot: l.lot, left: input.value });
      await lots();
    } catch (e) { li.append(element("p", capital(e.message) + ".", "fault")); }
  }));
  input.focus();
}

// short lists what the planned batches will run out of.
async function short() {
  const at = byId("lot-body");
  try {
    const r = await ask.job({ job: "reorder" });
    const wanted = [...(r.powders || []), ...(r.base || [])].map((p) => `${p.name}: ${fixed(p.needG, 2)} g wanted${p.leftG ? `, ${fixed(p.leftG, 2)} g left` : ""}${p.shortG > 0 ? `; ${fixed(p.shortG, 2)} g to buy` : ""}`);
    at.replaceChildren(wanted.length ? list(wanted, "lines") : element("p", "No batch is planned that is not weighed.", "empty"));
  } catch (e) { failed(at, e); }
}

async function add() {
  const says = byId("lot-says");
  try {
    says.textContent = (await ask.job({ job: "book add lot", ...filled("bag") })).says;
    byId("lot-number").value = "";
    await lots();
  } catch (e) { says.textContent = "Not written: " + e.message; }
}

async function findLot() {
  const at = byId("lot-body"), lot = byId("lot").value.trim();
  try {
    const { uses } = await ask.job({ job: "book uses", lot });
    if (!uses?.length) { at.replaceChildren(element("p", `Nothing in the book used lot ${lot}.`, "empty")); return; }
    at.replaceChildren(list(uses.map((u) => `${capital(u.kind)} ${u.title || ""}${u.made_on ? " of " + u.made_on : ""}: ${u.name}, ${u.weighed_g ? fixed(u.weighed_g, 2) + " g weighed" : u.planned_g ? fixed(u.planned_g, 2) + " g planned" : fixed(u.percent || 0, 2) + " %"}${u.client ? ", for " + u.client : ""}`), "lines"));
  } catch (e) { failed(at, e); }
}
