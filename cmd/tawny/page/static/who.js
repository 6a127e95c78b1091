// Whose skin it is: somebody in the book, or a new one.

import * as address from "./address.js";
import * as ask from "./ask.js";
import { confirm, sure } from "./confirm.js";
import { fault } from "./form.js";
import { byId, element, labText, tint, option, pointed, on } from "./words.js";

const most = 200; // readings of a file to choose from
let clients = [];
const take = (skin) => address.choose({ skin, part: [] });

on("read-take", "click", () => {
  const boxes = ["read-l", "read-a", "read-b"].map(byId), lab = boxes.map(pointed), missing = lab.findIndex((v) => v === "" || !Number.isFinite(Number(v)));
  fault("", "", "skin-reading");
  if (missing >= 0) {
    fault(boxes[missing].id, `${lab[missing] ? `“${boxes[missing].value.trim()}” is no number` : "nothing is written"}; ${["L*", "a*", "b*"][missing]} is wanted as the instrument shows it, such as 55.5`, "skin-reading");
    boxes[missing].focus();
    return;
  }
  take(`lab:${lab.join(",")}${byId("read-by").value}`);
});
on("save-skin", "click", save);
on("reading-file", "change", file);
on("reading-which", "change", () => take(byId("reading-which").value));
list();

// list shows the book's clients who have a skin.
export async function list() {
  if (!byId("clients")) return;
  try {
    clients = await ask.records("clients", "list who");
  } catch { return; } // told under Keep
  const boxes = [];
  for (const c of clients) {
    const value = "client:" + c.id; // no name in the address
    const radio = element("input", "", { type: "radio", name: "preset", value, checked: address.get("skin") === value }), patch = tint("");
    const box = element("label", "", "skin", radio, patch, element("span", c.title));
    boxes.push(box);
    ask.job({ job: "book client", client: String(c.id) }, "client " + c.id).then((v) => {
      if (v.view) patch.style.backgroundColor = v.view.hex;
      else { radio.disabled = true; box.append(element("small", "no reading yet")); }
    }, () => {});
  }
  byId("clients").replaceChildren(...boxes);
  byId("clients-set").hidden = !boxes.length;
}

async function save() {
  const kept = byId("skin-kept"), place = byId("skin-name").value.trim(), client = byId("skin-client").value.trim(), colour = address.get("skin");
  kept.textContent = "";
  fault("", "", "skin-keep");
  if (!address.has("skin")) { fault("client", "no skin is chosen yet: choose or read one first", "skin-keep"); return; }
  if (!client && !await confirm("Whose skin is it?", [element("p", "Nobody is named. It can be kept without a name: it stands under Keep, among the skins.")], "Keep it without a name")) return;
  try {
    const r = client ? await sure({ job: "book add reading", colour, client, "new-client": true, place }, { instead: ["Is this the skin, and not the one before?", "This one instead", "The book has a reading of them that lies far off this one. The mean of both would be nobody's; the one before is taken out."] })
      : await ask.job({ job: "book add skin", colour, name: place });
    byId("skin-client").value = byId("skin-name").value = "";
    await list();
    const who = clients.find((c) => c.title.toLowerCase() === client.toLowerCase());
    if (who) take("client:" + who.id);
    kept.textContent = `It is in the book. ${r.says.replace(/^Reading \d+ of/, "Of")}`;
  } catch (e) { if (!e.stale) fault(e.field, e.message, "skin-keep"); }
}

// file reads an instrument's file.
async function file(e) {
  const says = byId("reading-says"), which = byId("reading-which"), file = e.target.files[0];
  if (!file) return;
  says.hidden = false;
  says.textContent = "Reading…";
  byId("reading-choose").hidden = true;
  try {
    const v = await ask.job({ job: "read", file: await ask.file(file, "reading") });
    const samples = v.samples.filter((s) => s.reading);
    if (!samples.length) { says.textContent = "The file has no reading under D65 and no spectrum; one of these is needed."; return; }
    which.replaceChildren(...samples.slice(0, most).map((s, i) => option(s.reading, `${s.name || "reading " + (i + 1)}: ${labText(s.lab)}`)));
    byId("reading-choose").hidden = samples.length < 2;
    says.textContent = [`${samples.length} reading${samples.length > 1 ? "s" : ""} in ${file.name}.`, ...(v.notes || [])].join(" ");
    take(samples[0].reading);
  } catch (e) {
    if (!e.stale) says.textContent = e.message;
  }
}
