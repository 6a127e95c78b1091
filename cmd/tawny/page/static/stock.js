// The drawer's lots: what is left, what came, where one went.

import * as ask from "./ask.js";
import * as steps from "./steps.js";
import { act, byId, element, fixed, capital, tint } from "./words.js";

export function bind() {
  byId("add-powder").addEventListener("click", addPowder);
  if (!byId("stock-body")) return;
  steps.watch((step) => { if (step === "drawer") list(); });
  byId("find-lot").addEventListener("click", findLot);
  byId("lot").addEventListener("keydown", (e) => { if (e.key === "Enter") { e.preventDefault(); findLot(); } });
  byId("add-lot").addEventListener("click", add);
  byId("show-short").addEventListener("click", short);
}

// addPowder puts a powder by its label into the drawer.
async function addPowder() {
  const says = byId("jar-says"), doc = { job: "drawer add" };
  for (const e of document.querySelectorAll("[data-field]")) if (e.value.trim()) doc[e.dataset.field] = e.value.trim();
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
      await list();
    }
    says.prepend(element("p", "It is in the drawer." + lot, "says"), act("Use it", r.name, () => { location.hash = "#look"; location.reload(); }));
  } catch (e) { if (!e.stale) says.replaceChildren(element("p", capital(e.message) + ".", "fault")); }
}

async function list() {
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
  } catch (e) { if (!e.stale) at.replaceChildren(element("p", capital(e.message) + ".", "fault")); }
}

// count writes what the balance shows is left.
function count(li, l) {
  if (li.querySelector("input")) return;
  const label = element("label", "Left now, g "), input = element("input");
  input.type = "number"; input.inputMode = "decimal"; input.step = "any"; input.min = "0"; input.dataset.own = "";
  label.append(input);
  li.append(label, act("Write", `what is left of lot ${l.lot}`, async () => {
    try {
      await ask.job({ job: "book count", lot: l.lot, left: input.value });
      await list();
    } catch (e) { li.append(element("p", capital(e.message) + ".", "fault")); }
  }));
  input.focus();
}

// short lists what the planned batches will run out of.
async function short() {
  const at = byId("lot-body");
  try {
    const r = await ask.job({ job: "reorder" });
    const ul = element("ul", "", "lines");
    for (const p of [...(r.powders || []), ...(r.base || [])]) ul.append(element("li", `${p.name}: ${fixed(p.needG, 2)} g wanted${p.leftG ? `, ${fixed(p.leftG, 2)} g left` : ""}${p.shortG > 0 ? `; ${fixed(p.shortG, 2)} g to buy` : ""}`));
    at.replaceChildren(ul.childElementCount ? ul : element("p", "No batch is planned that is not weighed.", "empty"));
  } catch (e) { at.replaceChildren(element("p", capital(e.message) + ".", "fault")); }
}

async function add() {
  const says = byId("lot-says");
  const doc = { job: "book add lot", lot: byId("lot-number").value.trim(), powder: byId("lot-powder").value };
  for (const [key, id] of [["grams", "lot-grams"], ["price", "lot-price"], ["expires", "lot-expires"]]) if (byId(id).value) doc[key] = byId(id).value;
  try {
    says.textContent = (await ask.job(doc)).says;
    byId("lot-number").value = "";
    await list();
  } catch (e) { says.textContent = "Not written: " + e.message; }
}

async function findLot() {
  const at = byId("lot-body"), lot = byId("lot").value.trim();
  try {
    const { uses } = await ask.job({ job: "book uses", lot });
    if (!uses?.length) { at.replaceChildren(element("p", `Nothing in the book used lot ${lot}.`, "empty")); return; }
    const ul = element("ul", "", "lines");
    for (const u of uses) ul.append(element("li", `${capital(u.kind)} ${u.title || ""}${u.made_on ? " of " + u.made_on : ""}: ${u.name}, ${u.weighed_g ? fixed(u.weighed_g, 2) + " g weighed" : u.planned_g ? fixed(u.planned_g, 2) + " g planned" : fixed(u.percent || 0, 2) + " %"}${u.client ? ", for " + u.client : ""}`));
    at.replaceChildren(ul);
  } catch (e) { at.replaceChildren(element("p", capital(e.message) + ".", "fault")); }
}
