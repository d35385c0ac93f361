// The keypad: digits, the sign, and what a hand at the gauge wants next. It types into the entry and never takes the focus from it.
import { COMMA } from "./measure_plan.js";

const MARK = COMMA ? "," : ".";
const ICON = {
  delete: '<svg viewBox="0 0 24 24" width="26" height="26" aria-hidden="true"><path d="M8 5h13v14H8l-6-7zM11 9l6 6M17 9l-6 6"/></svg>',
  undo: '<svg viewBox="0 0 24 24" width="26" height="26" aria-hidden="true"><path d="M8 4L3 9l5 5M3 9h11a6 6 0 0 1 0 12H8"/></svg>',
  again: '<svg viewBox="0 0 24 24" width="26" height="26" aria-hidden="true"><path d="M4 7h13l-4-4M20 17H7l4 4"/></svg>',
};
const KEYS = [
  ["7", "7"], ["8", "8"], ["9", "9"], ["sign", "±", "plus or minus", "wide"],
  ["4", "4"], ["5", "5"], ["6", "6"], ["delete", ICON.delete, "delete"], ["undo", `${ICON.undo}<small>undo</small>`, "undo: withdraw the last reading"],
  ["1", "1"], ["2", "2"], ["3", "3"], ["again", `${ICON.again}<small>again</small>`, "the last value again"], ["degrees", "°C", "this is a temperature"],
  ["0", "0"], ["mark", MARK, "decimal mark"], ["to", "to", "to: the next blade, that does not go"], ["enter", "Enter", "Enter: keep the reading", "wide main"],
];

export function keypad(place, input, does) {
  for (const [name, face, spoken, looks = ""] of KEYS) {
    const key = document.createElement("button");
    key.type = "button";
    key.dataset.key = name;
    key.className = `pad-key ${looks} ${/^\d$/.test(name) ? "digit" : "does"}`;
    key.innerHTML = face;
    if (spoken) key.setAttribute("aria-label", spoken);
    place.append(key);
  }
  place.addEventListener("pointerdown", (event) => event.target.closest("button") && event.preventDefault()); // the entry keeps the focus
  place.addEventListener("mousedown", (event) => event.target.closest("button") && event.preventDefault());
  place.addEventListener("click", (event) => {
    const key = event.target.closest("[data-key]");
    if (!key) return;
    const name = key.dataset.key;
    if (name === "enter") does.enter();
    else if (name === "undo") does.undo();
    else if (name === "again") does.again();
    else if (name === "degrees") type(input, " °C");
    else if (name === "sign") input.value = turned(input.value);
    else if (name === "delete") wipe(input);
    else if (name === "mark") type(input, MARK);
    else if (name === "to") type(input, input.value.includes(" to ") ? "" : " to ");
    else type(input, name);
    if (event.detail) input.focus({ preventScroll: true });
    does.typed?.();
  });
}

/** Which of the keys that depend on the gauge are there. */
export function suit(place, { blades, signed, lacking }) {
  place.querySelector("[data-key=to]").disabled = !blades;
  place.querySelector("[data-key=sign]").disabled = !signed;
  place.querySelector("[data-key=degrees]").classList.toggle("called", lacking);
}

function type(input, text) {
  const { value, selectionStart: from, selectionEnd: to } = input;
  input.setRangeText(text, from ?? value.length, to ?? value.length, "end");
}

function wipe(input) {
  const { selectionStart: from, selectionEnd: to, value } = input;
  if (from !== to) input.setRangeText("", from, to, "end");
  else if (from > 0) {
    const long = value.slice(0, from).endsWith(" to ") ? 4 : value.slice(0, from).endsWith(" °C") ? 3 : 1;
    input.setRangeText("", from - long, from, "end");
  }
}

/** The other sign: nothing -> minus -> plus -> minus. */
export function turned(text) {
  const bare = text.replace(/^\s*[+\-−]/, "");
  return /^\s*[-−]/.test(text) ? `+${bare}` : `-${bare}`;
}
