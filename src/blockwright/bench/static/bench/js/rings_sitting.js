// What holds for a sitting at the ring bench: gauge, temperatures, depth. Asked once on a tablet and a day, offered again with every reading.
import { at } from "./measure_card.js";

export const CELLS = ["ring_temp", "bore_temp", "depth"];
const BARE = /^[+-]?\d+([.,]\d+)?$/;
const SAID = { ring_temp: (text) => `ring ${text || "not read"}`, bore_temp: (text) => `bore ${text || "not read"}`, depth: (text) => (text ? `${text} deep` : "depth not read") };
const today = () => new Date().toDateString();

export class Sitting {
  constructor(book, gauges, depth = "") {
    this.key = `bw-rings-${book}`;
    this.gauges = gauges;
    this.cells = { ring_temp: "", bore_temp: "", depth, gauge: gauges[0]?.id || "" };
    this.known = false;
    try {
      const kept = JSON.parse(localStorage.getItem(this.key) || "null");
      if (kept?.day === today()) {
        this.known = true;
        Object.assign(this.cells, kept.cells);
      }
    } catch {
      /* asked again */
    }
    at("gauge").replaceChildren(...gauges.map((each) => new Option(each.said, each.id)));
    if (!gauges.some((each) => each.id === this.cells.gauge)) this.cells.gauge = gauges[0]?.id || "";
    this.#fill();
  }

  get blades() {
    return !!this.gauges.find((each) => each.id === this.cells.gauge)?.blades;
  }

  get said() {
    return `Still so: ${CELLS.map((name) => SAID[name](this.cells[name])).join(", ")}; ${this.cells.gauge || "no gauge"}.`;
  }

  /** The words of an act that say how a gap is read. */
  get words() {
    return Object.fromEntries(Object.entries(this.cells).filter(([, text]) => text));
  }

  /** What an entry that comes back was sent with. */
  recall(words) {
    for (const name of Object.keys(this.cells)) if (words[name]) this.cells[name] = words[name];
    this.#fill();
  }

  #fill() {
    for (const [name, text] of Object.entries(this.cells)) at(name).value = text;
  }

  /** Keep what stands in the fields; a bare number of degrees is taken for °C. */
  keep() {
    for (const name of [...CELLS, "gauge"]) {
      const text = at(name).value.trim();
      this.cells[name] = name.endsWith("_temp") && BARE.test(text) ? `${text} °C` : text;
    }
    this.known = true;
    this.#fill();
    try {
      localStorage.setItem(this.key, JSON.stringify({ day: today(), cells: this.cells }));
    } catch {
      /* for this page only */
    }
  }
}
