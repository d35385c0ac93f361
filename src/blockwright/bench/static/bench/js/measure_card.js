// What is known of the spot in hand: its words, its sketch, the gauge and its sense, how it stands and how warm, and what was read there before.
import { unitSign } from "./measure_plan.js";

const at = (id) => document.getElementById(id);
const made = (name, said = {}, ...children) => {
  const element = Object.assign(document.createElement(name), said);
  element.append(...children);
  return element;
};
export { at, made };

const TEMPERATURES = { part_temp: "Part", gauge_temp: "Gauge", bore_temp: "Bore" };

export class Card {
  constructor() {
    this.sketches = {};
    this.sketched = "";
  }

  draw(plan, spot) {
    const gauge = plan.gauge(spot.gauge);
    at("where").textContent = spot.words;
    at("value-label").textContent = `${gauge ? gauge.id : "No gauge yet"}: ${plan.asked(spot)}`;
    at("unit").textContent = unitSign(spot.unit);
    at("how").textContent = spot.station.how[0].toUpperCase() + spot.station.how.slice(1) + ".";
    this.#sketch(spot);
    at("facts").replaceChildren(...facts(plan, spot, gauge));
    at("history").replaceChildren(...history(spot));
  }

  know(sketches, spot) {
    this.sketches = sketches;
    this.sketched = "";
    this.#sketch(spot);
  }

  #sketch(spot) {
    if (this.sketched === spot.sketch || !this.sketches[spot.sketch]) return;
    this.sketched = spot.sketch;
    at("sketch").innerHTML = this.sketches[spot.sketch]; // drawn by the bench, what was typed in it escaped there
  }
}

function facts(plan, spot, gauge) {
  const lines = [];
  const fact = (name, ...said) => lines.push(made("dt", { textContent: name }), made("dd", {}, ...said));
  if (gauge) {
    fact("Gauge", gauge.said, ...(gauge.backwards ? [made("strong", { className: "sense", textContent: "Its needle runs backwards: it falls as the size grows. Type what it shows." })] : []));
  } else fact("Gauge", "none said yet");
  const setting = plan.setting(spot.setting);
  if (setting) fact("Set on", `${setting.size} (setting ${setting.id})`);
  fact("State", spot.state || "not said");
  const lacking = plan.lacking(spot);
  const wanted = Object.keys(TEMPERATURES).filter((name) => spot[name] || lacking.includes(name));
  if (wanted.length) fact("How warm", wanted.map((name) => `${TEMPERATURES[name].toLowerCase()} ${spot[name] || "not said"}`).join(", "));
  if (spot.sitting) fact("Sitting", spot.sitting);
  if (spot.depth || spot.wants_depth) fact("Depth", spot.depth || "not said");
  return lines;
}

function history(spot) {
  if (!spot.readings.length) return [];
  const rows = spot.readings.map((each) => {
    const value = made(each.why ? "s" : "b", { className: "num", textContent: each.said });
    const said = [each.by && `taken by ${each.by}`, each.when, each.held === "waiting" ? "kept here, not sent yet" : ""].filter(Boolean).join(", ");
    const why = each.why ? [made("span", { className: "why", textContent: `withdrawn: ${each.why}` })] : [];
    const twice = each.twice ? [made("strong", { className: "twice", textContent: "Entered twice at once: look which of them is right, and withdraw the other." })] : [];
    return made("li", {}, value, made("span", { className: "soft small", textContent: said }), ...why, ...twice);
  });
  return [made("h2", { textContent: "Read here before" }), made("ul", { className: "before" }, ...rows)];
}
