// The sheet of a batch while it is made: a line is ticked as planned or given what the
// balance said, a blank what was read, and both go into the book at once. What the book
// has no line for (parts of a weight) or was not reached for is kept in this browser
// until the batch is finished.

import * as address from "./address.js";
import * as ask from "./ask.js";
import * as steps from "./steps.js";
import { say } from "./book.js";
import { confirm, weigh } from "./confirm.js";
import { grams, sheet, goodUntil } from "./paper.js";
import { byId, capital, element, tell, tick, act, button, option, list, weighed, gramsIn, on } from "./words.js";

let made = null; // { id, doc, weights, lots, kept, waiting, notes, toCome }; waiting has a line's position or a blank's name, and kept.since the day a finished one was made

const place = (id) => `tawny batch ${id}`;
const typing = "typed "; // before the name of a blank that was not left yet
const half = "half "; // before the place of a weight that was not

const keptOf = (id) => JSON.parse(localStorage.getItem(place(id)));

// over is whether the book has a batch at a stage that it comes to when it is finished. A
// total written from here (kept.total) is not another device's finish.
const over = (stage, kept) => stage === "mended" || stage === "made" && !kept?.total;

// halfWeighed are those of the book's batches that are begun and not finished: what this
// browser has weights of, and what was begun anywhere today or yesterday. Where the last
// line was weighed elsewhere (kept.last is not set) it was finished there, total or not.
export function halfWeighed(batches) {
  const recent = new Date(Date.now() - 864e5).toISOString().slice(0, 10);
  return batches.filter((l) => {
    const kept = keptOf(l.id);
    if (kept && over(l.stage, kept) && !Object.keys(kept.waiting || {}).length) drop(l.id);
    return kept ? !kept.since && !over(l.stage, kept) && (l.stage !== "weighed" || kept.last) : l.stage === "begun" && l.on >= recent;
  }).map((l) => String(l.id)).reverse();
}

// finishedOn is the day a batch was made where it is finished by what the book has, else "".
function finishedOn({ record, corrections }, kept) {
  const all = record.weights.every((w) => w.weighed_g != null), stage = corrections?.length ? "mended" : all && record.made_g != null ? "made" : "";
  return over(stage, kept) || all && !kept ? record.made_on || "" : "";
}

// open shows a batch of the book; one that is open stays as it is.
export async function open(id, notes = []) {
  if (made?.id === id) return;
  const paper = byId("paper");
  paper.replaceChildren(element("p", "Reading the batch from the book…", "hint"));
  try {
    const shown = await inBook(id), { record } = shown, kept = keptOf(id);
    if (!record.document) throw new Error("its sheet is not in the book; it was written without one");
    const mended = shown.corrections?.length, now = mended || record.made_on ? await ask.job({ job: "batch", batch: id }, "as made") : {};
    const { lots } = await ask.job({ job: "book stock" }, "live stock");
    made = { id, doc: record.document, weights: lines(record), beside: beside(record), lots, asMade: mended ? now.asMade : [], best: now.bestBefore, kept: kept || {}, waiting: new Map() };
    made.kept.since ||= finishedOn(shown, kept);
    for (const [of, said] of Object.entries(made.kept.waiting || {})) made.waiting.set(Number(of) || of, said);
    for (const k of Object.keys(made.kept)) if (k.startsWith(typing)) {
      made.waiting.set(k.slice(typing.length), made.kept[k]);
      delete made.kept[k];
    }
    keep();
    draw();
    says(notes.join(" "));
    if (record.request) address.adopt(record.request);
    made.part = String(address.all("part"));
    const last = made.weights.filter((w) => w.weighed_g != null).at(-1);
    if (made.waiting.size) send();
    else if (last && !made.kept.since) write(last.position, last.weighed_g); // once more, for what it means for the rest
    if (last && !made.kept.since) toNext();
  } catch (e) {
    if (e.stale) return;
    paper.replaceChildren(element("p", `Batch ${id} cannot be opened: ${e.message}.`, "finding"), button("Back to the plan", leave));
  }
}

const inBook = (id) => ask.record("batch", id, "sheet");

// lines are the weights of a batch that its sheet has, in its order; what was put in
// beside them has none there.
const lines = (batch) => batch.weights.slice(0, batch.document.weighings.length);

// beside is what was put in beside them.
const beside = (batch) => batch.weights.slice(batch.document.weighings.length).filter((w) => w.weighed_g);

// missing reports whether a line is still to weigh: of nothing planned no step asks.
const missing = (w) => w.planned_g && weighedLine(w.position - 1) == null;

// takeIn takes in what the book has of the batch, which another device may weigh too.
function takeIn(batch) {
  made.weights = lines(batch);
  made.beside = beside(batch);
  made.doc = batch.document;
  for (const w of made.weights) {
    const here = weighedLine(w.position - 1);
    if (made.waiting.has(w.position) || (w.weighed_g == null ? here == null : here != null && Math.abs(here - w.weighed_g) < 1e-6)) continue;
    for (const { key } of parts(w.position - 1)) delete made.kept[key];
  }
  fromBook();
  keep();
}

// refresh reads the batch again.
async function refresh() {
  const at = made;
  try {
    const shown = await inBook(at.id), on = finishedOn(shown, at.kept);
    if (at !== made) return;
    takeIn(shown.record);
    if (on && !at.kept.since) {
      at.kept.since = on;
      keep();
      draw();
      says("It was finished on another device.");
      return;
    }
    change();
    says();
  } catch { /* told with the next weight */ }
}

export function close() { made = null; }

const lastOne = "tawny finished"; // the batch, also after a reload
let finished = JSON.parse(sessionStorage.getItem(lastOne));

// finishedAs is the batch just finished where it is of these parts.
export const finishedAs = (part) => finished?.part === String(part) ? finished.id : "";

// batchOf is the batch of these parts that is being made, or was just finished.
export const batchOf = (part) => finishedAs(part) || (made?.part === String(part) ? made.id : "");

function leave() {
  close();
  address.settle({ sheet: "" });
  steps.show();
  byId("paper").scrollIntoView();
}

// empty are the boxes of the steps that nothing was written in yet.
const empty = () => [...byId("paper").querySelectorAll(".weight input[type=checkbox]:not(:checked), .blank input")].filter((box) => box.type === "checkbox" || !box.value);

let last = null; // the box that was in hand
let refused = null; // the line or blank of which the book did not take what was said
on("paper", "focusin", (e) => { if (e.target.closest(".doing")) last = e.target; });

// toNext brings the next empty box in sight, after the one in hand or else the first.
function toNext() {
  const all = empty(), box = all.find((b) => refused?.contains(b)) || all.find((b) => last?.isConnected && last.compareDocumentPosition(b) & Node.DOCUMENT_POSITION_FOLLOWING && b.closest(".weight, .blank") !== last.closest(".weight, .blank")) || all[0];
  refused = null;
  box?.scrollIntoView({ block: "center" });
  box?.focus({ preventScroll: true });
}

on("paper", "keydown", (e) => { if (e.key === "Enter" && e.target.matches(".doing input[type=text]")) setTimeout(toNext); });

// drop forgets what is kept of a batch here.
export function drop(id) {
  localStorage.removeItem(place(id));
  if (finished?.id !== String(id)) return;
  finished = null;
  sessionStorage.removeItem(lastOne);
}

// keep writes down here that a batch is being weighed, and what the book has not of it.
function keep(of = made) {
  if (of.kept.since && !of.waiting.size) { drop(of.id); return; }
  of.kept.waiting = Object.fromEntries(of.waiting);
  localStorage.setItem(place(of.id), JSON.stringify(of.kept));
}

// agreed asks before what stands in the book of a finished batch is changed.
const agreed = async (what, was, now) => !made.kept.since || String(was ?? "") === String(now ?? "")
  || confirm("Is that right?", [element("p", `Batch ${made.id} is finished, and “${what}” is written as ${was || "nothing"}.`)], `Write ${now || "nothing"}`);

// where a weight of a step stands in the kept entries.
const at = (s, i) => `${s.number}.${i}`;

// parts are the weights of steps that make up a line of the table.
function parts(line) {
  const list = [];
  for (const s of made.doc.steps) (s.weights || []).forEach((w, i) => { if (w.line === line) list.push({ key: at(s, i), w }); });
  return list;
}

// weighedLine is what was weighed of a line in all, or null where a part is to
// come. A premix holds its powder and some of its carrier, in its proportions.
function weighedLine(line) {
  const { doc, kept } = made, all = parts(line);
  if (!all.length || all.some(({ key }) => kept[key] == null)) return null;
  let g = doc.weighings[line].grams;
  for (const { key, w } of all) g += w.premix ? g * (kept[key] / w.grams - 1) : kept[key] - w.grams;
  for (const m of doc.premixes || []) {
    if (m.carrier !== doc.weighings[line].name) continue;
    const of = doc.weighings.findIndex((x) => x.name === m.powder);
    for (const { key, w } of parts(of)) if (kept[key] != null) g += (kept[key] - w.grams) * m.carrierG / (m.carrierG + m.powderG);
  }
  return Number(g.toFixed(6));
}

// fromBook fills what this browser has not seen with the book's weights.
function fromBook() {
  const { kept } = made;
  for (const w of made.weights) {
    const all = parts(w.position - 1);
    if (w.weighed_g != null && all.length === 1 && !all[0].w.premix && kept[all[0].key] == null && !all[0].w.part) kept[all[0].key] = w.weighed_g;
    else if (w.weighed_g != null && all.every(({ key }) => kept[key] == null)) for (const { key, w: p } of all) kept[key] = p.grams;
  }
}

// draw puts the sheet together.
function draw() {
  const { doc } = made;
  fromBook();
  const next = button("To the next one", toNext);
  next.id = "live-next";
  const acts = element("p", "", "acts", ...(made.kept.since ? [button("Back to the history", toHistory, "main")] : [button("Finish the batch", finish, "main"), button("Leave it for now", leave)]));
  byId("paper").replaceChildren(element("div", "", "now", element("p", "", { id: "live-says", role: "status" }), next), element("p", `Batch ${made.id} in the book${doc.code ? `, code ${doc.code}` : ""}${made.kept.since ? `, all weighed, made on ${made.kept.since}; what you change is asked about, then written` : ""}`, "code"), ...sheet({ ...doc, asMade: made.asMade, bestBefore: made.best || doc.bestBefore }, { lot, weight, blank }), acts);
  change();
  says();
}

function says(more = "") {
  const left = made.weights.filter((w) => missing(w) || made.waiting.has(w.position)).length;
  byId("live-says").textContent = [left ? `${left} of ${made.weights.length} lines still to weigh.` : "All is weighed.", more].filter(Boolean).join(" ");
  byId("live-next").hidden = !empty().length;
}

// lot lets a line's lot be chosen among those of its powder, or written.
function lot(i) {
  const w = made.weights[i], lots = made.lots.filter((l) => l.powder_name.toLowerCase() === w.name.toLowerCase());
  const ariaLabel = `Lot of ${w.name}`;
  const box = lots.length ? element("select", "", { ariaLabel }, element("option"), ...lots.map((l) => option(l.lot, `${l.lot}, ${grams(made.doc, l.left_g)} g left`))) : element("input", "", { type: "text", ariaLabel });
  box.value = w.lot || made.kept["lot " + i] || "";
  box.addEventListener("change", async () => {
    if (!await agreed(`lot of ${w.name}`, w.lot, box.value)) { box.value = w.lot || ""; return; }
    made.kept["lot " + i] = box.value;
    keep();
    const g = weighedLine(i);
    if (g != null) write(i + 1, g);
  });
  return box;
}

// weight is a weight of a step: ticked as planned, or what the balance said.
function weight(s, w, i) {
  const { doc, kept } = made, key = at(s, i), box = element("input", "", { type: "checkbox" });
  const dropwise = doc.weighings[w.line].roles?.includes("ph"); // of which none may be wanted
  const input = weighed({ placeholder: "g", ariaLabel: `What the balance said of ${w.name}, g` }), now = element("em", "", { data: { line: w.line, of: w.grams } });
  const label = tick(box, element("span", w.name + (w.part ? ` (${w.part})` : "") + " ", "", element("b", grams(doc, w.grams) + " g"), " ", now)), row = element("div", "", "weight", label, input);
  const show = () => {
    const g = kept[key], off = g != null && g !== w.grams, typed = g != null && gramsIn(input, dropwise) === g, asked = typed && made.waiting.has(w.line + 1);
    box.checked = g != null && !asked;
    if (!typed && document.activeElement !== input) {
      input.value = kept[half + key] ?? (off ? String(g) : "");
      input.removeAttribute("aria-invalid");
    }
    now.className = "";
    now.textContent = off && !asked ? `weighed ${grams(doc, g)} g` : "";
    box.ariaLabel = `${w.name}: weighed as ${now.dataset.grams ? `it should be now, ${now.dataset.grams}` : `planned, ${grams(doc, w.grams)}`} g`;
  };
  row.addEventListener("due", show);
  const enter = async (g) => {
    delete kept[half + key];
    const was = weighedLine(w.line);
    const inWords = (x) => x == null ? "" : grams(doc, x) + " g";
    if (!await agreed(w.name, inWords(kept[key]), inWords(g))) { show(); return; }
    if (g == null) delete kept[key]; else kept[key] = g;
    keep();
    const line = weighedLine(w.line);
    if (line != null || was != null) write(w.line + 1, line);
    show();
    if (w.premix) for (const m of doc.premixes || []) {
      const carrier = doc.weighings.findIndex((x) => x.name === m.carrier), all = weighedLine(carrier);
      if (m.powder === doc.weighings[w.line].name && all != null) write(carrier + 1, all);
    }
    says();
  };
  // enterField enters what stands in the field, which a tick means too.
  const enterField = () => {
    const g = gramsIn(input, dropwise);
    if (g != null) { enter(g); return; }
    box.checked = kept[key] != null;
    says(`“${input.value}” is no weight of ${w.name}; nothing was written.`);
  };
  let left = false; // the field, for the tick: by that it enters what was typed
  label.addEventListener("pointerdown", () => { left = document.activeElement === input && kept[half + key] != null; });
  box.addEventListener("change", async () => {
    if (left) { left = false; box.checked = !box.checked; input.blur(); return; }
    if (kept[half + key] != null && input.value.trim()) { enterField(); return; }
    const g = kept[key];
    await enter(box.checked ? Number(now.dataset.grams || w.grams) : null);
    if (box.checked) return;
    if (g != null && g !== w.grams && kept[key] == null) { // what the balance said stays at hand
      input.value = kept[half + key] = String(g);
      keep();
    }
    input.focus();
  });
  box.addEventListener("keydown", (e) => { if (/^[\d.,]$/.test(e.key)) input.focus(); }); // what is typed is a weight
  input.addEventListener("input", () => { kept[half + key] = input.value; keep(); });
  input.addEventListener("change", () => { if (input.value.trim()) enterField(); else enter(null); });
  input.addEventListener("blur", () => { if (kept[half + key] != null && input.value.trim()) enterField(); }); // typed before a reload
  show();
  return row;
}

// blank is something to write down on the sheet; a time is a tap.
function blank(s, r, i) {
  const name = `${s.number} ${r.what}`, input = element("input", "", { type: "text" }), until = element("span", "", "until");
  const row = element("div", "", { className: "blank", data: { name } }, element("label", capital(r.what) + (r.unit && r.unit !== "time" ? ", " + r.unit : ""), "", input));
  if (r.unit ? r.unit !== "time" : /^(pH|number)/.test(r.what)) input.inputMode = "decimal";
  const held = () => {
    const [, h, m] = /^(\d\d):(\d\d)$/.exec(input.value) || [], { off } = reading();
    until.textContent = h && /from/.test(r.what) && s.minutes.low ? `until ${clock(new Date(2000, 0, 1, h, Number(m) + s.minutes.low))} at least`
      : off && !made.waiting.has(name) ? `${off} is asked: put it right before you go on` : "";
  };
  const reading = () => made.doc.steps[s.number - 1].readings[i];
  const show = () => { input.value = made.waiting.get(name) ?? reading().value ?? ""; held(); };
  const typed = (text) => { if (text) made.kept[typing + name] = text; else delete made.kept[typing + name]; keep(); };
  const wrote = async () => {
    const { value } = reading(), now = input.value.trim();
    typed("");
    if (!await agreed(r.what.split(",")[0], value, now)) { show(); return; }
    write(name, now);
    held();
  };
  input.addEventListener("input", () => typed(input.value.trim()));
  input.addEventListener("change", wrote);
  row.addEventListener("due", () => { if (made.kept[typing + name] == null) show(); });
  if (r.unit === "time") row.append(act("Now", r.what, () => { input.value = clock(new Date()); wrote(); }));
  row.append(until);
  show();
  const last = made.doc.steps.findLast((x) => x.readings?.some((k) => k.is === "ph"));
  return r.is === "ph" && s.number === last.number ? element("div", "", "", row, putIn()) : row;
}

// putIn is where what sets the pH is written, which the sheet has no line for, and where
// it is told how much of it is in and taken out again.
function putIn() {
  const what = element("input", "", { type: "text", placeholder: "citric acid", ariaLabel: "Put in to set the pH" }), g = element("input", "", { type: "text", inputMode: "decimal", placeholder: "g", ariaLabel: "How much of it, g" });
  const write = async (put) => {
    try {
      const r = await weigh({ batch: made.id, put: [put] });
      takeIn(r.batch);
      change();
      says(r.notes[0]);
      what.value = g.value = "";
    } catch (e) { says(`Not written: ${e.message}.`); }
  };
  const within = element("div", "", "put"), show = () => within.replaceChildren(...made.beside.map((w) =>
    element("p", "", "acts", element("span", `Put in: ${grams(made.doc, w.weighed_g)} g of ${w.name}`), act("Take out", w.name, () => write(`${w.name}=none`)))));
  within.addEventListener("due", show);
  show();
  return element("div", "", "", within, element("p", "", "acts put", element("span", "Put in to set it:"), what, g, act("Write it", "what was put in", () => write(`${what.value.trim()}=${g.value.trim()}`))));
}

const clock = (d) => `${String(d.getHours()).padStart(2, "0")}:${String(d.getMinutes()).padStart(2, "0")}`;

// write sends a line's weight or what was read to the book, now or once tawny answers
// again.
function write(of, said) {
  made.waiting.set(of, said);
  keep();
  send();
}

// valueOf is what the book had of a blank when it was last read.
const valueOf = ({ doc }, name) => doc.steps.flatMap((s) => (s.readings || []).filter((r) => `${s.number} ${r.what}` === name))[0]?.value || null;

const send = ask.latest(async () => {
  const at = made;
  if (!at?.waiting.size) return;
  const sent = new Map([...at.waiting].slice(0, at.single ? 1 : undefined)), read = (of) => typeof of === "string", pairs = (list) => list.map(([of, said]) => `${of}=${said ?? "none"}`);
  const lots = [...sent.keys()].map((p) => [p, at.kept["lot " + (p - 1)]]).filter(([, l]) => l);
  try {
    const r = await (sent.size > 1 ? ask.job : weigh)({ job: "book weigh", batch: at.id, weight: pairs([...sent].filter(([p]) => !read(p))), was: pairs([...sent.keys()].map((p) => [p, read(p) ? valueOf(at, p) : at.weights[p - 1].weighed_g])), reading: pairs([...sent].filter(([p]) => read(p))), lot: pairs(lots) });
    for (const [p, g] of sent) if (at.waiting.get(p) === g) at.waiting.delete(p);
    at.kept.last ||= r.batch.weights.every((w) => w.weighed_g != null);
    at.kept.total ||= r.batch.made_g != null && [...sent.keys()].some(read);
    if (at !== made) { if (made?.id !== at.id && keptOf(at.id)) keep(at); return; }
    if (at.waiting.size) send(); else at.single = false;
    takeIn(r.batch);
    if (r.bestBefore && byId("best-before")) byId("best-before").textContent = goodUntil(made.best = r.bestBefore);
    made.notes = [...r.more || [], ...r.notes || []].map((n) => n.replace(", ph:", ", pH:"));
    made.toCome = r.toCome || [];
    change();
    const onPaper = (n) => made.doc.findings?.some((f) => n.endsWith(f.text));
    says([...made.notes.filter((n) => !onPaper(n)), r.toCome && "The lines to come change with it, to keep the proportions."].filter(Boolean).join(" "));
  } catch (e) {
    if (e.stale || at !== made) return;
    if (e.field === "" && /answer/.test(e.message)) { says("Kept here, and written once tawny answers again."); return; }
    if (sent.size > 1) { at.single = true; send(); return; } // to ask of the one that it is about
    // What the book did not take is not shown as weighed either.
    for (const p of sent.keys()) {
      at.waiting.delete(p);
      if (!read(p)) for (const { key } of parts(p - 1)) delete at.kept[key];
    }
    keep();
    draw();
    await refresh();
    if (at !== made) return;
    says(`Not written: ${e.message}.`);
    const of = [...sent.keys()].at(-1), row = read(of) ? byId("paper").querySelector(`[data-name="${CSS.escape(of)}"]`) : byId("paper").querySelector(`[data-line="${of - 1}"]`).closest(".weight");
    refused = row;
    row.querySelector("input[type=text]").focus({ preventScroll: true });
    if (at.waiting.size) send();
  }
});

// change shows which lines still to come should be other than planned. The part of
// a line follows the line.
function change() {
  const list = (made.toCome || []).filter((c) => made.weights[c.position - 1].weighed_g == null), by = new Map(list.map((c) => [c.position - 1, c.now_g / c.planned_g]));
  for (const em of byId("paper").querySelectorAll("em[data-line]")) {
    const x = by.get(Number(em.dataset.line)), g = x && Math.round(Number(em.dataset.of) * x / made.doc.balanceG) * made.doc.balanceG;
    if (x) em.dataset.grams = grams(made.doc, g); else delete em.dataset.grams;
    em.closest(".weight").dispatchEvent(new Event("due"));
    em.classList.toggle("due", Boolean(x));
    if (x) em.textContent = `now ${grams(made.doc, g)} g`;
  }
  for (const row of byId("paper").querySelectorAll(".blank, .put")) row.dispatchEvent(new Event("due"));
  if (list.length) tell(`${list.length} lines still to come change: ${list.map((c) => `${c.name} ${grams(made.doc, c.now_g)} g`).join(", ")}.`);
}

// finish asks for what is missing, then closes the batch with what was noted.
async function finish() {
  const due = made.weights.filter(missing);
  if (due.length) {
    refused = byId("paper").querySelector(`.weight:has(em[data-line="${due[0].position - 1}"]):has([type=checkbox]:not(:checked))`); // the next one in hand
    says(`Still to weigh: ${due.map((w) => w.name).join(", ")}.`);
    byId("live-says").scrollIntoView({ block: "center" });
    return;
  }
  // What is told first is of all that was weighed.
  const at = made;
  for (let tries = 0; at.waiting.size; tries++) {
    if (tries === 300) return;
    await send();
    await new Promise((done) => { setTimeout(done, 100); });
    if (at !== made) return; // another sheet is open
  }
  const read = made.doc.steps.flatMap((s) => (s.readings || []).map((r) => ({ ...r, step: s }))), blanks = read.filter((r) => !r.value), pH = read.filter((r) => r.is === "ph");
  const off = read.filter((r) => r.value && r.off).map((r) => `Step ${r.step.number}, ${r.what.split(",")[0]}: ${r.value}, where ${r.off} is asked.`);
  const open = [...off, ...(made.notes || []), blanks.length && `${blanks.length} blanks of the sheet are empty${pH.length && !pH.some((r) => r.value) ? ", the pH among them" : ""}.`].filter(Boolean);
  if (open.length && !await confirm("Finish the batch?", [list(open)], "Finish it so")) return;
  drop(made.id);
  finished = { id: made.id, part: String(address.all("part")) };
  sessionStorage.setItem(lastOne, JSON.stringify(finished));
  say(`Batch ${made.id} is finished and in the book.`);
  toHistory();
}

function toHistory() {
  close();
  address.settle({ sheet: "" });
  steps.go("keep");
}

const again = () => { if (made && !document.hidden) if (made.waiting.size) send(); else refresh(); };
addEventListener("online", again);
addEventListener("focus", again);
document.addEventListener("visibilitychange", again);

// What is in sight when the screen is turned stays so.
let seen = null, wide = innerWidth;
addEventListener("scrollend", () => { seen = document.elementFromPoint(innerWidth / 2, innerHeight / 2)?.closest(".weight, .blank, .doing > li"); });
addEventListener("resize", () => {
  if (innerWidth === wide) return;
  wide = innerWidth;
  const at = [document.activeElement.closest("#paper .weight, #paper .blank"), seen].find((e) => e?.isConnected);
  if (made) at?.scrollIntoView({ block: "center", behavior: "instant" });
});
