// Withdrawing a reading: which one, and why. A reason is needed; the reading stays on record.
import { at, made } from "./measure_card.js";

const REASONS = ["mistyped", "gauge slipped or not square", "dirt on the face", "wrong spot", "gauge was not set", "part still warm"];

/** `withdraw(reading, spot, why)` puts it into the outbox. */
export class Withdraw {
  constructor(withdraw, close) {
    this.form = at("reason");
    this.opener = at("withdraw");
    this.withdraw = withdraw;
    this.close = close;
    this.form.addEventListener("submit", (event) => {
      event.preventDefault();
      const own = this.form.elements.why.value.trim();
      if (own) this.#done(own);
      else this.form.querySelector(".fault").hidden = false;
    });
    this.form.addEventListener("keydown", (event) => event.key === "Escape" && this.shut());
  }

  /** Ask why one of these readings is withdrawn; the last of them unless another is chosen. */
  open(spot, readings) {
    this.spot = spot;
    this.readings = readings;
    const head = made("h2", { textContent: `Withdraw a reading: ${spot.words}` });
    const which = made("select", { id: "which", name: "which" }, ...readings.map((each, index) => new Option(`${each.said}${each.by ? `, taken by ${each.by}` : ""}`, index)));
    which.value = String(readings.length - 1);
    const reasons = REASONS.map((reason) => {
      const button = made("button", { type: "button", textContent: reason });
      button.addEventListener("click", () => this.#done(reason));
      return button;
    });
    const own = made("div", { className: "field" }, made("label", { htmlFor: "why", textContent: "Or in your own words" }), made("input", { id: "why", name: "why", type: "text", autocomplete: "off", maxLength: 200 }));
    const fault = made("p", { className: "fault", hidden: true, textContent: "Say why: a reading is never withdrawn without a reason." });
    const leave = made("button", { type: "button", className: "quiet", textContent: "Let it stand" });
    leave.addEventListener("click", () => this.shut());
    this.form.replaceChildren(head, made("div", { className: "field" }, made("label", { htmlFor: "which", textContent: "Which" }), which), made("p", { className: "buttons reasons" }, ...reasons), own, fault, made("p", { className: "buttons" }, made("button", { className: "main", textContent: "Withdraw" }), leave));
    this.form.hidden = false;
    this.opener.setAttribute("aria-expanded", "true");
    this.form.scrollIntoView({ block: "nearest" });
    this.form.querySelector(".reasons button").focus({ preventScroll: true });
  }

  shut() {
    this.form.hidden = true;
    this.opener.setAttribute("aria-expanded", "false");
    this.close();
  }

  #done(why) {
    this.withdraw(this.readings[Number(this.form.elements.which.value)], this.spot, why);
    this.shut();
  }
}
