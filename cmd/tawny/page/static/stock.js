// The drawer's lots: what is left, what came, where one went.

import * as address from "./address.js";
import * as ask from "./ask.js";
import * as steps from "./steps.js";
import { sure } from "./confirm.js";
import { fault, filled } from "./form.js";
import { act, byId, element, fixed, fold, capital, leave, left, tint, failed, option, sentence, weighed, list, on } from "./words.js";

// use goes to the blends made with a powder.
function use(powder) {
  address.choose({ use: [powder], without: address.all("without").filter((p) => p !== powder), part: [] });
  steps.go(address.has("target") ? "blend" : "look");
}

on("add-powder", "click", addPowder);
for (const b of document.querySelectorAll("[data-edit]")) b.addEventListener("click", () => fold(b.closest("li"), b.dataset.edit, edit));
for (const b of document.querySelectorAll("[data-out]")) b.addEventListener("click", () => takeOut(b.dataset.out));
const done = left("drawer");
if (done) setTimeout(() => told(done)); // once its step shows
steps.watch((step) => { if (step === "drawer") lots(); });
on("find-lot", "click", findLot);
on("lot", "keydown", (e) => { if (e.key === "Enter") { e.preventDefault(); findLot(); } });
on("add-lot", "click", add);
on("show-short", "click", short);

// addPowder puts a powder by its label into the drawer.
async function addPowder() {
  const doc = { job: "drawer add", ...filled(byId("jar")) };
  try {
    const r = await sure(doc, { yes: ["Is the label right?", "Put it in for the body only"], replace: ["Is it the same powder?", "Put it in the old one's place", `${doc.name} is already in the drawer; the new one takes its place.`] });
    const lot = r.added && doc.lot && doc.grams && byId("stock-body") ? await lotOf(r, doc) : "";
    fault("", "", "jar");
    if (r.added) changed({ r, lot }); else told({ r });
  } catch (e) { fault(e.field, e.message, "jar"); }
}

// lotOf writes the jar's lot in the book, or its price where the book has it.
async function lotOf(r, { lot, grams, paid }) {
  const price = paid && Number(paid.replace(",", ".")) / Number(grams.replace(",", ".")), costs = price ? `, at ${fixed(price, 2)} a gram` : "";
  try {
    await ask.job({ job: "book add lot", lot, powder: r.name, grams, ...(paid ? { paid } : {}) });
    return ` Its lot ${lot} is in the book, ${grams.replace(/\s*g$/, "")} g${costs}.`;
  } catch (e) {
    if (e.field !== "lot") return ` Its lot was not written: ${e.message}.`;
    if (price) await ask.job({ job: "book edit", kind: "lot", record: lot, price: String(price) });
    return ` Its lot ${lot} was in the book already and is left as it was${costs && ", but now" + costs.slice(1)}.`;
  }
}

// changed reads the page anew, which lists the drawer's powders, and tells there what
// was done.
function changed(what) {
  leave("drawer", what);
  location.reload();
}

// labelled is what the page calls a field of the jar.
const labelled = (field) => `“${byId("jar").querySelector(`[data-field="${field}"]`)?.labels[0].textContent.split(",")[0] || field}”`;

// told says what became of a powder.
function told({ r, lot, out }) {
  const says = byId("jar-says");
  if (out) {
    says.replaceChildren(element("p", out, "says"));
    says.scrollIntoView({ block: "center" });
    return;
  }
  const words = element("div", "", "", element("p", `${r.name}: guessed, like ${r.like}. ${r.doubtDeltaE00 < 5 ? "Its colour is known roughly" : "Its colour is hardly known"}: 95 of 100 such jars are less than ${fixed(r.doubtDeltaE00, 0)} off this, where 1 just shows.`, "says"),
    ...[...(r.words || []), ...(r.notes || [])].map((w) => element("p", sentence(w.replace(/: 'tawny drawer edit'.*/, ": “Put right”, under what is in the drawer, takes the supplier's").replace(", or 'tawny drawer edit' with it,", " or, under what is in the drawer, “Put right”").replace(/--([a-z-]+)/g, (_, f) => labelled(f))), "hint")));
  says.replaceChildren(element("div", "", "result", tint(r.onBlack.hex), words));
  if (r.added) says.prepend(element("p", "It is in the drawer." + lot, "says"), act("Find blends with it", r.name, () => use(r.name)));
  says.scrollIntoView({ block: "center" });
}

// edit puts right what the drawer says of a powder.
async function edit(at, powder) {
  const { says } = await ask.job({ job: "drawer edit", powder });
  at.append(byId("edit-rows").content.cloneNode(true));
  for (const box of at.querySelectorAll("[data-field]")) box.placeholder = says[box.dataset.field];
  at.append(act("Write it", powder, async () => {
    try {
      await ask.job({ job: "drawer edit", powder, ...filled(at) });
      changed({ out: `What was put right of ${powder} is in the drawer.` });
    } catch (e) { fault(e.field, e.message, at.id); }
  }));
}

// takeOut takes a powder out of the drawer, once asked.
async function takeOut(powder) {
  try {
    const r = await sure({ job: "drawer remove", powder }, { yes: [`Take ${powder} out?`, "Take it out", `That takes ${powder} out of the drawer for good; by its jar's label it can be put in again.`] });
    changed({ out: `${capital(r.powder)} is out of the drawer.` });
  } catch (e) { if (e.field !== "yes") failed(byId("jar-says"), e); }
}

// offer adds powders that no drawer has any more to those a lot may come of.
function offer(names) {
  const at = byId("lot-powder"), there = new Set([...at.options].map((o) => o.value.toLowerCase()));
  at.append(...names.filter((n) => !there.has(n.toLowerCase())).map((n) => option(n, n)));
}

async function lots() {
  const at = byId("stock-body");
  if (!at) return;
  try {
    const { lots, totals, value } = await ask.job({ job: "book stock" });
    offer((await ask.records("powders", "list lots")).map((p) => p.title));
    if (!lots.length) { at.replaceChildren(element("p", "No lots in the book yet.", "empty")); return; }
    const ul = element("ul", "", "lines");
    for (const l of lots) {
      const li = element("li", "", "", element("span", l.powder_name), element("span", `lot ${l.lot}: ${fixed(l.left_g, 2)} g left of ${fixed(l.bought_g, 2)} g${l.expires_on && !l.notFor ? ", good until " + l.expires_on : ""}`, "says"), ...(l.notFor ? [element("strong", capital(l.notFor), "fault")] : []), act("Count", `lot ${l.lot}`, () => count(li, l)));
      ul.append(li);
    }
    const several = totals.filter((t) => t.lots > 1).map((t) => `${t.name}: ${fixed(t.leftG, 2)} g in ${t.lots} lots`);
    const inAll = [...several, ...(value ? [`what is left cost ${fixed(value, 2)}`] : [])];
    at.replaceChildren(ul, ...(inAll.length ? [element("p", `In all, ${inAll.join("; ")}.`, "says")] : []));
  } catch (e) { failed(at, e); }
}

// count writes what the balance shows is left.
function count(li, l) {
  if (li.querySelector("input")) return;
  const input = weighed();
  li.append(element("label", "Grams left", "", input), act("Write", `what is left of lot ${l.lot}`, async () => {
    try {
      await sure({ job: "book count", lot: l.lot, powder: l.powder_name, left: input.value }, { yes: ["Is that right?", "Write it so"] });
      await lots();
    } catch (e) { li.append(element("p", sentence(e.message), "fault")); }
  }));
  input.focus();
}

// short lists what the planned batches will run out of.
async function short() {
  const at = byId("lot-body");
  try {
    const r = await ask.job({ job: "reorder" });
    offer((r.powders || []).map((p) => p.name));
    const wanted = [...(r.powders || []), ...(r.base || [])].map((p) => `${p.name}: ${fixed(p.needG, 2)} g wanted${p.leftG ? `, ${fixed(p.leftG, 2)} g left` : ""}${p.shortG > 0 ? `; ${fixed(p.shortG, 2)} g to buy` : ""}`);
    at.replaceChildren(wanted.length ? list(wanted, "lines") : element("p", "No batch is planned that is not weighed.", "empty"));
  } catch (e) { failed(at, e); }
}

async function add() {
  const says = byId("lot-says");
  says.textContent = "";
  try {
    says.textContent = (await sure({ job: "book add lot", ...filled(byId("bag")) }, { yes: ["Is the day right?", "Write it all the same"] })).says;
    fault("", "", "bag");
    for (const id of ["lot-number", "lot-grams", "lot-paid", "lot-expires"]) byId(id).value = "";
    await lots();
  } catch (e) { fault(e.field, e.message, "bag"); }
}

async function findLot() {
  const at = byId("lot-body"), lot = byId("lot").value.trim();
  try {
    const { uses } = await ask.job({ job: "book uses", lot });
    if (!uses?.length) { at.replaceChildren(element("p", `Nothing in the book used lot ${lot}.`, "empty")); return; }
    at.replaceChildren(list(uses.map((u) => `${capital(u.kind)} ${u.correction_id || u.batch_id || u.blend_id || ""} ${u.title || ""}${u.made_on ? " of " + u.made_on : ""}: ${u.name}, ${u.weighed_g ? fixed(u.weighed_g, 2) + " g weighed" : u.planned_g ? fixed(u.planned_g, 2) + " g planned" : fixed(u.percent || 0, 2) + " %"}${u.client ? ", for " + u.client : ""}`), "lines"));
  } catch (e) { failed(at, e); }
}
