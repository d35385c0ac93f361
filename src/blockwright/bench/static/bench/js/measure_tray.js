// What is not with the bench yet, and what it refused: how many wait, why, and what can be done with each. Nothing goes from here by itself.
import { askWho, handsChange } from "./door.js";
import { at, made } from "./measure_card.js";

const many = (count) => `${count} kept here, not sent yet`;
export const problemWords = (problem) => (problem?.problems?.length ? problem.problems.map((each) => [sentence(each.what), each.mend].filter(Boolean).join(" ")).join(" ") : problem?.detail || problem?.title || "The bench refused it.");
const sentence = (text) => text[0].toUpperCase() + text.slice(1);

/** The entry that another page asked this one to mend, by the address it led here with; nothing where none is. */
export function askedToMend(outbox) {
  const key = new URLSearchParams(location.search).get("mend");
  if (key) history.replaceState(null, "", location.pathname);
  return outbox.refused.find((entry) => entry.key === key);
}

/** Where a refused entry is mended: the page that it was entered at; blank for what belongs to none. */
function home({ kind, book, spot, page, words, key }) {
  const ring = words.ring && `/e/${book}/rings/${words.at?.replace(/^cylinder /, "")}/${words.ring.replaceAll(" ", "-")}/`;
  const at = kind === "reading taken" ? `/e/${book}/measure/${encodeURIComponent(spot || "")}/` : page || ring;
  return at ? `${at}?mend=${key}` : "";
}

/** `mend(entry)` brings a refused entry back into its field, for those that `mends` says are of this page; others lead to theirs. */
export function drawTray(outbox, mending, mend, mends) {
  const waiting = outbox.waiting.length;
  const header = document.querySelector("[data-pending]");
  for (const place of [at("held"), header]) {
    if (!place) continue;
    place.hidden = !waiting;
    place.textContent = waiting ? many(waiting) : "";
  }
  const refused = outbox.refused.filter((entry) => entry !== mending);
  const cards = refused.map((entry) => refusedCard(outbox, entry, mend, mends));
  if (outbox.signedOut && waiting) cards.unshift(signIn(waiting));
  else if (outbox.strangers.length) cards.unshift(strangers(outbox));
  else if (waiting && !outbox.reached) cards.unshift(made("p", { className: "away", textContent: "The bench is out of reach. Go on: every reading is kept on this tablet, and its verdict comes when the bench answers." }));
  const tray = at("tray");
  tray.hidden = !cards.length;
  tray.replaceChildren(...cards);
}

function refusedCard(outbox, entry, mend, mends) {
  const card = made("div", { className: "problems" }, made("b", { textContent: `Not taken: ${entry.label || entry.kind}${entry.value ? `, ${entry.value}` : ""}` }), made("p", { textContent: problemWords(entry.problem) }));
  const buttons = made("p", { className: "buttons" });
  const there = home(entry);
  const elsewhere = entry.book === outbox.book ? "Mend it" : "Mend it at its engine";
  if (mends(entry)) buttons.append(button("Mend it", () => mend(entry)));
  else if (there) buttons.append(made("a", { className: "button", href: there, textContent: elsewhere }));
  else if (entry.book === outbox.book) buttons.append(button("Send again", () => outbox.sendAgain(entry, entry.words)));
  buttons.append(button("Throw it away", () => outbox.throwAway(entry), "danger"));
  card.append(buttons);
  return card;
}

function signIn(waiting) {
  const link = made("a", { className: "button main", href: `/in/?next=${encodeURIComponent(location.pathname)}`, textContent: "Say who you are" });
  if (handsChange()) link.addEventListener("click", (event) => (event.preventDefault(), askWho()));
  return made("div", { className: "problems" }, made("b", { textContent: `${many(waiting)}: the bench does not know who you are any more.` }), made("p", { textContent: "Nothing is lost. Say who you are, and they are sent." }), made("p", { className: "buttons" }, link));
}

function strangers(outbox) {
  const held = outbox.strangers;
  const names = [...new Set(held.map((entry) => entry.by || "nobody named"))].join(", ");
  return made(
    "div",
    { className: "problems" },
    made("b", { textContent: `${held.length} taken by ${names} wait here.` }),
    made("p", { textContent: `They go when ${names} is at this tablet again, or now under your name.` }),
    made("p", { className: "buttons" }, button(`Send as ${outbox.hand}`, () => Promise.all(held.map((entry) => outbox.sendAs(entry, outbox.hand))))),
  );
}

function button(text, does, looks = "") {
  const made_ = made("button", { type: "button", className: looks, textContent: text });
  made_.addEventListener("click", does);
  return made_;
}
