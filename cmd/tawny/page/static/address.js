// What the maker has chosen, kept in the address, so that a link brings it
// back and the browser's Back undoes it.

// What is written for one client is not for the next, nor does it come back once they are
// forgotten: the steps before that have it no more.
const theirs = { title: "", note: "", code: "" };
const forgotten = "tawny forgotten"; // the step that is after it

let place = history.state?.place ?? 0;
let end = place;
let chosen = come();
const watchers = [];

history.replaceState({ place }, "");

// What stands where nothing was chosen yet.
const first = { skin: "light", target: "gold", load: "4" };

export const get = (key, or = "") => chosen.get(key) ?? first[key] ?? or;
export const all = (key) => chosen.getAll(key);
export const has = (key) => chosen.has(key);

// What each job understands, as its declaration has it.
const fields = JSON.parse(document.querySelector('meta[name="tawny-fields"]').content);
const choices = new Set(Object.values(fields).flat());

// understood says whether a control's name is a choice of some job.
export const understood = (name) => choices.has(name);

function choice(job, changes, of) {
  const q = new URLSearchParams(of ? "" : chosen);
  put(q, of || {});
  for (const key in first) if (!q.has(key) && !(key === "load" && q.has("load-max"))) q.set(key, first[key]);
  put(q, changes);
  // A card does not tell of a wish that nobody had.
  if (job === "card" && q.has("part") && !chosen.has("target") && !changes.target) q.delete("target");
  return q;
}

// asked is the request of a job: what is chosen of its fields, or was asked for
// another, some changed.
export function asked(job, changes = {}, of = null) {
  const q = choice(job, changes, of), doc = { job, version: 2 };
  for (const key of fields[job]) if (q.has(key)) doc[key] = q.getAll(key);
  return doc;
}

// query is the same for a link.
export function query(job, changes = {}) {
  const q = choice(job, changes);
  for (const key of new Set(q.keys())) if (!fields[job].includes(key)) q.delete(key);
  return q.toString();
}

function put(q, changes) {
  for (const [key, value] of Object.entries(changes)) {
    q.delete(key);
    for (const v of Array.isArray(value) ? value : [value]) if (v !== "" && v != null) q.append(key, v);
  }
}

// come is what the address says.
function come() {
  const q = new URLSearchParams(location.search);
  if (place < Number(sessionStorage.getItem(forgotten))) for (const key in theirs) q.delete(key);
  return q;
}

// forget drops what a client was chosen by, and what was written for anybody.
export function forget(id) {
  const before = place;
  settle({ ...theirs, ...(get("skin") === "client:" + id ? { skin: "", part: [] } : {}) });
  sessionStorage.setItem(forgotten, String(place > before ? place : end + 1));
}

// take is put for what is chosen.
function take(changes) {
  const was = get("skin");
  put(chosen, changes);
  if (was.startsWith("client:") && get("skin") !== was) put(chosen, theirs);
}

// attempt changes what is chosen without a step of undo, as while a slider moves.
export function attempt(changes) { put(chosen, changes); }

// settle makes what is chosen the newest step, where it differs.
export function settle(changes = {}) {
  take(changes);
  const at = "?" + chosen.toString();
  if (at === location.search || (at === "?" && !location.search)) return;
  place++;
  end = place;
  history.pushState({ place }, "", (at === "?" ? location.pathname : at) + location.hash);
  tell(false);
}

// choose is settle for what was not chosen in the form, which has to follow.
export function choose(changes) {
  settle(changes);
  tell(true);
}

// fix puts into the present step what it already shows, such as the blend at hand.
export function fix(changes) {
  take(changes);
  history.replaceState({ place }, "", "?" + chosen.toString() + location.hash);
}

// known is what the page understands of a kept request, but for the batch's code: that
// is its own.
const known = (request) => Object.fromEntries(Object.entries(request).filter(([key]) => fields["book save"].includes(key) && key !== "code"));

// adopt puts what was asked for what is at hand in place of all else that was chosen,
// where it differs.
export function adopt(request) {
  const q = new URLSearchParams();
  put(q, { ...known(request), sheet: get("sheet") });
  const same = (key) => String(q.getAll(key)) === String(chosen.has(key) ? chosen.getAll(key) : first[key] ?? "");
  if ([...q.keys(), ...chosen.keys()].filter((key) => fields["book save"].includes(key) || key === "code").every(same)) return;
  chosen = q;
  fix({});
  tell(true);
}

// open puts a kept request in place of all that is chosen.
export function open(doc) {
  chosen = new URLSearchParams();
  choose(known(doc));
}

export function undo() { if (place > 0) history.back(); }
export function redo() { if (place < end) history.forward(); }

// watch calls f(restored) after every step, restored where it came from the
// history and the form must follow.
export function watch(f) { watchers.push(f); }
function tell(restored) { for (const f of watchers) f(restored, place > 0, place < end); }

addEventListener("popstate", (e) => {
  if (!e.state) { history.replaceState({ place }, ""); return; } // another step of the page
  place = e.state.place;
  end = Math.max(end, place);
  const now = come(), same = now.toString() === chosen.toString();
  chosen = now;
  tell(!same);
});
