// Small pieces of page: elements, numbers, colours with their words.

export const byId = (id) => document.getElementById(id);

// on listens at an element by its id, where the page has it.
export const on = (id, what, f) => byId(id)?.addEventListener(what, f);

// element makes one; more is its class or its properties, and within what stands in it
// after its text.
export function element(name, text = "", more = "", ...within) {
  const e = document.createElement(name), { data, className, ...own } = typeof more === "string" ? { className: more } : more;
  e.textContent = text;
  if (className) e.className = className;
  Object.assign(e, own);
  Object.assign(e.dataset, data);
  e.append(...within);
  return e;
}

// tint is a patch of colour; what it shows is always written beside it.
export function tint(hex) {
  const e = element("div", "", { className: "tint", ariaHidden: "true" });
  e.style.backgroundColor = hex;
  return e;
}

export const button = (text, onclick, className = "") => element("button", text, { type: "button", onclick, className });

// act is a button for one of several alike; of says which to who hears it.
export function act(text, of, run) {
  const b = button(text, run);
  b.ariaLabel = `${text}: ${of}`;
  return b;
}

export const option = (value, text) => element("option", text, { value });

// weighed is a field for what the balance said. It is of text: a browser's number
// field drops a comma unsaid.
export const weighed = (more) => element("input", "", { type: "text", inputMode: "decimal", autocomplete: "off", ...more });

// tick is a box to tick, with what it means beside it.
export const tick = (box, ...words) => element("label", "", "tick", box, ...words);

// pointed is a number as it was typed, its comma made a point.
export const pointed = (input) => input.value.trim().replace(",", ".");

// gramsIn reads such a field, with a point or a comma; null where it is no weight, of
// which nothing is one only where orNone says so.
export function gramsIn(input, orNone) {
  const g = /^\s*\d*[.,]?\d+\s*g?\s*$/.test(input.value) ? Number.parseFloat(pointed(input)) : -1, right = g > 0 || g === 0 && orNone;
  if (right) input.removeAttribute("aria-invalid"); else input.setAttribute("aria-invalid", "true");
  return right ? g : null;
}

export const list = (lines, kind = "plainly") => element("ul", "", kind, ...lines.map((l) => element("li", l)));

// failed says in a place what went wrong there.
export function failed(at, e) {
  if (!e.stale) at.replaceChildren(element("p", sentence(e.message), "fault"));
}

// version is one of several to be compared.
export const version = (...within) => element("div", "", "version", ...within);

let folds = 0;

// fold shows more under a line, or folds it away.
export async function fold(li, l, show) {
  const old = li.querySelector(".under");
  old?.remove();
  if (old?.dataset.of === show.name) return;
  const div = element("div", "", { className: "under", id: `under-${++folds}`, data: { of: show.name } });
  li.append(div);
  try { await show(div, l); div.scrollIntoView({ block: "nearest" }); } catch (e) { failed(div, e); }
}

export const fixed = (x, n = 1) => {
  const t = x.toFixed(n).replace("-", "−");
  return /[1-9]/.test(t) ? t : t.replace("−", "");
};
export const signed = (x, n = 0) => {
  const t = fixed(x, n);
  return x > 0 && /[1-9]/.test(t) ? "+" + t : t;
};
// Colours come as three numbers: L*, a*, b* or L*, C*, h.
export const labText = (c) => `L* ${fixed(c[0])}  a* ${fixed(c[1])}  b* ${fixed(c[2])}`;
export const capital = (s) => s.startsWith("pH") ? s : s.charAt(0).toUpperCase() + s.slice(1);
// sentence is what tawny says, as one that ends.
export const sentence = (s) => capital(s).replace(/[.:\s]*$/, ".").replace(/\?\.$/, "?");
// cost is what the powders in 100 g cost, and by whose prices.
export const cost = (b) => b.powderCostPer100 ? fixed(b.powderCostPer100, 2) + (b.demoPrices ? " by invented prices" : "") : "not known";
export const blendText = (parts) => parts.map((p) => `${p.powder} ${fixed(p.percent, 2)} %`).join(" + ");
// statedParts is a blend for a request, at full precision.
export const statedParts = (parts) => parts.map((p) => `${p.powder}=${p.percent}`);
export const sameSet = (a, b) => a.length === b.length && [...a].sort().join("|") === [...b].sort().join("|");

// rig is the light of the pictures.
export const rig = () => byId("rig").selectedOptions[0].text;

// steady says how much a colour moves between two lights, as its figure of one decimal has it.
export const steady = (d) => d < 1.95 ? "holds" : d < 3.95 ? "moves a little" : "moves";

// finding is what was found in a base or a batch, and how bad it is.
export const toMend = (f) => f.severity === "stop" || f.severity === "fault"; // nothing may be sold or worn with it
const severities = { stop: "Do not make it so", fault: "To put right", advice: "Better", note: "Worth knowing" };
export const finding = (f) => `${severities[f.severity]}: ${!f.about || f.text.startsWith(f.about) ? "" : f.about.replace(/^ph$/, "pH") + ": "}${f.text}`;

// leave keeps what a step is to tell, over a reload too; left takes it.
const kept = "tawny told";
export function leave(step, what) { sessionStorage.setItem(kept, JSON.stringify({ step, what })); }
export function left(step) {
  const said = JSON.parse(sessionStorage.getItem(kept));
  if (said?.step !== step) return null;
  sessionStorage.removeItem(kept);
  return said.what;
}

let due = 0;
export function tell(text) {
  clearTimeout(due);
  due = setTimeout(() => { byId("tell").textContent = text; }, 600);
}

export function trouble(e) {
  const at = byId("trouble");
  if (!e) { at.hidden = true; return; }
  if (e.stale) return;
  at.textContent = sentence(e.message);
  at.hidden = false;
}
