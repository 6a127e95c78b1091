// Who is let in, and sending them out.

import * as ask from "./ask.js";
import { byId, element, tell, capital, act, on } from "./words.js";

on("devices", "toggle", () => { if (byId("devices").open) list(); });

async function list(end = "") {
  const at = byId("devices-body");
  try {
    const { devices } = await ask.json("/api/devices?end=" + encodeURIComponent(end), "", "devices");
    at.replaceChildren(...devices.map((d) => {
      const who = `${d.device}, in since ${new Date(d.since).toLocaleTimeString()}`;
      return element("li", `${who}, last here ${new Date(d.last).toLocaleTimeString()} `, "", act("Send out", who, async () => { await list(d.id); tell(`${d.device} is out.`); }));
    }));
  } catch (e) { at.replaceChildren(element("li", capital(e.message) + ".")); }
}
