// What is not with the bench yet, and what it refused: how many wait, why, and what can be done with each. Nothing goes from here by itself.
import { at, made } from "./measure_card.js";

const many = (count) => `${count} kept here, not sent yet`;
export const problemWords = (problem) => (problem?.problems?.length ? problem.problems.map((each) => [sentence(each.what), each.mend].filter(Boolean).join(" ")).join(" ") : problem?.detail || problem?.title || "The bench refused it.");
const sentence = (text) => text[0].toUpperCase() + text.slice(1);

/** `mend(entry)` brings a refused entry back to the gauge. */
export function drawTray(outbox, mending, mend) {
  const waiting = outbox.waiting.length;
  const header = document.querySelector("[data-pending]");
  for (const place of [at("held"), header]) {
    if (!place) continue;
    place.hidden = !waiting;
    place.textContent = waiting ? many(waiting) : "";
  }
  const refused = outbox.refused.filter((entry) => entry !== mending);
  const cards = refused.map((entry) => refusedCard(outbox, entry, mend));
  if (outbox.signedOut && waiting) cards.unshift(signIn(waiting));
  else if (outbox.strangers.length) cards.unshift(strangers(outbox));
  else if (waiting && !outbox.reached) cards.unshift(made("p", { className: "away", textContent: "The bench is out of reach. Go on: every reading is kept on this tablet, and its verdict comes when the bench answers." }));
  const tray = at("tray");
  tray.hidden = !cards.length;
  tray.replaceChildren(...cards);
}

function refusedCard(outbox, entry, mend) {
  const card = made("div", { className: "problems" }, made("b", { textContent: `Not taken: ${entry.label || entry.kind}${entry.value ? `, ${entry.value}` : ""}` }), made("p", { textContent: problemWords(entry.problem) }));
  const buttons = made("p", { className: "buttons" });
  if (entry.kind === "reading taken") buttons.append(button("Mend it", () => mend(entry)));
  else buttons.append(button("Send again", () => outbox.sendAgain(entry, entry.words)));
  if (entry.book !== outbox.book) buttons.replaceChildren(made("a", { className: "button", href: `/e/${entry.book}/measure/${encodeURIComponent(entry.spot || "")}/`, textContent: "At another engine" }));
  buttons.append(button("Throw it away", () => outbox.throwAway(entry), "danger"));
  card.append(buttons);
  return card;
}

function signIn(waiting) {
  const link = made("a", { className: "button main", href: `/in/?next=${encodeURIComponent(location.pathname)}`, textContent: "Say who you are" });
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
