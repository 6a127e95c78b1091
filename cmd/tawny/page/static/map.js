// The shades the drawer reaches on this skin, to be tapped, and a step to one
// side of the one chosen.

import * as address from "./address.js";
import * as ask from "./ask.js";
import * as steps from "./steps.js";
import { unchosen } from "./look.js";
import { byId, element, capital, on } from "./words.js";

let map = null;
let of = ""; // the request the map answers
let shift = null; // of the target from the skin, as tawny says

const words = document.querySelectorAll("[name=shade-word]");
const word = () => document.querySelector("[name=shade-word]:checked");
const strength = () => document.querySelector("[name=strength]:checked").value;

// worded is the shade in words, as a request has it.
const worded = () => `${strength()} ${word().value}`.trim();

const take = (target) => address.choose({ target, part: [] });

steps.watch(soon);
on("strength", "change", () => { draw(); if (word()) take(worded()); });
for (const w of words) w.addEventListener("change", () => take(worded()));
on("map", "change", (e) => take(e.target.value));
on("map", "keydown", upOrDown);
for (const b of document.querySelectorAll("[data-nudge]")) b.addEventListener("click", () => nudge(b.dataset.nudge.split(",").map(Number)));

// follow keeps the map on what is chosen; target is tawny's answer to it.
export function follow(target) {
  if (target) {
    shift = target.shift;
    byId("shade-says").textContent = (unchosen(target) || `Wanted: ${target.words}${target.shift && address.get("target").startsWith("skin:") ? " than this skin" : ""}`) + ".";
  }
  const said = address.has("target") && /^(?:(soft|rich) )?(\w+)$/.exec(address.get("target"));
  for (const w of words) w.checked = w.value === said?.[2];
  if (said) for (const r of document.querySelectorAll("[name=strength]")) r.checked = r.value === (said[1] || "");
  for (const r of byId("map").querySelectorAll("input")) r.checked = r.value === address.get("target");
  soon();
}

function nudge(by) {
  const said = /^skin:([-+.\d]+),([-+.\d]+),([-+.\d]+)$/.exec(address.get("target"));
  const from = said ? said.slice(1).map(Number) : shift && [shift.dL, shift.dC, shift.dh];
  if (!from) return;
  const now = from.map((x, i) => Number((x + by[i]).toFixed(1)));
  take("skin:" + now.join(","));
}

// upOrDown goes to the nearest shade of the next row.
function upOrDown(e) {
  const by = { ArrowUp: -1, ArrowDown: 1 }[e.key], { row, column } = e.target.dataset;
  if (!by || !row) return;
  e.preventDefault();
  const away = (r) => Math.abs(r.dataset.column - column);
  const next = [...byId("map").querySelectorAll("input")].filter((r) => Number(r.dataset.row) === Number(row) + by).sort((a, b) => away(a) - away(b))[0];
  next?.focus();
  next?.click();
}

let timer = 0;
function soon() {
  if (steps.current() !== "look") return;
  const doc = address.asked("shades");
  delete doc.target; // the map is of all targets
  const text = JSON.stringify(doc);
  if (text === of) return;
  clearTimeout(timer);
  timer = setTimeout(async () => {
    of = text;
    byId("map").setAttribute("aria-busy", "true");
    try {
      map = await ask.job(doc);
      draw();
    } catch (e) { if (of === text) of = ""; } finally { byId("map").removeAttribute("aria-busy"); }
  }, map ? 300 : 0);
}

function draw() {
  if (!map) return;
  const rich = strength() !== "soft";
  const here = byId("map").contains(document.activeElement);
  const at = (box, row, column) => { box.style.gridRow = String(row + 1); box.style.gridColumn = String(column + 1); };
  const cells = map.shades.filter((s) => s.rich === rich).map((s) => {
    const radio = element("input", "", { type: "radio", name: "shade", value: s.target, checked: s.target === address.get("target"), data: { row: s.row, column: s.column } });
    const box = element("label", "", { className: "shade", title: `${capital(s.words)}: ${s.powders.join(" and ")}` }, radio, element("span", s.words, "unseen"));
    box.style.backgroundColor = s.hex;
    at(box, s.row, s.column);
    return box;
  });
  const bare = element("span", "bare skin", { className: "bare", ariaHidden: "true" });
  at(bare, map.skinRow, map.skinColumn);
  const beside = map.skinRow < 0 || map.skinRow >= map.rows || map.skinColumn < 0 || map.skinColumn >= map.columns;
  byId("map").replaceChildren(...cells, ...(beside ? [] : [bare]));
  if (here) (byId("map").querySelector("input:checked") || byId("map").querySelector("input"))?.focus({ preventScroll: true });
}
