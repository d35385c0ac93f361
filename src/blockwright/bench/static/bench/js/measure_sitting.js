// How the parts of a station stand, how warm they are, and what they are measured with: said once for all its rows that are still to be read.
import { at, made } from "./measure_card.js";
import { SITTING } from "./measure_plan.js";

const LABEL = { state: "State", part_temp: "Temperature of the part", gauge_temp: "Temperature of the gauge", bore_temp: "Temperature of the bore", gauge: "Gauge", setting: "Setting", sitting: "Sitting" };
const HINT = { state: "As: plate on; caps torqued", part_temp: "As: 21.5 °C", gauge_temp: "As: 21 °C", bore_temp: "As: 21 °C", sitting: "Rows of one sitting share state and temperatures" };

/** The form. `say(station, words)` puts what was said into the outbox; `close()` gives the focus back to the entry. */
export class Sitting {
  constructor(say, close) {
    this.form = at("sitting");
    this.opener = at("sitting-open");
    this.say = say;
    this.close = close;
    this.opener.addEventListener("click", () => (this.form.hidden ? this.open() : this.shut()));
    this.form.addEventListener("submit", (event) => this.#submit(event));
    this.form.addEventListener("keydown", (event) => event.key === "Escape" && this.shut());
  }

  draw(plan, spot) {
    const moved = this.spot?.station.key !== spot.station.key;
    this.plan = plan;
    this.spot = spot;
    if (moved && !this.form.hidden) this.shut(false);
  }

  open() {
    this.form.replaceChildren(...this.#fields());
    this.form.hidden = false;
    this.opener.setAttribute("aria-expanded", "true");
    this.form.querySelector("input,select").focus();
  }

  shut(back = true) {
    this.form.hidden = true;
    this.opener.setAttribute("aria-expanded", "false");
    if (back) this.close();
  }

  #names() {
    const wanted = ["state", ...this.spot.temps];
    if (this.plan.lacking(this.spot).includes("gauge_temp") && !wanted.includes("gauge_temp")) wanted.push("gauge_temp");
    return [...new Set([...wanted, "gauge", "setting", "sitting"])];
  }

  #fields() {
    const { station } = this.spot;
    const rows = station.spots.flatMap((each) => each.empty).length;
    const head = made("h2", { textContent: `For ${station.name}` });
    const fields = this.#names().map((name) => this.#field(name));
    const last = this.#last();
    const buttons = made("p", { className: "buttons" }, made("button", { className: "main", textContent: rows ? `Set for the ${rows} still to be read` : "Set for further readings" }));
    if (Object.keys(last).length) {
      const button = made("button", { type: "button", textContent: `As last station: ${Object.values(last).join(", ")}` });
      button.addEventListener("click", () => Object.entries(last).forEach(([name, value]) => (this.form.elements[name].value = value)));
      buttons.append(button);
    }
    const shut = made("button", { type: "button", className: "quiet", textContent: "Leave as it is" });
    shut.addEventListener("click", () => this.shut());
    buttons.append(shut);
    return [head, made("div", { className: "fields" }, ...fields), made("p", { className: "fault", hidden: true }), buttons];
  }

  #field(name) {
    const id = `sitting-${name}`;
    const input = name === "gauge" ? this.#gauges() : name === "setting" ? this.#settings(this.spot.gauge) : made("input", { type: "text", autocomplete: "off" });
    Object.assign(input, { id, name, value: this.spot[name] });
    if (name === "gauge") input.addEventListener("change", () => this.form.elements.setting.replaceChildren(...this.#settings(input.value).children));
    const hint = HINT[name] ? [made("span", { className: "hint", id: `${id}-hint`, textContent: HINT[name] })] : [];
    if (hint.length) input.setAttribute("aria-describedby", `${id}-hint`);
    return made("div", { className: "field" }, made("label", { htmlFor: id, textContent: LABEL[name] }), input, ...hint);
  }

  #gauges() {
    const fit = this.plan.bare.gauges.filter((each) => each.kind === this.spot.station.kind);
    return made("select", {}, ...fit.map((each) => new Option(each.said, each.id)));
  }

  #settings(gauge) {
    const own = this.plan.bare.settings.filter((each) => each.gauge === gauge);
    return made("select", {}, new Option("none", ""), ...own.map((each) => new Option(`${each.id}: ${each.size}`, each.id)));
  }

  #last() {
    const names = this.spot.temps.filter((name) => name !== "gauge_temp" || this.#names().includes(name));
    return Object.fromEntries(names.map((name) => [name, this.plan.lastSaid(this.spot.station, name)]).filter(([name, value]) => value && value !== this.spot[name]));
  }

  #submit(event) {
    event.preventDefault();
    const said = {};
    for (const name of SITTING) {
      const value = this.form.elements[name]?.value.trim();
      if (value && value !== this.spot[name]) said[name] = name.endsWith("_temp") && /^[+-]?\d+([.,]\d+)?$/.test(value) ? `${value} °C` : value;
    }
    if (Object.keys(said).length) this.say(this.spot.station, said);
    this.shut();
  }
}
