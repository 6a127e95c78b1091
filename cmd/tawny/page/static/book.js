// The book: what was kept, weighed, and where lots went.

import * as address from "./address.js";
import * as ask from "./ask.js";
import { byId, element, fixed, capital, tell } from "./words.js";

let take = () => {};

// bind shows the book; a kept skin is taken over without touching the rest.
export function bind(onSkin) {
  if (!byId("book-body")) return;
  take = onSkin;
  list();
  byId("find-lot").addEventListener("click", findLot);
  byId("lot").addEventListener("keydown", (e) => { if (e.key === "Enter") findLot(); });
  byId("show-stock").addEventListener("click", stock);
}

const most = 30; // lines of a kind; the whole book is the command's
let clients = [];

// knows tells whether the book has a client of a name.
export const knows = (name) => clients.some((c) => c.title.toLowerCase() === name.toLowerCase());

const records = async (kind) => (await ask.job({ job: "book list", kind }, "list " + kind)).records || [];

export async function list() {
  const at = byId("book-body");
  if (!at) return;
  const parts = [];
  try {
    for (const [name, kind, more] of [["Batches", "batches", batchActs], ["Blends", "blends", blendActs], ["Skins", "skins", skinActs], ["Clients", "clients", clientActs]]) {
      const lines = await records(kind);
      if (kind === "clients") clients = lines;
      if (!lines.length) continue;
      const ul = element("ul", "", "lines");
      for (const l of lines.slice(0, most)) ul.append(line(l, more));
      parts.push(element("h3", name), ul);
    }
  } catch (e) {
    at.replaceChildren(element("p", capital(e.message) + ".", "fault"));
    return;
  }
  at.replaceChildren(...(parts.length ? parts : [element("p", "Nothing in it yet. What you write in it shows here.", "empty")]));
}

function line(l, more) {
  const li = element("li");
  li.append(element("span", l.title), element("span", [l.on, l.says].filter(Boolean).join("; "), "says"));
  more(li, l);
  return li;
}

// bring puts what was asked for a record back into the form.
async function bring(kind, l) {
  try {
    const { record } = await ask.job({ job: "book show", kind, record: String(l.id) });
    if (!record.request) { tell("What was asked for it is not in the book."); return; }
    const { job, version, ...asked } = record.request;
    address.open(asked);
    tell(`${l.title} is open.`);
  } catch (e) { tell(e.message); }
}

function act(text, of, run) {
  const b = element("button", text);
  b.type = "button";
  b.setAttribute("aria-label", `${text}: ${of}`);
  b.addEventListener("click", run);
  return b;
}

function blendActs(li, l) { li.append(act("Open", l.title, () => bring("blend", l))); }

function batchActs(li, l) {
  li.append(act("Open", l.title, () => bring("batch", l)), act("Weigh", l.title, () => open(li, l, weighForm)), act("Make again", l.title, () => open(li, l, again)));
}

function skinActs(li, l) {
  li.append(act("Take this skin", l.title, async () => {
    const { record } = await ask.job({ job: "book show", kind: "skin", record: String(l.id) });
    take("skin", skinText(record));
    tell(`${l.title} is the skin now.`);
  }));
}

// A client's skin is the average of their readings, worked out in tawny.
function clientActs(li, l) {
  li.append(act("Take this skin", l.title, () => {
    take("skin", "client:" + l.title);
    tell(`${l.title}'s skin is chosen.`);
  }));
}

const skinText = (r) => r.reflectance ? "bands:" + r.reflectance.map((x) => Math.round(x * 1e4)).join(",") : "lab:" + r.lab.map((x) => x.toFixed(2)).join(",");

// open shows more under a line, or folds it away.
async function open(li, l, show) {
  const old = li.querySelector(".weigh");
  old?.remove();
  if (old?.dataset.of === show.name) return;
  const div = element("div", "", "weigh");
  div.dataset.of = show.name;
  li.append(div);
  try { await show(div, l); } catch (e) { div.append(element("p", capital(e.message) + ".", "fault")); }
}

async function weighForm(div, l) {
  const { record } = await ask.job({ job: "book show", kind: "batch", record: String(l.id) });
  const table = element("table"), head = element("tr");
  for (const h of ["what", "planned, g", "weighed, g", "lot"]) {
    const th = element("th", h);
    th.scope = "col";
    head.append(th);
  }
  table.append(head);
  const rows = record.weights.map((w) => {
    const tr = element("tr"), name = element("th", w.name), grams = element("input"), lot = element("input");
    name.scope = "row";
    grams.type = "number"; grams.step = "any"; grams.min = "0"; grams.inputMode = "decimal";
    grams.value = w.weighed_g ?? "";
    grams.setAttribute("aria-label", `Grams of ${w.name} as weighed`);
    lot.type = "text"; lot.value = w.lot || "";
    lot.setAttribute("aria-label", `Lot of ${w.name}`);
    for (const cell of [element("td", String(w.planned_g)), grams, lot]) {
      if (cell.localName === "td") { tr.append(cell); continue; }
      const td = element("td");
      td.append(cell);
      tr.append(td);
    }
    tr.prepend(name);
    table.append(tr);
    return { position: w.position, grams, lot };
  });
  const says = element("p", "", "says");
  says.setAttribute("role", "status");
  div.append(table, act("Write the weights", l.title, async () => {
    const weighed = rows.filter((r) => r.grams.value !== "");
    if (!weighed.length) { says.textContent = "Nothing is weighed yet."; return; }
    try {
      const done = await ask.job({
        job: "book weigh", batch: String(l.id), weight: weighed.map((r) => `${r.position}=${r.grams.value}`),
        lot: weighed.filter((r) => r.lot.value.trim()).map((r) => `${r.position}=${r.lot.value.trim()}`),
      });
      tell(done.unweighed ? `Still to weigh: ${done.unweighed.join(", ")}.` : `Batch ${l.id} is weighed.`);
      await list();
    } catch (e) { says.textContent = "Not kept: " + e.message; }
  }), says);
  rows[0]?.grams.focus();
}

async function again(div, l) {
  const v = await ask.job({ job: "book again", batch: String(l.id) });
  const ul = element("ul", "", "lines");
  for (const p of v.then) ul.append(element("li", `${p.name}: ${p.lotThen ? "then lot " + p.lotThen : "then no lot"}; ${p.gone ? "nothing left" : p.lotToday ? "today lot " + p.lotToday : "today no lot"}.`));
  div.append(ul, element("p", `${capital(v.choice)} It is in the book as blend ${v.blendId} and batch ${v.batchId}.`, "says"));
  await list();
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

async function stock() {
  const at = byId("lot-body");
  try {
    const { lots } = await ask.job({ job: "book stock" });
    if (!lots.length) { at.replaceChildren(element("p", "No lots in the book yet. They are entered with the tawny book command.", "empty")); return; }
    const ul = element("ul", "", "lines");
    for (const l of lots) ul.append(element("li", `${l.powder_name}, lot ${l.lot}: ${fixed(l.left_g, 2)} g left of ${fixed(l.bought_g, 2)} g`));
    at.replaceChildren(ul);
  } catch (e) { at.replaceChildren(element("p", capital(e.message) + ".", "fault")); }
}
