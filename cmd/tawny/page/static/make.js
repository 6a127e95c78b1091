// Making: the base and the size beside the sheet they give, and the batch begun.

import * as address from "./address.js";
import * as ask from "./ask.js";
import { currentParts as parts } from "./blends.js";
import * as live from "./live.js";
import * as steps from "./steps.js";
import { sheet } from "./paper.js";
import { confirm, looked, standIns } from "./confirm.js";
import { byId, button, capital, element, finding, toMend, tell, trouble, on } from "./words.js";
import * as form from "./form.js";

let of = "";
let mend = []; // what the sheet says is not to be made so

steps.watch(follow);
on("begin", "click", begin);

// follow shows the sheet of what is chosen, or the batch that is being made.
export function follow() {
  if (steps.current() !== "make") return;
  const making = address.get("sheet");
  byId("plan").hidden = Boolean(making);
  if (making) {
    of = "";
    byId("make-empty").hidden = true;
    byId("make-body").hidden = false;
    live.open(making);
    return;
  }
  live.close();
  preview();
}

// plan shows what is planned, under a bar that stays in sight while batches are being
// weighed.
async function plan(...parts) {
  const half = await halfWeighed("plan"), bar = element("div", "", "now", element("p", `${unfinished(half)} not finished; this plans another.`), ...half.map(goOn));
  if (address.get("sheet")) return;
  byId("paper").replaceChildren(...(half.length ? [bar] : []), ...parts);
  byId("begin")?.classList.toggle("main", !half.length);
}

async function halfWeighed(kind) {
  if (!byId("begin")) return []; // there is no book
  try { return live.halfWeighed(await ask.records("batches", kind)); } catch { return []; }
}

const unfinished = (half) => half.length > 1 ? `Batches ${half.join(" and ")} are` : `Batch ${half} is`;

// weighOn goes to the sheet of a batch of the book.
export async function weighOn(id, notes, more) {
  address.settle({ ...more, sheet: String(id) });
  if (notes) await live.open(String(id), notes);
  if (steps.current() === "make") follow(); else steps.go("make");
}

const goOn = (id) => button(`Go on weighing batch ${id}`, () => { byId("ask").close(); weighOn(id); }, "main");

const preview = ask.latest(async () => {
  byId("begun").replaceChildren();
  if (!parts().length) return;
  if (byId("ranked").getAttribute("aria-busy") === "true") {
    of = "";
    byId("begin")?.toggleAttribute("disabled", true);
    await plan(element("p", "The blend is still being looked for…", "hint"));
    return;
  }
  byId("begin")?.toggleAttribute("disabled", false);
  // From here on it is this blend, whatever else a search would find for the base.
  if (!address.has("part") && address.has("target")) address.fix({ part: parts() });
  const doc = address.asked("batch", { part: parts() }), text = JSON.stringify(doc);
  if (text === of) return;
  try {
    const b = await ask.job(doc);
    of = text;
    mend = (b.findings || []).filter(toMend).map(finding);
    if (address.get("sheet")) return;
    form.fault("", "");
    trouble(null);
    const f = b.filling;
    const kept = f?.kept || 0, forJars = kept - f?.keptClosed;
    byId("filling-says").textContent = f?.filled ? `${f.filled} bottles: ${Math.max(0, f.filled - kept)} to sell, ${f.keptClosed} kept closed${forJars > 0 ? `, ${forJars} emptied into the small jars of the log` : ""}.${kept && !address.get("samples") ? ` To sell ${f.asked}, write 1 as samples.` : ""}` : "";
    byId("base-says").textContent = b.baseNote ? capital(b.baseNote) + "." : "";
    await plan(...standIns().map((t) => element("p", t, "finding")), ...sheet(b));
  } catch (e) {
    if (e.stale) return;
    of = "";
    byId("filling-says").textContent = "";
    byId("begin")?.toggleAttribute("disabled", true);
    if (!form.fault(e.field, e.message)) trouble(e);
    await plan(element("p", capital(e.message) + ".", "finding"));
  }
});

// begin writes the batch into the book as planned and opens its sheet.
async function begin() {
  const half = await halfWeighed("begin");
  if (half.length && !await confirm("Begin another batch?", [element("p", `${unfinished(half)} begun and not finished.`), ...half.map(goOn)], "Begin another")) return;
  if (!await looked("Begin it so", mend)) return;
  byId("begin").disabled = true;
  try {
    const r = await ask.job(address.asked("book save", { part: parts() }));
    await weighOn(r.batchId, r.notes || [], { part: parts(), code: "" });
    form.fill();
    tell(`Batch ${r.batchId} is begun.`);
    byId("paper").focus();
  } catch (e) {
    if (!form.fault(e.field, e.message)) byId("begun").textContent = "Not begun: " + e.message;
  } finally { byId("begin").disabled = false; }
}
