// A base of her own: lines pasted, read by tawny, and offered among the bases.

import * as address from "./address.js";
import * as ask from "./ask.js";
import { fault, filled } from "./form.js";
import { byId, element, option, failed, finding, list, on } from "./words.js";

const kept = "tawny recipes";
const recipes = () => JSON.parse(localStorage.getItem(kept) || "{}");

on("read-recipe", "click", read);
offer();

// offer lists the recipes of this browser, and the one in the address, among the
// bases.
export function offer() {
  const at = byId("base"), list = recipes(), chosen = address.get("base");
  const named = /(?:^|\n)name: (.*)$/m.exec(chosen)?.[1];
  if (chosen.startsWith("recipe:")) list[named || "own recipe"] = chosen;
  for (const o of at.querySelectorAll("[value^='recipe:']")) o.remove();
  at.append(...Object.entries(list).map(([name, base]) => option(base, `${name} (own)`)));
  at.value = chosen || "Everyday lotion";
}

async function read() {
  const { name = "My base", recipe = "", ...more } = filled(byId("own-base"));
  const says = byId("recipe-says");
  try {
    const b = await ask.job({ job: "base add", name, recipe, ...more });
    fault("", "", "own-base");
    const found = (b.findings || []).map(finding);
    if (Math.abs(b.sumPercent - 100) > 0.5) {
      says.replaceChildren(element("p", `Its lines come to ${b.sumPercent} %, not 100: it is not taken as a base yet.`, "fault"), list(found));
      return;
    }
    const base = "recipe:" + [recipe, "name: " + name, ...Object.entries(more).map(([key, said]) => `${key}: ${said.replace(/(\d),(\d)/g, "$1.$2")}`)].join("\n");
    localStorage.setItem(kept, JSON.stringify({ ...recipes(), [name]: base }));
    says.replaceChildren(element("p", `${b.name}: ${b.ingredients.length} ingredients, read.`, "says"), list(found));
    offer();
    byId("base").value = base;
    byId("base").dispatchEvent(new Event("change", { bubbles: true }));
  } catch (e) { if (!e.field || !fault(e.field, e.message, "own-base")) failed(says, e); }
}
