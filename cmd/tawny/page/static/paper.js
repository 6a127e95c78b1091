// A batch's sheet as it is on paper. What stands beside a line or a blank while
// the batch is made comes from its caller.

import { element, finding, toMend, fixed, capital, list } from "./words.js";

const digits = (doc) => Math.max(0, Math.ceil(-Math.log10(doc.balanceG) - 1e-9));
export const grams = (doc, g) => fixed(g, digits(doc));

export const goodUntil = (b) => `Best before the end of ${b.day || b.month} (${b.why}).`;
const range = (r, unit) => r.low === r.high ? `${r.low} ${unit}` : r.low ? `${r.low}–${r.high} ${unit}` : `below ${r.high} ${unit}`;

// sheet draws the document of a batch; beside has what is added to a line of the
// table (lot), to a weight of a step (weight) and to a blank (blank), each called
// with where it stands.
export function sheet(doc, beside) {
  const head = element("header", "", "", element("h3", doc.title), element("p", `${doc.base}, ${grams(doc, doc.totalG)} g on a balance to ${doc.balanceG} g; load ${fixed(doc.loadPercent, 2)} %${doc.look?.skin ? "; for " + doc.look.skin : ""}.`));
  for (const said of doc.asMade || []) head.append(element("p", said, "finding"));
  if (doc.look?.lab) head.append(element("p", `Should look ${doc.look.lab}${doc.look.target ? `, ${fixed(doc.look.deltaE00, 2)} from ${doc.look.target}` : ""}, at ${doc.look.applyMgCm2} mg/cm² (${doc.look.source}).`, "hint"));
  const parts = [head];
  const measured = doc.steps.some((s) => s.readings?.some((r) => r.is === "ph" && r.value));
  const found = (doc.findings || []).filter((f) => f.about !== "ph" || !measured);
  for (const f of found) if (toMend(f)) parts.push(element("p", finding(f), "finding"));
  parts.push(weights(doc, beside));
  parts.push(element("h4", "Before you start"), list(doc.vessels.map((v) => `${v.ml} ml: ${v.for}${v.why ? ` (${v.why})` : ""}`)), cautions(doc, ["buying", "making"]));
  parts.push(element("h4", "Steps"));
  parts.push(element("ol", "", "doing", ...doc.steps.map((s) => step(doc, s, beside))), element("h4", "For the wearer and for selling"), cautions(doc, ["wearing", "selling"]));
  if (doc.filling?.says) parts.push(element("p", doc.filling.says, "hint"));
  if (doc.bestBefore) parts.push(element("p", goodUntil(doc.bestBefore), { className: "hint", id: "best-before" }));
  for (const n of [...found.filter((f) => !toMend(f)).map(finding), ...(doc.notes || [])]) parts.push(element("p", n, "hint"));
  return parts;
}

const cautions = (doc, when) => list(doc.cautions.filter((c) => when.includes(c.when)).map((c) => c.text), "plainly cautions");

function weights(doc, beside) {
  const row = (phase, name, percent, g, lot) => element("tr", "", "", element("td", phase), name, element("td", percent), element("td", "", "", element("b", grams(doc, g))), element("td", "", "", lot));
  const named = (name, note) => element("th", name, { scope: "row" }, ...(note ? [element("small", note)] : []));
  const table = element("table", "", "", element("tr", "", "", ...["phase", "what", "%", "g", "lot"].map((h) => element("th", h, { scope: "col" }))),
    ...doc.weighings.map((w, i) => row(w.phase, named(w.name, w.note), String(Number(w.percent.toFixed(3))).replace("-", "−"), w.weighG ?? w.grams, beside?.lot(i) ?? element("span", w.lot))),
    row("", named("in all"), "100", doc.totalG, ""));
  return element("div", "", { className: "table", tabIndex: 0, role: "region", ariaLabel: "Weights" }, table);
}

function step(doc, s, beside) {
  const at = [];
  if (s.tempC.high) at.push(range(s.tempC, "°C"));
  if (s.minutes.high) at.push(range(s.minutes, "min"));
  const lines = (s.weights || []).map((w, i) => beside?.weight(s, w, i) ?? line(doc, w)), blanks = (s.readings || []).map((r, i) => beside?.blank(s, r, i) ?? element("p", `${capital(r.what)}: ________ ${r.unit || ""}`, "blank"));
  const first = (_, i) => lines.length && s.readings[i].unit === "°C"; // nothing goes in before it is read
  return element("li", "", "", element("h5", `${s.number}. ${s.title}`), element("p", at.join(", "), "at"), element("p", s.do.join(" ")),
    ...blanks.filter(first), ...lines, ...blanks.filter((b, i) => !first(b, i)));
}

const line = (doc, w) => element("p", "", "weight", element("span", w.name + (w.part ? ` (${w.part})` : "")), element("b", grams(doc, w.grams) + " g"));
