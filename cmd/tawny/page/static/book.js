// The book: what was kept, weighed, and where lots went.

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

export async function list() {
  const at = byId("book-body");
  if (!at) return;
  let v;
  try { v = await ask.view("/api/book"); } catch (e) {
    at.replaceChildren(element("p", capital(e.message) + ".", "fault"));
    return;
  }
  const parts = [];
  for (const [name, lines, more] of [["Batches", v.batches, batchActs], ["Blends", v.blends], ["Skins", v.skins, skinActs], ["Clients", v.clients, skinActs]]) {
    if (!lines.length) continue;
    const ul = element("ul", "", "lines");
    for (const l of lines) ul.append(line(l, more));
    parts.push(element("h3", name), ul);
  }
  at.replaceChildren(...(parts.length ? parts : [element("p", "Nothing in it yet. What you write in it shows here.", "empty")]));
}

function line(l, more) {
  const li = element("li"), link = l.state && more !== skinActs, a = element(link ? "a" : "span", l.title);
  if (link) a.href = "/?" + l.state;
  li.append(a, element("span", [l.on, l.says].filter(Boolean).join("; "), "says"));
  if (more) more(li, l);
  return li;
}

function act(text, of, run) {
  const b = element("button", text);
  b.type = "button";
  b.setAttribute("aria-label", `${text}: ${of}`);
  b.addEventListener("click", run);
  return b;
}

function batchActs(li, l) {
  li.append(act("Weigh", l.title, () => open(li, l, weighForm)), act("Make again", l.title, () => open(li, l, againText)));
}

function skinActs(li, l) {
  li.append(act("Take this skin", l.title, () => {
    take("skin", new URLSearchParams(l.state).get("skin"));
    tell(`${l.title} is the skin now.`);
  }));
}

// open shows more under a line, or folds it away.
async function open(li, l, show) {
  const old = li.querySelector(".weigh");
  old?.remove();
  if (old?.dataset.of === show.name) return;
  const div = element("div", "", "weigh");
  div.dataset.of = show.name;
  li.append(div);
  try { show(div, await ask.view("/api/book/again?id=" + l.id)); } catch (e) { div.append(element("p", capital(e.message) + ".", "fault")); }
}

function weighForm(div, v) {
  const table = element("table"), head = element("tr");
  for (const h of ["what", "planned, g", "weighed, g", "lot"]) {
    const th = element("th", h);
    th.scope = "col";
    head.append(th);
  }
  table.append(head);
  const rows = v.batch.weights.map((w) => {
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
  div.append(table, act("Write the weights", v.batch.name || "batch", async () => {
    const weights = rows.filter((r) => r.grams.value !== "").map((r) => ({ position: r.position, grams: Number(r.grams.value), lot: r.lot.value.trim() }));
    if (!weights.length) { says.textContent = "Nothing is weighed yet."; return; }
    try {
      const done = await ask.json("/api/book/weigh", JSON.stringify({ id: v.batch.id, weights }));
      tell(done.says);
      await list();
    } catch (e) { says.textContent = "Not kept: " + e.message; }
  }), says);
  rows[0]?.grams.focus();
}

function againText(div, v) {
  const ul = element("ul", "", "lines");
  for (const p of v.powders) {
    const now = (p.now || []).map((n) => `lot ${n.lot}, ${fixed(n.left_g)} g`).join("; ");
    ul.append(element("li", `${p.name}: ${fixed(p.needs_g, 2)} g${p.then.lot ? ", then lot " + p.then.lot : ""}. ${p.same_lot ? "That lot has enough." : now ? "Now: " + now + "." : "No lot of it is in the book."}`));
  }
  div.append(ul);
  if (v.state) {
    const a = element("a", "Match it again with today's powders");
    a.href = "/?" + v.state;
    div.append(a);
  } else if (v.says) div.append(element("p", capital(v.says) + ".", "hint"));
}

async function findLot() {
  const at = byId("lot-body"), lot = byId("lot").value.trim();
  try {
    const uses = await ask.view("/api/book/lot?lot=" + encodeURIComponent(lot));
    if (!uses.length) { at.replaceChildren(element("p", `Nothing in the book used lot ${lot}.`, "empty")); return; }
    const ul = element("ul", "", "lines");
    for (const u of uses) ul.append(element("li", `${capital(u.kind)} ${u.title || ""}${u.made_on ? " of " + u.made_on : ""}: ${u.name}, ${u.weighed_g ? fixed(u.weighed_g, 2) + " g weighed" : u.planned_g ? fixed(u.planned_g, 2) + " g planned" : fixed(u.percent || 0, 2) + " %"}${u.client ? ", for " + u.client : ""}`));
    at.replaceChildren(ul);
  } catch (e) { at.replaceChildren(element("p", capital(e.message) + ".", "fault")); }
}

async function stock() {
  const at = byId("lot-body");
  try {
    const lots = await ask.view("/api/book/stock");
    if (!lots.length) { at.replaceChildren(element("p", "No lots in the book yet. They are entered with the tawny book command.", "empty")); return; }
    const ul = element("ul", "", "lines");
    for (const l of lots) ul.append(element("li", `${l.powder_name}, lot ${l.lot}: ${fixed(l.left_g, 2)} g left of ${fixed(l.bought_g, 2)} g`));
    at.replaceChildren(ul);
  } catch (e) { at.replaceChildren(element("p", capital(e.message) + ".", "fault")); }
}
