// Looks every four seconds whether something happened to the engine. A part of the page that says `data-news="N"` is fetched again:
// at once where nobody is at it, else when the button in the note is pressed, so that nothing moves under the finger.
import { book } from "./door.js";
import { note, still } from "./note.js";

const EVERY_MS = 4000;
const REST_MS = 2500;
let touchedAt = 0;
for (const kind of ["pointerdown", "pointermove", "keydown", "scroll", "touchstart"])
  addEventListener(kind, () => (touchedAt = Date.now()), { passive: true, capture: true });

const part = () => document.querySelector("[data-news]");
const atRest = () => {
  const here = part();
  return Date.now() - touchedAt > REST_MS && scrollY < 60 && !here.contains(document.activeElement) && !here.querySelector("details[data-touched]");
};

async function again() {
  const here = part();
  const page = await fetch(location.href, { credentials: "same-origin", headers: { Accept: "text/html" } });
  if (!page.ok) return;
  const fresh = new DOMParser().parseFromString(await page.text(), "text/html").querySelector("[data-news]");
  if (!fresh) return;
  const open = new Set(Array.from(here.querySelectorAll("details[open][id]"), (each) => each.id));
  for (const each of fresh.querySelectorAll("details[id]")) if (open.has(each.id)) each.open = true;
  const y = scrollY;
  here.replaceWith(document.adoptNode(fresh));
  scrollTo(0, y);
  window.htmx?.process(fresh);
  still();
}

async function look() {
  if (document.hidden || !part()) return;
  const since = Number(part().dataset.news);
  const answer = await fetch(`/e/${book()}/news/?since=${since}`, { credentials: "same-origin", headers: { Accept: "application/json" } });
  if (!answer.ok) return;
  const { number, new: count } = await answer.json();
  if (number === since) return;
  if (atRest()) await again();
  else note(count === 1 ? "One new entry" : count ? `${count} new entries` : "This engine has changed", "Show", again);
}

export function watch() {
  if (!part() || !book()) return;
  setInterval(() => look().catch(() => {}), EVERY_MS);
}
