// A skin from an instrument's file.

import * as ask from "./ask.js";
import { byId, element, labText } from "./words.js";

export function bind(take) {
  const says = byId("reading-says"), which = byId("reading-which");
  byId("reading-file").addEventListener("change", async (e) => {
    const file = e.target.files[0];
    if (!file) return;
    says.hidden = false;
    says.textContent = "Reading…";
    byId("reading-choose").hidden = true;
    try {
      const v = await ask.json("/api/reading", file, "reading");
      which.replaceChildren(...v.samples.map((s, i) => {
        const o = element("option", `${s.name || "reading " + (i + 1)}: ${labText(s.lab)}`);
        o.value = s.skin;
        return o;
      }));
      byId("reading-choose").hidden = v.samples.length < 2;
      says.textContent = [`${v.samples.length} reading${v.samples.length > 1 ? "s" : ""} in ${file.name}.`, ...(v.notes || [])].join(" ");
      take(v.samples[0].skin);
    } catch (err) {
      if (!err.stale) says.textContent = err.message;
    }
  });
  which.addEventListener("change", () => take(which.value));
}
