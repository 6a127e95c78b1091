// Keeping a blend: card, sheet, data, and the book.

import * as address from "./address.js";
import * as ask from "./ask.js";
import * as book from "./book.js";
import { confirm, looked, standIns } from "./confirm.js";
import { currentParts as parts } from "./blends.js";
import * as steps from "./steps.js";
import { batchOf, finishedAs } from "./live.js";
import { byId, element, failed, trouble, on } from "./words.js";

let skinName = "";

steps.watch((step) => { if (step === "keep") follow(); });
on("save-batch", "click", save);

// What is saved is fetched first: a browser keeps to itself why it was refused.
document.addEventListener("click", async (e) => {
  const a = e.target.closest(".acts > a[download]");
  if (!a) return;
  e.preventDefault();
  let says = a.parentElement.nextElementSibling;
  if (!says?.classList.contains("refused")) a.parentElement.after(says = element("div", "", { className: "refused", role: "alert" }));
  says.replaceChildren();
  try {
    const { blob, name } = await ask.view(a.href), href = URL.createObjectURL(blob);
    element("a", "", { href, download: name }).click();
    setTimeout(() => URL.revokeObjectURL(href), 6e4); // a phone asks first where to
  } catch (e) {
    failed(says, e);
    says.scrollIntoView({ block: "nearest" });
  }
});

// follow keeps the links on the blend at hand. Where that is a batch's, so are its labels:
// with its lots and code, and as it was weighed.
export function follow(skin) {
  if (skin) skinName = skin;
  byId("title").placeholder = skinName ? "Blend for " + skinName : "";
  byId("keep-stands").textContent = standIns().join(" ");
  byId("keep-base").textContent = byId("base").selectedOptions[0]?.text || "";
  for (const says of document.querySelectorAll(".refused")) says.replaceChildren(); // of what was chosen before
  const batch = batchOf(parts());
  for (const a of document.querySelectorAll(".acts > a[href^='/file/']")) {
    const job = a.pathname.split("/")[2], more = Object.fromEntries(new URLSearchParams(a.dataset.with || "")), said = ["title", "market", "per"].filter(address.has).map((key) => [key, address.get(key)]);
    const to = batch && job === "labels" ? new URLSearchParams({ batch, ...Object.fromEntries(said), ...more }) : address.query(job, { part: parts(), ...more });
    a.href = `${a.pathname}?${to}`;
  }
}

async function save() {
  const made = finishedAs(parts());
  if (made && !await confirm("Write it once more?", [element("p", `It is in the book already, as batch ${made}.`)], "Write another batch")) return;
  if (!await looked("Write it")) return;
  const kept = byId("kept");
  try {
    const r = await ask.job(address.asked("book save", { part: parts() }));
    kept.textContent = `It is in the book as blend ${r.blendId} and batch ${r.batchId}${r.client ? ", for " + r.client : ""}, to be weighed.`;
    trouble(null);
    await book.list();
  } catch (e) {
    kept.textContent = "Not kept: " + e.message;
  }
}
