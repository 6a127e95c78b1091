// A question before something that cannot be taken back.

import * as address from "./address.js";
import * as ask from "./ask.js";
import { byId, element, list, sentence } from "./words.js";

// confirm asks, with what would happen in the body; it resolves to yes or no.
export function confirm(title, body, yes) {
  const at = byId("ask");
  byId("ask-title").textContent = title;
  byId("ask-body").replaceChildren(...body);
  byId("ask-yes").textContent = yes;
  return new Promise((done) => {
    byId("ask-yes").onclick = () => { done(true); at.close(); }; // before anything else is pressed
    byId("ask-no").onclick = () => at.close();
    at.onclose = () => {
      if (at.open) return; // the next question is
      byId("ask-title").textContent = ""; // nobody's name stays
      byId("ask-body").replaceChildren();
      done(false);
    };
    at.showModal();
    byId("ask-no").focus();
  });
}

// standIns says what nobody chose, but stands in.
export const standIns = () => [!address.has("skin") && (byId("skin-says").textContent || "No skin is chosen yet."), !address.has("target") && !address.has("part") && (byId("shade-says").textContent || "No look is chosen yet.")].filter(Boolean);

// looked asks before what stands in, or what is not to be made so, is written.
export async function looked(yes, toMend = []) {
  const open = [...standIns(), ...toMend];
  return !open.length || confirm("Make it so?", [list(open)], yes);
}

addEventListener("popstate", () => { if (byId("ask").open) byId("ask").close(); }); // it was about the step before

// sure asks a job, and where it wants a word first asks for that: by the field it
// wants set, what is asked, what a yes says, and where the job's words are not for
// the page those that are.
export async function sure(doc, questions) {
  try {
    return await ask.job(doc);
  } catch (e) {
    const [title, yes, says] = questions[e.field] || [];
    if (!title || doc[e.field]) throw e;
    if (!await confirm(title, [element("p", says || sentence(e.message.replace(/^a yes writes /, "")))], yes)) throw new ask.Trouble("left as it was", e.field);
    return sure({ ...doc, [e.field]: true }, questions);
  }
}

// weigh writes what was weighed and read; of what looks like a slip it asks first.
export const weigh = (what) => sure({ job: "book weigh", ...what }, { yes: ["Is that right?", "Write it so"] });
