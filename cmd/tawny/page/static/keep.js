// Keeping a blend: card, sheet, data, and the book.

import * as address from "./address.js";
import * as ask from "./ask.js";
import * as book from "./book.js";
import { byId, trouble } from "./words.js";

let query = () => "";
let skinName = "";

export function bind(q) {
  query = q;
  byId("name").addEventListener("input", () => { address.attempt({ name: byId("name").value.trim() }); follow(); });
  byId("name").addEventListener("change", () => address.settle());
  byId("save-blend")?.addEventListener("click", () => save("/api/book/blend"));
  byId("save-skin")?.addEventListener("click", saveSkin);
  byId("save-batch")?.addEventListener("click", () => save("/api/book/batch"));
}

// follow keeps the links on the blend at hand.
export function follow(skin) {
  if (skin) skinName = skin;
  byId("name").placeholder = skinName ? "Blend for " + skinName : "";
  const q = query();
  for (const a of document.querySelectorAll("a[data-export]")) a.href = a.pathname + "?" + q;
}

async function save(path) {
  const kept = byId("kept");
  try {
    const r = await ask.json(path, query());
    kept.textContent = r.says;
    trouble(null);
    await book.list();
  } catch (e) {
    kept.textContent = "Not kept: " + e.message;
  }
}

async function saveSkin() {
  const kept = byId("skin-kept");
  try {
    const r = await ask.json("/api/book/skin", address.asked({ skinname: byId("skin-name").value.trim(), client: byId("skin-client").value.trim() }));
    kept.textContent = r.says;
    await book.list();
  } catch (e) {
    kept.textContent = "Not kept: " + e.message;
  }
}
