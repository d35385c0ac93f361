// The entry of a gap: one field, or with blades two, what goes and what does not. Keypad and gauge type into whichever has the focus.
import { at } from "./measure_card.js";

const PAIR = /^\s*\S+\s*(\s|-|–|\/|to)\s*[\d.,]\S*/i;

/** For the keypad it is an input like any other. */
export class Entry {
  constructor(enter) {
    this.done = enter;
    this.blades = false;
    this.last = [];
    for (const input of [at("goes"), at("not"), at("gap")]) {
      input.inputMode = matchMedia("(pointer: coarse)").matches ? "none" : "text";
      input.addEventListener("focus", () => (this.at = input));
      input.addEventListener("input", () => input.removeAttribute("aria-invalid"));
    }
    at("own-keys").addEventListener("click", () => this.#systemKeys());
    this.at = at("gap");
  }

  get inputs() {
    return this.blades ? [at("goes"), at("not")] : [at("gap")];
  }

  suit(blades, unit) {
    this.blades = blades;
    at("blades").hidden = !blades;
    at("plain").hidden = blades;
    for (const each of document.querySelectorAll("[data-unit]")) each.textContent = unit;
    this.at = this.inputs.find((each) => each.value) || this.inputs[0];
  }

  focus(how = { preventScroll: true }) {
    if (!this.inputs.includes(this.at)) this.at = this.inputs[0];
    this.at.focus(how);
  }

  /** What was typed: with blades both, as `0.40 to 0.45`; nothing where one is lacking. */
  get text() {
    const [goes, not = ""] = this.inputs.map((each) => each.value.trim());
    if (!this.blades || PAIR.test(goes)) return goes;
    return goes && not ? `${goes} to ${not}` : "";
  }

  /** Enter: on to the other blade, or done. */
  enter() {
    const [goes, not] = this.inputs;
    if (this.blades && this.at === goes && goes.value.trim() && !not.value.trim() && !PAIR.test(goes.value)) return not.focus({ preventScroll: true });
    return this.done();
  }

  kept() {
    this.last = this.inputs.map((each) => each.value);
    for (const each of this.inputs) each.value = "";
    this.at = this.inputs[0];
  }

  /** What was sent before, in the fields again. */
  put(gap) {
    const [goes, ...not] = this.blades ? gap.split(" to ") : [gap];
    this.inputs.forEach((each, index) => (each.value = [goes, not.join(" to ")][index]));
  }

  /** What was typed last, again. */
  again() {
    this.inputs.forEach((each, index) => (each.value = this.last[index] || ""));
  }

  /** What a gauge types while the focus is elsewhere goes into the entry all the same. */
  stray(event) {
    if (event.ctrlKey || event.metaKey || event.altKey || !/^[\d.,]$/.test(event.key)) return;
    if (!document.activeElement?.matches("input,textarea,select")) this.focus();
  }

  get value() {
    return this.at.value;
  }
  set value(text) {
    this.at.value = text;
  }
  get selectionStart() {
    return this.at.selectionStart;
  }
  get selectionEnd() {
    return this.at.selectionEnd;
  }
  setRangeText(text, ...rest) {
    if (text === " to " && this.blades) return this.inputs[1].focus({ preventScroll: true });
    this.at.removeAttribute("aria-invalid");
    return this.at.setRangeText(text, ...rest);
  }

  #systemKeys() {
    const on = this.inputs[0].inputMode === "none";
    for (const each of [at("goes"), at("not"), at("gap")]) each.inputMode = on ? "text" : "none";
    at("own-keys").setAttribute("aria-pressed", String(on));
    at("own-keys").textContent = on ? "Use only the keys here" : "Use the system's keyboard";
    this.focus();
  }
}
