// A colour from a photo: frames dragged onto known patches and onto the skin.

import * as address from "./address.js";
import * as ask from "./ask.js";
import { byId, element, tint, fixed, labText, capital, tell, button, option, failed, sentence, on } from "./words.js";

const kinds = [["grey-card", "grey card"], ["white-paper", "white paper"], ["grey-strip:5", "strip of 5 greys"], ["own", "a colour I know"]];
const most = 12;

let held = ""; // what tawny calls the photo
let marks = []; // { known, own, x, y, w, h, placed } in per cent; the skin's has known null
let result = null; // of the area, as the job "photo" has it
let url = "";

// What a photo may be taken as, by the file chosen for it.
const uses = { "photo-file": ["photo-skin", "photo-shade"], "smear-file": ["photo-smear"] };
let what = "skin"; // what is measured

for (const [id, buttons] of Object.entries(uses)) on(id, "change", () => open(byId(id), buttons));
on("add-known", "click", () => {
  if (marks.length >= most) return;
  marks.push({ known: "own", own: "lab:60,0,0", x: 70, y: 10 + 7 * marks.length, w: 10, h: 10 });
  draw();
  outOfDate();
});
on("photo-frame", "pointerdown", (e) => {
  const m = marks.find((m) => !m.placed), at = byId("photo-image").getBoundingClientRect();
  if (!m || e.target.closest(".mark")) return;
  e.preventDefault();
  nudge(m, 100 * (e.clientX - at.x) / at.width - m.w / 2 - m.x, 100 * (e.clientY - at.y) / at.height - m.h / 2 - m.y, 0, 0);
  m.box.focus();
});
on("photo-close", "click", () => byId("photo").close());
const take = (id, use) => on(id, "click", () => {
  byId("photo").close();
  use(result.reading);
});
take("photo-skin", (skin) => address.choose({ skin, part: [] }));
take("photo-shade", (target) => address.choose({ target, part: [] }));
take("photo-smear", (colour) => { byId("jar-colour").value = colour; });

async function open(file, buttons) {
  if (!file.files[0]) return;
  const says = byId("photo-says");
  says.hidden = false;
  says.textContent = "Sending the photo to tawny on your own machine…";
  what = file.id === "smear-file" ? "smear" : "skin";
  for (const id of Object.values(uses).flat()) byId(id).hidden = !buttons.includes(id);
  try {
    held = await ask.file(file.files[0], "photo");
    const p = await ask.job({ job: "photo", file: held });
    if (url) URL.revokeObjectURL(url);
    url = URL.createObjectURL(file.files[0]);
    byId("photo-image").src = url;
    says.textContent = `${p.width} × ${p.height} pixels, ${p.profile}. ${(p.notes || []).join(" ")}`;
    marks = [{ known: "grey-card", own: "lab:60,0,0", x: 8, y: 40, w: 12, h: 12 }, { known: null, x: 45, y: 42, w: 14, h: 14 }];
    draw();
    byId("photo").showModal();
    outOfDate();
  } catch (e) {
    if (!e.stale) (file.id === "smear-file" ? byId("jar-says") : says).replaceChildren(element("span", sentence(e.message), "fault"));
    says.scrollIntoView({ block: "nearest" });
    tell(e.message);
  }
  file.value = "";
}

// kindOf is the field of the job "photo" that a mark goes into.
const kindOf = (m) => m.known === null ? "area" : m.known.startsWith("grey-strip") ? "strip" : "patch";
const nameOfMark = (m) => m.known === null ? what : kinds.find(([k]) => k === m.known)[1];

// draw sets frames and their list anew.
function draw() {
  const frame = byId("photo-frame");
  for (const old of frame.querySelectorAll(".mark")) old.remove();
  byId("marks").replaceChildren();
  marks.forEach((m, i) => {
    m.box = box(m);
    frame.append(m.box);
    byId("marks").append(row(m, i));
    place(m);
  });
}

function place(m) {
  for (const [k, v] of [["left", m.x], ["top", m.y], ["width", m.w], ["height", m.h]]) m.box.style[k] = v + "%";
  m.box.ariaLabel = `${capital(nameOfMark(m))} frame: ${fixed(m.x, 0)} % across, ${fixed(m.y, 0)} % down, ${fixed(m.w, 0)} % wide, ${fixed(m.h, 0)} % high`;
}

function nudge(m, x, y, w, h) {
  m.placed = true;
  m.box.classList.remove("unplaced");
  m.w = Math.min(100, Math.max(1, m.w + w));
  m.h = Math.min(100, Math.max(1, m.h + h));
  m.x = Math.min(100 - m.w, Math.max(0, m.x + x));
  m.y = Math.min(100 - m.h, Math.max(0, m.y + y));
  place(m);
  soon();
}

function box(m) {
  const b = button("", null, "mark");
  b.setAttribute("aria-describedby", "mark-help");
  b.append(element("b", nameOfMark(m)), element("i"));
  b.classList.toggle("unplaced", !m.placed);
  b.addEventListener("keydown", (e) => {
    const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[e.key];
    if (!step) return;
    e.preventDefault();
    const [dx, dy] = step.map((v) => v * (e.ctrlKey ? 0.2 : 1));
    if (e.shiftKey) nudge(m, 0, 0, dx, dy); else nudge(m, dx, dy, 0, 0);
  });
  b.addEventListener("pointerdown", (e) => {
    e.preventDefault();
    b.focus();
    b.setPointerCapture(e.pointerId);
    const sizing = e.target.localName === "i", frame = byId("photo-frame").getBoundingClientRect();
    let at = [e.clientX, e.clientY];
    const drag = (f) => {
      const dx = 100 * (f.clientX - at[0]) / frame.width, dy = 100 * (f.clientY - at[1]) / frame.height;
      at = [f.clientX, f.clientY];
      if (sizing) nudge(m, 0, 0, dx, dy); else nudge(m, dx, dy, 0, 0);
    };
    b.addEventListener("pointermove", drag);
    b.addEventListener("lostpointercapture", () => b.removeEventListener("pointermove", drag), { once: true });
  });
  return b;
}

function row(m, i) {
  m.says = element("span", "", "hint");
  if (m.known === null) return element("li", "", "", element("span", `The ${what} to be measured`), m.says);
  const kind = element("select", "", { ariaLabel: `What known patch ${i + 1} is` }, ...kinds.map((k) => option(...k)));
  const own = element("input", "", { type: "text", value: m.own, hidden: m.known !== "own", ariaLabel: `Colour of known patch ${i + 1}, such as lab:60,0,0` });
  kind.value = m.known;
  kind.onchange = () => {
    m.known = kind.value;
    own.hidden = m.known !== "own";
    m.box.querySelector("b").textContent = nameOfMark(m);
    place(m);
    measure();
  };
  own.onchange = () => { m.own = own.value.trim(); measure(); };
  const li = element("li", "", "", kind, own, m.says);
  if (marks.filter((x) => x.known !== null).length > 1) {
    const away = button("Remove", () => { marks = marks.filter((x) => x !== m); draw(); measure(); byId("add-known").focus(); });
    away.ariaLabel = `Remove known patch ${i + 1}`;
    li.append(away);
  }
  return li;
}

// next says which frame is still to be put on its place.
function next() {
  const m = marks.find((m) => !m.placed);
  byId("photo-next").textContent = m ? `Now put the frame on the ${nameOfMark(m)}.` : "";
  return m;
}

// What was measured before a frame moved must not be taken for what is there.
function outOfDate() {
  result = null;
  for (const id of Object.values(uses).flat()) byId(id).disabled = true;
  if (next()) byId("photo-result").replaceChildren();
  for (const m of marks) lies(m, null);
}

// lies says at a frame and in its line whether it lies on a patch.
function lies(m, frame) {
  m.box.classList.toggle("astray", frame?.ok === false);
  m.says.textContent = frame ? capital(frame.says) + "." : m.placed ? "" : "Not placed yet.";
}

let timer = 0;
function soon() {
  outOfDate();
  clearTimeout(timer);
  timer = setTimeout(measure, 200);
}

const at = (m) => [m.x, m.y, m.w, m.h].map((v) => v.toFixed(2) + "%").join(",");

async function measure() {
  outOfDate();
  if (next()) return; // nothing is measured before every frame is on its place
  const of = (kind) => marks.filter((m) => kindOf(m) === kind), known = (m) => `${m.known === "own" ? m.own : m.known}@${at(m)}`;
  const place = byId("photo-result");
  try {
    result = (await ask.job({ job: "photo", file: held, patch: of("patch").map(known), strip: of("strip").map(known), area: of("area").map(at) })).areas[0];
    const says = [...result.marks];
    for (const m of [...of("patch"), ...of("strip"), ...of("area")]) {
      const its = says.splice(0, kindOf(m) === "strip" ? Number(m.known.split(":")[1]) : 1);
      lies(m, its.find((s) => !s.ok) || its[0]);
    }
    if (result.reading && result.marks.every((s) => s.ok) && what === "skin") await plausible();
    // Above the picture, which keeps still: what lies below may be out of sight.
    byId("photo-next").textContent = `${capital(result.verdict)}; may be off by ${fixed(result.se_de00)}. More below.`;
    place.replaceChildren(shown(result));
  } catch (e) {
    if (e.stale) return;
    failed(place, e);
  }
  const astray = !result?.reading || result.marks.some((s) => !s.ok);
  byId("photo-shade").disabled = byId("photo-smear").disabled = astray;
  byId("photo-skin").disabled = astray || Boolean(result.noSkin);
}

// plausible asks whether any skin has the colour: a frame on a cloth gives one too.
async function plausible() {
  try {
    const v = await ask.job({ job: "skin", skin: result.reading }, "plausible");
    if (v.extrapolated) result.far = `${capital((v.note || "that is outside the skins the model knows").split("\n")[0])}. Is the frame on the skin?`;
  } catch (e) {
    if (e.stale) throw e;
    result.noSkin = capital(e.message) + ". Is the frame on the skin?";
  }
}

function shown(r) {
  return element("div", "", "result", tint(r.hex), element("div", "", "", element("p", `${labText(r.lab)}.`, "says"),
    ...[r.noSkin, r.far].filter(Boolean).map((w) => element("p", w, "fault")), ...[...(r.why || []), ...(r.warnings || [])].map((w) => element("p", capital(w) + ".", "hint"))));
}
