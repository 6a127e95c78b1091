// The form and the address: what is changed in one shows in the other.

import * as address from "./address.js";
import { byId, element, fixed, rig, sentence, tell, on } from "./words.js";

const form = byId("bench");
const presets = () => form.querySelectorAll("[name=preset]");

const slideText = {
  "load": (v) => `${fixed(v)} % of the product`,
  "turn": (v) => `${v}° of hue each way`,
};

function label(slider) {
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

// Fields whose control is not simply their value.
const own = new Set(["load", "turn"]);

// simple are the controls that hold one field's value as it is.
const simple = () => [...form.elements].filter((e) => e.name && e.type !== "radio" && !own.has(e.name));

// fill sets the form from the address.
export function fill() {
  const skin = address.get("skin");
  let listed = false;
  for (const p of presets()) listed = (p.checked = address.has("skin") && p.value === skin) || listed;
  byId("skin-text").value = listed || !address.has("skin") || skin.startsWith("bands:") ? "" : skin;
  byId("target-text").value = address.has("target") ? address.get("target") : "";
  const most = address.get("load-max");
  slide("load", most || address.get("load"));
  form.elements.atmost.value = most ? "1" : "";
  const apply = address.get("apply", "smoothed");
  let named = false;
  for (const a of form.elements.apply) named = (a.checked = a.value === apply) || named;
  byId("apply-own").hidden = named;
  byId("apply-own").textContent = named ? "" : `Now ${Number(apply)} mg/cm², none of the three.`;
  for (const name of ["gleam", "grain"]) form.elements[name].value = address.get(name);
  for (const e of simple()) {
    if (e.type === "checkbox") e.checked = address.get(e.name) === "true";
    else e.value = address.get(e.name, e.localName === "select" ? [...e.options].find((o) => o.defaultSelected)?.value ?? e.options[0].value : e.defaultValue);
  }
  rules();
  form.elements.size.value = address.get("containers") ? "containers" : "grams";
  if (address.get("turn")) slide("turn", address.get("turn"));
  for (const s of document.querySelectorAll(".slide input")) label(s);
  follow();
}

// rules sets what each powder may be used for.
function rules() {
  const must = new Set(address.all("use")), without = new Set(address.all("without"));
  const limits = new Map(address.all("at-most").map((s) => s.split("=")));
  for (const li of document.querySelectorAll("[data-powder]")) {
    const name = li.dataset.powder, rule = li.querySelector("select"), limit = li.querySelector("input");
    rule.value = must.has(name) ? "use" : without.has(name) ? "without" : limits.has(name) ? "at-most" : "";
    limit.value = limits.get(name) ?? "1";
  }
}

// ruled is what the powders' rules say, for the address.
function ruled() {
  const changes = { use: [], without: [], "at-most": [], part: [] };
  for (const li of document.querySelectorAll("[data-powder]")) {
    const rule = li.querySelector("select").value, name = li.dataset.powder;
    if (rule === "at-most") changes[rule].push(`${name}=${li.querySelector("input").value || 1}`);
    else if (rule) changes[rule].push(name);
  }
  return changes;
}

// follow shows and hides what depends on a choice, and counts the powders.
function follow() {
  const grams = form.elements.size.value === "grams";
  byId("size-grams").hidden = !grams;
  byId("size-containers").hidden = grams;
  for (const e of document.querySelectorAll("[data-rig]")) e.textContent = rig();
  const also = form.elements["also-built-in"], both = !also || also.checked;
  for (const li of document.querySelectorAll("[data-built-in]")) li.classList.toggle("away", !both);
  let all = 0, out = 0;
  for (const d of document.querySelectorAll("#powder-list .kind")) {
    const rules = [...d.querySelectorAll("li:not(.away) select")], left = rules.filter((s) => s.value !== "without").length;
    d.classList.toggle("away", !rules.length);
    d.querySelector(".tally").textContent = `${left} of ${rules.length}`;
    all += rules.length;
    out += rules.length - left;
    for (const s of rules) s.nextElementSibling.hidden = s.value !== "at-most";
  }
  byId("powders-tally").textContent = out ? `${all - out} of ${all}` : `all ${all}`;
}

// read returns the changes that one control makes to the address.
function read(at) {
  if ("rule" in at.dataset || "limit" in at.dataset) return ruled();
  switch (at.name || at.id) {
    case "preset": return { skin: at.value, part: [] };
    case "skin-text": return at.value.trim() ? { skin: at.value.trim(), part: [] } : {};
    case "target-text": return at.value.trim() ? { target: at.value.trim() } : {};
    case "size": case "grams": case "containers": case "ml":
      return form.elements.size.value === "grams"
        ? { grams: byId("grams").value, containers: "", ml: "" }
        : { grams: "", containers: byId("containers").value, ml: byId("ml").value };
    case "load": case "atmost": return form.elements.atmost.value
      ? { "load-max": byId("load").value, load: "" }
      : { load: byId("load").value, "load-max": "" };
    default: return address.understood(at.name) ? { [at.name]: at.type === "checkbox" ? (at.checked ? "true" : "") : at.value.trim() } : null;
  }
}

// bind calls changed(search) while a control moves and settled(search) after;
// what stands under Make and Keep calls for no search: the blend is at hand there.
export function bind(changed, settled) {
  const search = (at) => !at.closest("#step-make, #step-keep");
  form.addEventListener("input", (e) => {
    if (e.target.id === "powder-find") find(e.target.value);
    if (e.target.type !== "range") return;
    label(e.target);
    const changes = read(e.target);
    if (!changes) return;
    address.attempt(changes);
    changed(search(e.target));
  });
  form.addEventListener("change", (e) => {
    const changes = read(e.target);
    if (!changes) return;
    follow();
    if (e.target.name === "apply") byId("apply-own").hidden = true;
    // At the bench there is nothing to go back to: Back leaves it.
    if (e.target.closest("#step-make")) address.fix(changes); else address.settle(changes);
    if ("skin" in changes) fill(); // what was written for another goes
    settled(search(e.target));
  });
  form.addEventListener("submit", (e) => e.preventDefault());
  const all = (rule) => () => {
    for (const s of document.querySelectorAll("li:not(.away) [data-rule]")) s.value = rule;
    follow();
    address.settle(ruled());
    settled(true);
  };
  on("all-powders", "click", all(""));
  on("no-powders", "click", all("without"));
}

// find leaves the powders whose name has the words.
function find(text) {
  const words = text.toLowerCase().split(/\s+/).filter(Boolean);
  for (const d of document.querySelectorAll("#powder-list .kind")) {
    let any = false;
    for (const li of d.querySelectorAll("li")) {
      const name = `${li.dataset.powder} ${d.querySelector(".family").textContent}`.toLowerCase();
      li.hidden = !words.every((w) => name.includes(w));
      any ||= !li.hidden;
    }
    d.hidden = !any;
    if (words.length) d.open = any;
  }
  if (words.length) document.querySelector("#powder-list .kind:not([hidden]) li:not([hidden])")?.scrollIntoView({ block: "nearest" });
}

// filled is what the boxes within a part of the page say, by the fields of their job.
export const filled = (at) => Object.fromEntries([...at.querySelectorAll("[data-field]")].map((e) => [e.dataset.field, e.value.trim()]).filter(([, v]) => v));

// Where a fault is said, for fields whose control is of another name or which share
// a place.
const controls = { skin: "skin-text", target: "target-text" };
const places = { grams: "batch-fault", containers: "batch-fault", ml: "batch-fault", balance: "batch-fault", "read-l": "read-fault", "read-a": "read-fault", "read-b": "read-fault" };

// fault says what is wrong with a field under its control, on the screen, and takes
// back what was said within the same form before; that is the part of the page with an
// id, or the choices of all steps. It returns whether the control is to be seen.
export function fault(field, says, within = "") {
  const all = within ? byId(within) : form;
  for (const old of document.querySelectorAll(`.fault[data-within="${within}"]`)) {
    old.hidden = true;
    old.textContent = "";
    byId(old.dataset.of)?.removeAttribute("aria-invalid");
  }
  if (!says) return false;
  const at = within ? all.querySelector(`[data-field="${field}"]`) : byId(controls[field]) || all.querySelector(`[name="${field}"]:not([type=radio])`);
  for (let d = at?.closest("details"); d; d = d.parentElement.closest("details")) d.open = true;
  if (!at?.offsetParent && within) return fault(all.querySelector("[data-field]").dataset.field, says, within);
  if (!at?.offsetParent) return false;
  at.id ||= "field-" + field;
  const id = places[field] || at.id + "-fault";
  let place = byId(id);
  if (!place) {
    place = element("p", "", "fault");
    place.id = id;
    at.after(place);
    at.setAttribute("aria-describedby", [at.getAttribute("aria-describedby"), id].filter(Boolean).join(" "));
  }
  Object.assign(place.dataset, { within, of: at.id });
  place.textContent = sentence(says);
  place.hidden = false;
  at.setAttribute("aria-invalid", "true");
  place.scrollIntoView({ block: "nearest" });
  tell(place.textContent);
  return true;
}
