// The look at hand: picture, verdict, directions and numbers.

import * as ask from "./ask.js";
import * as address from "./address.js";
import * as steps from "./steps.js";
import { byId, cost, element, fixed, signed, labText, steady, statedParts, capital, sentence } from "./words.js";

const places = { 15: "in the gleam", 45: "face on", 75: "turned away", 110: "from the far side" };
const place = (a) => places[a.aspecular] || a.aspecular + "°";

let shown = null; // what the picture is of
let pictured = null; // what it shows
let pictureURL = "";
let drawnFor = ""; // the size of its place

steps.watch(() => { if (shown !== pictured) drawPicture(); }); // its place may have been hidden

// unchosen says that nobody chose the shade worn; "" where somebody did.
export const unchosen = (target) => address.has("target") ? "" : `No look is chosen yet; ${target.words} stands in`;

// show paints a live result or a match: skin, target, conditions, blend. While a blend
// is looked for, the one at hand is worn but not judged: it was found for another wish.
export function show(v, searching) {
  byId("flat-bare").style.backgroundColor = v.skin.hex;
  byId("flat-worn").style.backgroundColor = (v.blend || v.skin).hex;
  byId("flat-wanted").style.backgroundColor = v.target ? v.target.hex : "";
  byId("arm").style.backgroundColor = (v.blend || v.skin).hex; // until its picture is there
  byId("flat-bare").parentElement.style.backgroundColor = v.skin.hex; // at its seams
  skinSays(v.skin);
  if (!v.blend) {
    old("");
    byId("verdict").textContent = v.reach ? capital(v.reach) + "." : searching ? "Looking for a blend…" : "No blend yet.";
    shown = null;
    byId("shimmer").hidden = true;
    byId("shimmer").alt = "";
    return;
  }
  old("");
  byId("verdict").textContent = searching ? "Looking for the nearest blend; the one worn here is from before."
    : unchosen(v.target) ? `${unchosen(v.target)}; nearest to it is ${v.blend.look}.` : v.blend.sentence;
  angles(v.blend);
  numbers(v, searching);
  shown = v.blend;
  drawPicture();
}

function skinSays(k) {
  const text = !address.has("skin") ? `No skin is chosen yet; ${k.name} stands in.` : k.extrapolated ? `${sentence(k.note || "no one measured is like this")} Is the reading or the code right?` : `${capital(k.class)} skin, ${k.undertone.word} undertone.`;
  byId("skin-says").textContent = text;
  byId("skin-says").classList.toggle("fault", k.extrapolated);
  for (const p of document.querySelectorAll("[name=preset]")) p.checked = address.has("skin") && (p.value === k.text || k.preset && p.value === k.name);
  for (const e of document.querySelectorAll("[data-whose]")) e.textContent = k.text.startsWith("client:") ? `${k.name}, bare` : "bare skin";
}

// old marks what is shown as from before; says tells why, or is empty where all of it
// is of what is chosen.
export function old(says) {
  document.body.classList.toggle("old", Boolean(says));
  if (says) byId("verdict").textContent = says;
}

// sweep is one run of colour from where the light gleams to the far side, its four
// angles marked.
function sweep(b) {
  const all = b.sweep, first = all[0].aspecular, last = all[all.length - 1].aspecular;
  const at = (deg) => `${fixed(100 * (deg - first) / (last - first), 1)}%`;
  const strip = element("div", "", "sweep");
  strip.style.backgroundImage = `linear-gradient(90deg, ${all.map((a) => `${a.hex} ${at(a.aspecular)}`).join(", ")})`;
  for (const a of b.angles) strip.appendChild(element("i")).style.left = at(a.aspecular);
  return strip;
}

function angles(b) {
  byId("angles").replaceChildren(element("li", "", "whole", sweep(b)), ...b.angles.map((a) => element("li", "", "",
    element("p", capital(place(a)), "", element("br"), element("small", `${a.aspecular}°, L* ${fixed(a.lab[0], 0)}`)))));
}

// directions is the same, small: a strip, and one line that says it.
export function directions(b) {
  return element("div", "", "", sweep(b), element("p", "Lightness " + b.angles.map((a) => `${fixed(a.lab[0], 0)} ${place(a)}`).join(", ") + ".", "directions"));
}

function numbers(v, searching) {
  const b = v.blend;
  const rows = [
    ["Blend", labText(b.lab)],
    ["Wanted", labText(v.target.lab)],
    ["How far off (ΔE00)", searching ? "…" : fixed(b.deltaE00, 2)],
    ["19 in 20 wearings within", b.uncertainty ? fixed(b.uncertainty.deltaE00At95) : "…"],
    ["Shift between lights", `${steady(b.lightShiftDeltaE00)}, ${fixed(b.lightShiftDeltaE00)}`],
    ["Bare skin shifts", fixed(v.skin.lightShiftDeltaE00)],
    ["Bare skin's ITA", v.skin.itaReliable ? `${fixed(v.skin.ita, 0)}°` : "too grey to have one"],
    ["Its undertone", `${v.skin.undertone.word}, ${signed(v.skin.undertone.degrees)}°`],
    ["Skin covered by flakes", `${fixed(100 * b.covered, 0)} %`],
    ["Gleam", `${b.gleamWord}, ${fixed(b.gleam)} lighter towards the lamp`],
    ["Powders for 100 g cost", cost(b)],
    ["Grain", "…", "grain"],
  ];
  if (!b.inGamut) rows.push(["Screen", "cannot quite show this colour"]);
  byId("numbers").replaceChildren(...rows.map(([name, value, id]) => element("div", "", "", element("dt", name), element("dd", value, id && { id }))));
}

// drawn asks for a picture as large as its place is.
export function drawn(box, { of, ...asked }, kind) {
  const dots = Math.min(2, devicePixelRatio || 1);
  const wide = Math.max(30, Math.min(1200, Math.round(box.clientWidth * dots))), high = Math.max(30, Math.min(400, Math.round(box.clientHeight * dots)));
  return ask.picture(address.asked("arm", { ...asked, wide, high }, of), kind);
}

const sized = () => `${byId("arm").clientWidth} × ${byId("arm").clientHeight}`;
new ResizeObserver(() => { if (drawnFor && byId("arm").clientWidth && sized() !== drawnFor) drawPicture(); }).observe(byId("arm"));

const drawPicture = ask.latest(async () => {
  const b = shown;
  if (!b || !byId("arm").clientWidth) return;
  drawnFor = sized();
  try {
    const p = await drawn(byId("arm"), { part: statedParts(b.parts) });
    if (b !== shown) return;
    const old = pictureURL;
    pictureURL = URL.createObjectURL(p.blob);
    const img = byId("shimmer");
    img.src = pictureURL;
    await img.decode();
    if (old) URL.revokeObjectURL(old);
    if (b !== shown) return;
    img.alt = `Bare skin, and beside it the blend in the light: ${b.look}.`;
    img.hidden = false;
    pictured = b;
    const grain = byId("grain");
    if (grain) grain.textContent = p.grain ? `${p.grain}, ${p.glints < 1000 ? p.glints : Math.round(p.glints / 100) * 100} glints a cm²` : "matt";
  } catch (e) {
    if (!e.stale && b === shown && byId("grain")) byId("grain").textContent = "no picture: " + e.message;
  }
});
