// The form and the address: what is changed in one shows in the other.

import * as address from "./address.js";
import { byId, fixed } from "./words.js";

const form = byId("bench");
const presets = () => form.elements.preset;

const slideText = {
  "to-h": (v) => v === 0 ? "as the skin" : `${Math.abs(v)}° ${v > 0 ? "warmer" : "cooler"}`,
  "to-l": (v) => v === 0 ? "as the skin" : `${fixed(Math.abs(v))} ${v > 0 ? "lighter" : "darker"}`,
  "to-c": (v) => v === 0 ? "as the skin" : `${fixed(Math.abs(v))} ${v > 0 ? "stronger" : "greyer"}`,
  "load": (v) => `${fixed(v)} % of the product`,
  "turn": (v) => `${v}° each way`,
  "skin-l": (v) => fixed(v), "skin-c": (v) => fixed(v), "skin-h": (v) => `${fixed(v)}°`,
};

export function label(slider) {
  const text = slideText[slider.id](Number(slider.value));
  byId(slider.id + "-out").textContent = text;
  slider.setAttribute("aria-valuetext", text);
}

// slide sets a slider, and lengthens it where the value lies beyond its end: it
// must not show another value than the one in use.
function slide(id, value) {
  const s = byId(id), v = Number(value);
  if (v < Number(s.min)) s.min = String(Math.floor(v));
  if (v > Number(s.max)) s.max = String(Math.ceil(v));
  s.value = String(v);
}

// fill sets the form from the address.
export function fill() {
  const skin = address.get("skin");
  for (const p of presets()) p.checked = p.value === skin;
  const typed = !skin.startsWith("lch:") && ![...presets()].some((p) => p.checked);
  byId("skin-text").value = typed && !skin.startsWith("bands:") ? skin : "";
  if (typed) byId("skin-other").open = true;
  if (skin.startsWith("lch:")) {
    const [l, c, h] = skin.slice(4).split("/")[0].split(",").map(Number);
    place([l, c, h]);
  }
  const target = address.get("target");
  const m = /^skin:([-+.\d]+),([-+.\d]+),([-+.\d]+)$/.exec(target);
  form.elements.aim.value = m ? "relative" : "colour";
  if (m) {
    slide("to-l", m[1]); slide("to-c", m[2]); slide("to-h", m[3]);
  } else byId("target-text").value = target;
  const most = address.get("load-max");
  slide("load", most || address.get("load"));
  form.elements.atmost.value = most ? "1" : "";
  const apply = address.get("apply", "smoothed");
  let named = false;
  for (const a of form.elements.apply) named = (a.checked = a.value === apply) || named;
  byId("apply-own").hidden = named;
  byId("apply-own").textContent = named ? "" : `Now ${Number(apply)} mg/cm², none of the three.`;
  for (const [id, or] of [["illuminant", "D65"], ["area", "body"], ["max", "3"], ["base", "Everyday lotion"], ["balance", "0.01"]]) byId(id).value = address.get(id, or);
  for (const name of ["both-lights", "in-stock"]) form.elements[name].checked = address.get(name) === "true";
  const out = new Set(address.all("without"));
  for (const p of form.elements.powder) p.checked = !out.has(p.value);
  form.elements.size.value = address.get("containers") ? "containers" : "grams";
  byId("grams").value = address.get("grams", "100");
  byId("containers").value = address.get("containers", "8");
  byId("ml").value = address.get("ml", "30");
  slide("turn", address.get("turn", "10"));
  byId("title").value = address.get("title");
  for (const s of document.querySelectorAll(".slide input")) label(s);
  follow();
}

// place moves the skin's sliders to a colour.
export function place(lch) {
  ["skin-l", "skin-c", "skin-h"].forEach((id, i) => {
    slide(id, lch[i]);
    label(byId(id));
  });
}

// follow shows and hides what depends on a choice, and counts the ticks.
function follow() {
  const relative = form.elements.aim.value === "relative";
  byId("aim-relative").hidden = !relative;
  byId("aim-colour").hidden = relative;
  const grams = form.elements.size.value === "grams";
  byId("size-grams").hidden = !grams;
  byId("size-containers").hidden = grams;
  for (const d of document.querySelectorAll("#drawer details")) {
    const ticked = d.querySelectorAll("input:checked").length, of = d.querySelectorAll("input").length;
    d.querySelector(".tally").textContent = `${ticked} of ${of}`;
  }
}

// read returns the changes that one control makes to the address.
function read(at) {
  if (at.type === "file" || "own" in at.dataset) return null;
  switch (at.name || at.id) {
    case "preset": return { skin: at.value, part: [] };
    case "skin-l": case "skin-c": case "skin-h":
      for (const p of presets()) p.checked = false;
      byId("skin-text").value = "";
      return { skin: "lch:" + ["skin-l", "skin-c", "skin-h"].map((id) => Number(byId(id).value).toFixed(1)).join(",") };
    case "skin-text": {
      if (!at.value.trim()) return {};
      for (const p of presets()) p.checked = false;
      return { skin: at.value.trim() };
    }
    case "to-l": case "to-c": case "to-h": return { target: relative() };
    case "aim": return { target: at.value === "relative" ? relative() : byId("target-text").value.trim() || null };
    case "target-text": return at.value.trim() ? { target: at.value.trim() } : {};
    case "powder": return { without: [...form.elements.powder].filter((p) => !p.checked).map((p) => p.value) };
    case "size": case "grams": case "containers": case "ml":
      return form.elements.size.value === "grams"
        ? { grams: byId("grams").value, containers: "", ml: "" }
        : { grams: "", containers: byId("containers").value, ml: byId("ml").value };
    case "load": case "atmost": return form.elements.atmost.value
      ? { "load-max": byId("load").value, load: "" }
      : { load: byId("load").value, "load-max": "" };
    case "both-lights": case "in-stock": return { [at.name]: at.checked ? "true" : "" };
    default: return at.name ? { [at.name]: at.value } : {};
  }
}

const relative = () => "skin:" + ["to-l", "to-c", "to-h"].map((id) => Number(byId(id).value)).join(",");

// Which changes call for a new search; the batch's size does not, unless the
// stock is minded.
const still = new Set(["grams", "containers", "ml", "size", "balance"]);

// bind calls changed(search) while a control moves and settled(search) after.
export function bind(changed, settled) {
  const name = (at) => at.name || at.id;
  const search = (at) => !still.has(name(at)) || form.elements["in-stock"].checked;
  form.addEventListener("input", (e) => {
    if (e.target.type !== "range") return;
    label(e.target);
    address.attempt(read(e.target));
    changed(search(e.target));
  });
  form.addEventListener("change", (e) => {
    const changes = read(e.target);
    if (!changes) return;
    if (e.target.type === "range") label(e.target);
    follow();
    if (e.target.name === "apply") byId("apply-own").hidden = true;
    address.settle(changes);
    settled(search(e.target));
  });
  form.addEventListener("submit", (e) => e.preventDefault());
  const tickAll = (on) => () => {
    for (const p of form.elements.powder) p.checked = on;
    follow();
    address.settle(read(form.elements.powder[0]));
    settled(true);
  };
  byId("all-powders").addEventListener("click", tickAll(true));
  byId("no-powders").addEventListener("click", tickAll(false));
}

// faults shows a fault beside its field; it returns whether it had a place.
export function fault(field, says) {
  const at = { skin: "skin-text", target: "target-text" }[field];
  for (const id of ["skin-text", "target-text"]) {
    const on = id === at && says;
    byId(id + "-fault").hidden = !on;
    byId(id + "-fault").textContent = on ? says : "";
    byId(id).toggleAttribute("aria-invalid", Boolean(on));
  }
  if (at === "skin-text" && says) byId("skin-other").open = true;
  const batch = ["grams", "containers", "ml", "balance"].includes(field) ? says : "";
  byId("batch-fault").hidden = !batch;
  byId("batch-fault").textContent = batch;
  return Boolean(at || batch);
}

