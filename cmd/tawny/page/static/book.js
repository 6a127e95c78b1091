// The history under Keep: what was made and kept, and who is in the book.

import * as address from "./address.js";
import * as ask from "./ask.js";
import * as mend from "./mend.js";
import * as steps from "./steps.js";
import { confirm, sure } from "./confirm.js";
import { fault, filled } from "./form.js";
import { close, drop, halfWeighed } from "./live.js";
import { weighOn } from "./make.js";
import { act, byId, element, capital, fixed, fold, labText, leave, left, list as lines, sentence, tell, tick, failed } from "./words.js";

// A kept skin is taken over without touching the rest.
const take = (skin) => address.choose({ skin, part: [] });

steps.watch((step) => { if (step === "keep") list(); });

// say tells above the history, now or when it next shows.
export async function say(text) {
  leave("keep", text);
  tell(text);
  if (steps.current() === "keep") await list();
}

const most = 30; // lines of a kind; the whole book is the command's

// records are the book's of a kind; batches and blends of one name go by their numbers.
const records = async (kind) => (await ask.records(kind, "list " + kind)).map((l) => {
  const of = { batches: "batch", blends: "blend" }[kind], number = `${of} ${l.id}`;
  return of ? { ...l, title: capital(number) + (l.title === number ? "" : `: ${l.title}`) } : l;
});

export async function list() {
  const at = byId("book-body");
  if (!at) return;
  at.setAttribute("aria-busy", "true");
  const parts = [];
  try {
    for (const [name, kind, more] of [["Batches", "batches", batchActs], ["Blends", "blends", blendActs], ["Clients", "clients", clientActs], ["Skins", "skins", skinActs]]) {
      const lines = await records(kind);
      if (!lines.length) continue;
      parts.push(element("h3", name), element("ul", "", "lines", ...lines.slice(0, most).map((l) => line(l, more))));
    }
  } catch (e) {
    failed(at, e);
    return;
  } finally { at.removeAttribute("aria-busy"); }
  const says = left("keep");
  if (says) parts.unshift(element("p", says, "says"));
  const first = says && parts[0];
  at.replaceChildren(...(parts.length ? parts : [element("p", "Nothing in the book yet. What you write in it shows here.", "empty")]));
  if (first) first.scrollIntoView({ block: "center" });
}

// short rounds the numbers of a line of the book, which are whole, to what a maker
// can weigh.
const short = (says = "") => says.replace(/ΔE00 ([\d.]+)/, "$1 off the shade").replace(/\d+\.\d{3,}/g, (x) => String(Number(Number(x).toFixed(2))));

function line(l, more) {
  const li = element("li", "", "", element("span", l.title), element("span", [l.on, short(l.says)].filter(Boolean).join("; "), "says"));
  more(li, l);
  return li;
}

// bring puts what was asked for a record back into the form.
async function bring(kind, l) {
  try {
    const { record } = await ask.record(kind, l.id);
    if (!record.request) { tell("What was asked for it is not in the book."); return; }
    address.open(record.request);
    steps.go("blend");
    tell(`${l.title} is open.`);
  } catch (e) { tell(e.message); }
}

function blendActs(li, l) { li.append(act("Open", l.title, () => bring("blend", l)), act("Take out", l.title, () => takeOut("blend", l))); }

function batchActs(li, l) {
  const file = (text, path, more = () => ({})) => {
    const a = element("a", text, { className: "button", target: "_blank", rel: "noopener", ariaLabel: `${text}: ${l.title}`, href: "#keep" }); // what is refused is said there in words
    a.onclick = () => { a.href = `/file/${path}?` + new URLSearchParams({ batch: l.id, ...more() }); };
    return a;
  };
  li.append(
    act(halfWeighed([l]).length ? "Go on weighing" : "Sheet", l.title, () => weighOn(l.id)),
    file("Sheet, PDF", "batch/sheet.pdf"),
    file("Labels", "labels/labels.pdf", () => ({ sheet: "a4", market: byId("market").value, per: byId("per").value })),
    file("Card for the client", "card/card.png", () => ({ for: "client", paper: "phone" })),
    act("Mend", l.title, () => fold(li, l, mending)),
    act("Make again", l.title, () => fold(li, l, again)),
    act("History", l.title, () => fold(li, l, history)),
    act("Its blend", l.title, () => bring("batch", l)));
  if (!l.on) li.append(act("Take out", l.title, () => takeOut("batch", l)));
}

const mending = (div, l) => mend.form(div, l, (says) => { close(); return say(says); }); // its sheet tells of it

// takeOut takes a record out that nothing else stands on.
async function takeOut(kind, l) {
  try {
    await sure({ job: "book delete", kind, record: String(l.id) }, { yes: [`Take ${l.title} out of the book?`, "Take it out", `That is for good: ${short(l.says)}.`] });
    if (kind === "batch") drop(l.id);
    await say(`${l.title} is out of the book.`);
  } catch (e) { if (e.field !== "yes") await say(sentence(`It stays: ${e.message}`)); }
}

function skinActs(li, l) {
  li.append(act("Take this skin", l.title, async () => {
    const { record } = await ask.record("skin", l.id);
    take(skinText(record));
    tell(`${l.title} is the skin now.`);
  }));
}

// A client's skin is the average of their readings, worked out in tawny.
function clientActs(li, l) {
  li.append(
    act("Take this skin", l.title, () => {
      take("client:" + l.id);
      tell(`${l.title}'s skin is chosen.`);
    }),
    act("Readings", l.title, () => fold(li, l, readings)),
    act("Forget", l.title, () => forget(l)));
}

// readings are those that a client's skin is the average of, each to be taken out.
async function readings(div, l) {
  const { readings } = await ask.job({ job: "book client", client: String(l.id) }, "readings");
  div.append(element("ul", "", "lines", ...readings.map((r) => {
    const of = { id: r.id, title: `reading ${r.id}`, on: r.taken_on, says: [labText(r.lab), r.how, r.place].filter(Boolean).join(", ") };
    return line(of, (li) => li.append(act("Take out", of.title, async () => {
      await takeOut("reading", of);
      if (address.get("skin") === "client:" + l.id) take("client:" + l.id); // which is another now
    })));
  })));
}

// forget takes a client out of the book for good, once asked what would go and
// whether what is only listed should go too.
async function forget(l) {
  const asked = { job: "book forget", client: l.title };
  let would = "";
  try { await ask.job(asked); } catch (e) { would = e.message; }
  const box = element("input", "", { type: "checkbox" });
  const [first, ...more] = would.replace("nothing is done yet. a yes forgets", "this forgets").split("\n").filter(Boolean), [says, ...goes] = first.split("; ");
  const body = [element("p", sentence(says)), lines(goes.map(capital)), ...more.map((s) => element("p", s))];
  if (more.length) body.push(tick(box, "Also take them out where else they are listed"));
  if (!await confirm(`Forget ${l.title}?`, body, "Forget for good")) return;
  try {
    const r = await ask.job({ ...asked, yes: true, ...(box.checked ? { listed: true } : {}) });
    const left = (r.mentions || []).map((m) => `${m.table} ${m.id}, in its ${m.field}`);
    leave("keep", ["They are forgotten.", r.says && capital(r.says) + ".", left.length && `Still written elsewhere: ${left.join("; ")}.`,
      r.files && `Files that may hold it still: ${r.files.join("; ")}.`].filter(Boolean).join(" "));
    address.forget(l.id);
    location.reload(); // nothing of them stays on the page either
  } catch (e) { byId("book-body").prepend(element("p", "Not forgotten: " + e.message, "fault")); }
}

const skinText = (r) => r.reflectance ? "bands:" + r.reflectance.map((x) => Math.round(x * 1e4)).join(",") : "lab:" + r.lab.map((x) => x.toFixed(2)).join(",");

// history tells what was weighed for a batch and what was added to it since.
async function history(div, l) {
  const { record, corrections } = await ask.record("batch", l.id, "history");
  const weights = (of) => lines((of.weights || []).filter((w) => w.planned_g || w.weighed_g !== 0).map((w) => `${w.name}${w.lot ? `, lot ${w.lot}` : ""}: ${w.weighed_g == null ? "not weighed" : fixed(w.weighed_g, 2) + " g"}${w.weighed_g === w.planned_g ? "" : `, ${fixed(w.planned_g, 2)} g planned`}`), "lines");
  div.append(element("h4", record.made_on ? `Weighed, ${record.made_on}` : "Planned"), weights(record));
  const read = (record.document?.steps || []).flatMap((s) => s.readings || []).filter((r) => r.value).map((r) => capital(`${r.what}: ${r.value}${r.unit && r.unit !== "time" ? " " + r.unit : ""}`));
  if (read.length) div.append(element("h4", "Read at the bench"), lines(read, "lines"));
  if (record.note) div.append(element("p", capital(record.note) + ".", "hint"));
  for (const c of corrections || []) div.append(element("h4", `Mended${c.made_on ? ", " + c.made_on : ", not weighed yet"}`), weights(c), element("p", c.note ? capital(c.note) + "." : "", "hint"));
}

// again asks how much of it, and writes a new batch of the same.
async function again(div, l) {
  const { record, corrections } = await ask.record("batch", l.id, "again");
  const mended = (corrections || []).some((c) => c.made_on);
  div.append(element("h4", `Make batch ${l.id} again`), element("p", `Of today's lots, ${mended ? "in the proportions it was mended to" : "as it was planned"}. What you leave empty is as it was, but for the code, which is a new batch's own.`, "hint"), byId("again-rows").content.cloneNode(true));
  for (const box of div.querySelectorAll("[data-field]:not([data-field=code], [data-field=note])")) box.placeholder = record.request?.[box.dataset.field] ?? "";
  div.append(act("Write the new batch", l.title, async () => {
    try {
      const v = await sure({ job: "book again", batch: String(l.id), ...filled(div) }, { yes: ["Is that right?", "Write it so"] });
      await weighOn(v.batchId, [v.choice]);
      tell(`It is batch ${v.batchId}.`);
    } catch (e) { if (e.field !== "yes") fault(e.field, e.message, div.id); }
  }));
}
