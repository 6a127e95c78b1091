// Talking to tawny. Every request says which tab it is of and carries a number
// that rises, so that the program can drop what is out of date.

const drawer = document.querySelector('meta[name="tawny-drawer"]').content;
const token = document.querySelector('meta[name="tawny-token"]').content;
const tab = Array.from(crypto.getRandomValues(new Uint8Array(12)), (b) => b.toString(16).padStart(2, "0")).join("");
const turns = new Map();
const running = new Map();

export class Trouble extends Error {
  constructor(message, field = "", stale = false) {
    super(message);
    this.field = field;
    this.stale = stale;
  }
}

function headers(kind, lines) {
  const turn = (turns.get(kind) || 0) + 1;
  turns.set(kind, turn);
  return { "X-Tawny-Token": token, "X-Tawny-Tab": tab, "X-Tawny-Kind": kind, "X-Tawny-Turn": String(turn), ...(lines ? { Accept: "application/x-ndjson" } : {}) };
}

// send posts a body, or asks for a view where there is none, and returns the response, or throws a Trouble. One request
// of a kind runs at a time: a newer one stops the older, here and there.
async function send(path, body, kind, lines = false) {
  running.get(kind)?.abort();
  const stopper = new AbortController();
  running.set(kind, stopper);
  let response;
  try {
    response = await fetch(path, { method: body == null ? "GET" : "POST", body, headers: headers(kind, lines), signal: stopper.signal });
  } catch (e) {
    if (e.name === "AbortError") throw new Trouble("stopped", "", true);
    throw new Trouble("tawny does not answer. Is it still running?");
  }
  if (!response.ok) await refused(response);
  const now = response.headers.get("X-Tawny-Drawer");
  if (now && now !== drawer) document.getElementById("changed").hidden = false;
  return response;
}

async function refused(response) {
  let says = { error: "tawny answered " + response.status };
  try { says = await response.json(); } catch { /* not from a job */ }
  throw new Trouble(says.error, says.field, response.status === 409);
}

export function stop(kind) { running.get(kind)?.abort(); }

const at = (doc) => "/api/job/" + doc.job.replaceAll(" ", "/");

// file sends a file in, and returns the name that jobs know it by.
export async function file(body, kind) { return (await json("/api/file", body, kind)).file; }

// view asks for a file that is made, and returns it and its name.
export async function view(path) {
  const response = await send(path, null, "view");
  return { blob: await response.blob(), name: /filename="(.*)"/.exec(response.headers.get("Content-Disposition"))[1] };
}

// json posts something that is no job.
export async function json(path, body, kind = path) {
  return (await send(path, body, kind)).json();
}

// job posts a request and returns its result.
export async function job(doc, kind = doc.job) {
  return (await send(at(doc), JSON.stringify(doc), kind)).json();
}

// records are the book's of a kind, one line each; record is all of one.
export const records = async (kind, turn) => (await job({ job: "book list", kind }, turn)).records || [];
export const record = (kind, id, turn) => job({ job: "book show", kind, record: String(id) }, turn);

export async function picture(doc, kind = "picture") {
  const response = await send("/api/picture", JSON.stringify(doc), kind);
  return { blob: await response.blob(), grain: response.headers.get("X-Tawny-Grain"), glints: Number(response.headers.get("X-Tawny-Glints")) };
}

// stream reads lines of progress, then the result.
export async function stream(doc, kind, onProgress) {
  const response = await send(at(doc), JSON.stringify(doc), kind, true);
  const reader = response.body.getReader();
  const text = new TextDecoder();
  let rest = "";
  try {
    for (;;) {
      const { done, value } = await reader.read();
      if (done) break;
      rest += text.decode(value, { stream: true });
      const lines = rest.split("\n");
      rest = lines.pop();
      for (const l of lines) {
        if (!l) continue;
        const says = JSON.parse(l);
        if (says.error) throw new Trouble(says.error, says.field, says.error === "stopped");
        if (says.result) return says.result;
        onProgress(says.progress);
      }
    }
  } catch (e) {
    if (e.name === "AbortError") throw new Trouble("stopped", "", true);
    if (e instanceof Trouble) throw e;
  }
  throw new Trouble("tawny broke off in the middle; ask again.");
}

// latest runs one call at a time and, when asked meanwhile, once more with the
// newest request: a fast slider never builds a queue.
export function latest(run) {
  let busy = false, again = false;
  return async function ask() {
    if (busy) { again = true; return; }
    busy = true;
    try {
      do { again = false; await run(); } while (again);
    } finally { busy = false; }
  };
}
