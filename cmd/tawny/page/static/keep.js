// Keeping a blend: card, sheet, data, and the book.

import * as address from "./address.js";
import * as ask from "./ask.js";
import { byId, element, trouble, capital } from "./words.js";

let query = () => "";
let skinName = "";

export function bind(q) {
  query = q;
  byId("name").addEventListener("input", () => { address.attempt({ name: byId("name").value.trim() }); follow(); });
  byId("name").addEventListener("change", () => address.settle());
  byId("save-blend")?.addEventListener("click", () => save("/api/book/blend"));
  byId("save-batch")?.addEventListener("click", () => save("/api/book/batch"));
  list();
}

// follow keeps the links on the blend at hand.
export function follow(skin) {
  if (skin) skinName = skin;
  byId("name").placeholder = skinName ? "Blend for " + skinName : "";
  const q = query();
  for (const [id, path] of [["get-card", "/card.png"], ["get-sheet", "/sheet"], ["get-json", "/blend.json"]]) byId(id).href = path + "?" + q;
}

async function save(path) {
  const kept = byId("kept");
  try {
    const r = await ask.json(path, query());
    kept.textContent = r.says;
    trouble(null);
    await list();
  } catch (e) {
    kept.textContent = "Not kept: " + e.message;
  }
}

async function list() {
  const at = byId("book-body");
  if (!at) return;
  let v;
  try { v = await ask.view("/api/book"); } catch (e) {
    at.replaceChildren(element("p", capital(e.message) + ".", "fault"));
    return;
  }
  const parts = [];
  for (const [name, lines] of [["Batches", v.batches], ["Blends", v.blends], ["Skins", v.skins]]) {
    if (!lines.length) continue;
    parts.push(element("h3", name));
    const ul = element("ul", "", "lines");
    for (const l of lines) {
      const li = element("li");
      const a = l.state ? element("a", l.title) : element("span", l.title);
      if (l.state) a.href = "/?" + l.state;
      li.append(a, element("span", [l.on, l.says].filter(Boolean).join("; "), "says"));
      ul.append(li);
    }
    parts.push(ul);
  }
  at.replaceChildren(...(parts.length ? parts : [element("p", "Nothing in it yet. What you write in it shows here.", "empty")]));
}
