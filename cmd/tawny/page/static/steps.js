// The steps of the work, one at a time, each by its place in the address.

const links = [...document.querySelectorAll(".steps a")];
const names = links.map((a) => a.hash.slice(1));
const watchers = [];

export const current = () => names.includes(location.hash.slice(1)) ? location.hash.slice(1) : names[0];
export const watch = (f) => watchers.push(f);

export function go(name) { location.hash = "#" + name; }

export function show() {
  const now = current();
  document.body.dataset.step = now;
  links.forEach((a, i) => {
    if (names[i] === now) a.setAttribute("aria-current", "step"); else a.removeAttribute("aria-current");
    document.getElementById("step-" + names[i]).hidden = names[i] !== now;
  });
  for (const f of watchers) f(now);
}

addEventListener("hashchange", () => {
  if (!names.includes(location.hash.slice(1))) return; // the skip link
  show();
  const head = document.querySelector(`#step-${current()} h2`);
  if (innerHeight < 400) head.scrollIntoView({ behavior: "instant" }); else scrollTo({ top: 0, behavior: "instant" }); // in a low window straight to the work
  head.tabIndex = -1;
  head.focus({ preventScroll: true });
});
