// The page: form, address and jobs put together.

import * as address from "./address.js";
import * as ask from "./ask.js";
import * as form from "./form.js";
import * as look from "./look.js";
import * as blends from "./blends.js";
import * as sides from "./sides.js";
import * as pins from "./pins.js";
import * as keep from "./keep.js";
import * as map from "./map.js";
import * as make from "./make.js";
import * as recipe from "./recipe.js";
import * as steps from "./steps.js";
import * as reach from "./reach.js";
import "./who.js";
import "./photo.js";
import "./stock.js";
import "./devices.js";
import { byId, blendText, tell, trouble, sameSet, statedParts, on } from "./words.js";

const searchDelay = 220; // ms after the last move; a search is not worth less

const live = ask.latest(async () => {
  try {
    const doc = address.asked("live", { part: blends.currentParts() }), v = await ask.job(doc);
    if (String(doc.part || "") !== String(blends.currentParts())) { live(); return; } // another blend was found or picked meanwhile
    form.fault("", "");
    trouble(null);
    look.show(v, searching);
    map.follow(v.target);
  } catch (e) { failed(e); }
});

function failed(e) {
  if (e.stale) return;
  if (e.field === "client") { // forgotten, and come back to
    address.fix({ skin: "", part: [] });
    form.fill();
    moved(true);
    steps.go("who");
    tell("That client is not in the book any more. Choose a skin.");
    return;
  }
  const beside = form.fault(e.field, e.message);
  trouble(beside ? null : e);
  look.old(`${beside ? "What you wrote is not understood; it is said under its field." : "This cannot be shown yet."} What is worn here is from before.`);
  byId("shade-says").textContent = "";
}

let timer = 0;
let searching = false; // a search is due or under way
function searchSoon(wait = searchDelay) {
  searching = true;
  clearTimeout(timer);
  for (const kind of ["match", "reach"]) ask.stop(kind);
  sides.outOfDate();
  byId("ranked").setAttribute("aria-busy", "true");
  timer = setTimeout(search, wait);
}

async function search() {
  const bar = byId("progress");
  const late = setTimeout(() => { bar.hidden = false; }, 300);
  byId("bar").value = 0;
  byId("bar-says").textContent = "Searching…";
  try {
    const m = await ask.stream(address.asked("match"), "match", (x) => {
      byId("bar").value = x;
      byId("bar-says").textContent = `${Math.round(100 * x)} % searched`;
    });
    searching = false;
    await found(m);
    trouble(null);
  } catch (e) {
    if (e.stale) return;
    searching = false;
    byId("ranked").setAttribute("aria-busy", "false");
    blends.empty("No blends yet: " + e.message);
    failed(e);
  } finally {
    clearTimeout(late);
    bar.hidden = true;
  }
}

async function found(m) {
  const wanted = address.all("part");
  let kept = null;
  if (wanted.length && !m.blends.some((b) => sameSet(statedParts(b.parts), wanted))) {
    try { kept = (await ask.job(address.asked("card", { target: address.get("target") }), "kept")).blend; } catch (e) {
      if (e.stale) return; // another search is on its way
      trouble(e);
    }
  }
  blends.setMatch(m, kept, picked);
  byId("ranked").setAttribute("aria-busy", "false");
  reach.offer(m);
  showPicked(m);
  tell(`Best blend: ${blendText(m.blends[0].parts)}. ${m.blends[0].sentence}`);
  sides.follow();
  lastMatch = m;
}
let lastMatch = null;

function showPicked(m) {
  look.show({ skin: m.skin, target: m.target, conditions: m.conditions, blend: blends.current() });
  map.follow(m.target);
  keep.follow(m.skin.name);
  make.follow();
}

function picked() {
  address.settle({ part: blends.currentParts() });
  if (lastMatch) showPicked(lastMatch);
}

function moved(searches) {
  if (searches) searchSoon();
  live();
  if (searches) pins.soon();
  keep.follow();
  make.follow();
}

form.bind(moved, (searches) => { if (searches && address.all("part").length) address.attempt({ part: [] }); moved(searches); });
address.watch((restored, canUndo, canRedo) => {
  byId("undo").disabled = !canUndo || address.get("sheet") !== ""; // a weight is taken back on its line
  byId("redo").disabled = !canRedo;
  if (restored) { recipe.offer(); form.fill(); moved(true); }
});
on("changed-load", "click", () => location.reload());
on("undo", "click", address.undo);
on("redo", "click", address.redo);
document.addEventListener("keydown", (e) => {
  const writing = e.target.matches?.("input[type=text], input[type=number], input[type=search]");
  if (writing || !(e.ctrlKey || e.metaKey) || e.altKey) return;
  const key = e.key.toLowerCase();
  if (key === "z" && !e.shiftKey) { e.preventDefault(); if (!byId("undo").disabled) address.undo(); }
  if (key === "y" || (key === "z" && e.shiftKey)) { e.preventDefault(); address.redo(); }
});
on("stop", "click", () => {
  clearTimeout(timer);
  ask.stop("match");
  byId("ranked").setAttribute("aria-busy", "false");
  searching = false;
  look.old("The search is stopped; what is worn here is from before.");
});

// The sticky picture's height, so that links do not land behind it.
new ResizeObserver(([e]) => document.documentElement.style.setProperty("--stage", e.contentRect.height + "px")).observe(document.querySelector(".stage"));

for (const patch of document.querySelectorAll("[data-hex]")) patch.style.backgroundColor = patch.dataset.hex;

// A wide screen has room for what a narrow one folds away.
if (matchMedia("(min-width: 62rem)").matches) for (const d of document.querySelectorAll("#look-more, #step-who .columns details")) d.open = true;

form.fill();
steps.show();
searchSoon(0);
live();
pins.refresh();
