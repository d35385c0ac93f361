// How the parts of a station stand, how warm they are, and what they are measured with: said once for all its rows that are still to be read.
import { at, made } from "./measure_card.js";
import { depthWords } from "./measure_depth.js";
import { SITTING } from "./measure_plan.js";

const LABEL = { state: "State", part_temp: "Temperature of the part", gauge_temp: "Temperature of the gauge", bore_temp: "Temperature of the bore", depth: "Depth of the ring in its bore", gauge: "Gauge", setting: "Setting", sitting: "Sitting" };
const HINT = { state: "As: plate on; caps torqued", part_temp: "As: 21.5 °C", gauge_temp: "As: 21 °C", bore_temp: "As: 21 °C", depth: "As: 25 mm; it goes with each reading", sitting: "Rows of one sitting share state and temperatures" };

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
    if (this.spot.wants_depth) wanted.push("depth");
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
    return [head, made("div", { className: "fields" }, ...fields), made("p", { className: "fault", id: "sitting-fault", role: "alert", hidden: true }), buttons];
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
    const names = ["part_temp", "gauge_temp", "bore_temp", "depth"].filter((name) => this.#names().includes(name));
    return Object.fromEntries(names.map((name) => [name, this.plan.lastSaid(this.spot.station, name)]).filter(([name, value]) => value && value !== this.spot[name]));
  }

  #submit(event) {
    event.preventDefault();
    const said = {};
    for (const name of [...SITTING, "depth"]) {
      const value = inWords(name, this.form.elements[name]?.value.trim(), this.spot[name]);
      if (value === null) return this.#fault(name, "Type the depth with its unit: 25 mm.");
      if (value && value !== this.spot[name]) said[name] = value;
    }
    if (Object.keys(said).length) this.say(this.spot.station, said);
    this.shut();
    return undefined;
  }

  #fault(name, words) {
    const fault = this.form.querySelector(".fault");
    const field = this.form.elements[name];
    Object.assign(fault, { textContent: words, hidden: false });
    field.parentElement.append(fault);
    field.setAttribute("aria-invalid", "true");
    field.setAttribute("aria-errormessage", fault.id);
    field.focus();
    field.scrollIntoView({ block: "center" }); // the fault stands under it
  }
}

/** What was typed into a field; a bare number of degrees is taken for °C, a bare depth for the unit that stood there. `null` for what cannot be used. */
function inWords(name, typed, before) {
  if (name === "depth") return typed && depthWords(typed, before);
  return name.endsWith("_temp") && /^[+-]?\d+([.,]\d+)?$/.test(typed || "") ? `${typed} °C` : typed;
}
