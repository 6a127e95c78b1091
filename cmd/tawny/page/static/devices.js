// Who is let in, and sending them out.

import * as ask from "./ask.js";
import { byId, element, tell, capital, act } from "./words.js";

export function bind() {
  byId("devices").addEventListener("toggle", () => { if (byId("devices").open) list(); });
}

async function list(end = "") {
  const at = byId("devices-body");
  try {
    const { devices } = await ask.json("/api/devices?end=" + encodeURIComponent(end), "", "devices");
    at.replaceChildren(...devices.map((d) => {
      const li = element("li", `${d.device}, in since ${new Date(d.since).toLocaleTimeString()}, last here ${new Date(d.last).toLocaleTimeString()} `);
      li.append(act("Send out", `${d.device}, in since ${new Date(d.since).toLocaleTimeString()}`, async () => { await list(d.id); tell(`${d.device} is out.`); }));
      return li;
    }));
  } catch (e) { at.replaceChildren(element("li", capital(e.message) + ".")); }
}
