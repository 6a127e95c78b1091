// A question before something that cannot be taken back.

import * as ask from "./ask.js";
import { byId, capital, element } from "./words.js";

// confirm asks, with what would happen in the body; it resolves to yes or no.
export function confirm(title, body, yes) {
  const at = byId("ask");
  byId("ask-title").textContent = title;
  byId("ask-body").replaceChildren(...body);
  byId("ask-yes").textContent = yes;
  return new Promise((done) => {
    let ok = false;
    byId("ask-yes").onclick = () => { ok = true; at.close(); };
    byId("ask-no").onclick = () => at.close();
    at.onclose = () => {
      byId("ask-title").textContent = ""; // nobody's name stays
      byId("ask-body").replaceChildren();
      done(ok);
    };
    at.showModal();
    byId("ask-no").focus();
  });
}

// weigh writes what the balance showed; of what looks like a slip it asks first.
export async function weigh(what) {
  const asked = { job: "book weigh", ...what };
  try {
    return await ask.job(asked);
  } catch (e) {
    if (e.field !== "yes" || !await confirm("Is the weight right?", [element("p", capital(e.message.replace(/^yes writes /, "")) + ".")], "Write it as weighed")) throw e;
    return ask.job({ ...asked, yes: true });
  }
}
