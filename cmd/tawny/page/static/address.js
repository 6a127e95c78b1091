// What the maker has chosen, kept in the address, so that a link brings it
// back and the browser's Back undoes it.

let chosen = new URLSearchParams(location.search);
let place = history.state?.place ?? 0;
let end = place;
const watchers = [];

history.replaceState({ place }, "");

// What stands where nothing was chosen yet.
const first = { skin: "light", target: "skin:1,4,5", load: "4" };

export const get = (key, or = "") => chosen.get(key) ?? first[key] ?? or;
export const all = (key) => chosen.getAll(key);

// asked returns all that is chosen, with some keys changed, for a request.
export function asked(changes = {}) {
  const q = new URLSearchParams(chosen);
  for (const key in first) if (!q.has(key)) q.set(key, first[key]);
  put(q, changes);
  return q.toString();
}

function put(q, changes) {
  for (const [key, value] of Object.entries(changes)) {
    q.delete(key);
    for (const v of Array.isArray(value) ? value : [value]) if (v !== "" && v != null) q.append(key, v);
  }
}

// attempt changes what is chosen without a step of undo, as while a slider moves.
export function attempt(changes) { put(chosen, changes); }

// settle makes what is chosen the newest step, where it differs.
export function settle(changes = {}) {
  put(chosen, changes);
  const at = "?" + chosen.toString();
  if (at === location.search || (at === "?" && !location.search)) return;
  place++;
  end = place;
  history.pushState({ place }, "", at === "?" ? location.pathname : at);
  tell(false);
}

export function undo() { if (place > 0) history.back(); }
export function redo() { if (place < end) history.forward(); }

// watch calls f(restored) after every step, restored where it came from the
// history and the form must follow.
export function watch(f) { watchers.push(f); }
function tell(restored) { for (const f of watchers) f(restored, place > 0, place < end); }

addEventListener("popstate", (e) => {
  if (!e.state) return;
  place = e.state.place;
  end = Math.max(end, place);
  chosen = new URLSearchParams(location.search);
  tell(true);
});
