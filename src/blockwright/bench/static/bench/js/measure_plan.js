// The plan of the job, with what lies in the outbox laid over it: what is read, what waits, where the hand goes next. Nothing here touches the page.
export const SITTING = ["state", "part_temp", "gauge_temp", "bore_temp", "gauge", "setting", "sitting"];
const TAKEN = "reading taken";
const WITHDRAWN = "reading withdrawn";
const STATED = "state set";

export class Plan {
  constructor(bare) {
    this.skipped = new Set();
    this.local = new Map(); // what was said of a station whose rows are all read, for repeats
    this.set(bare, []);
  }

  /** The plan as the bench told it last. */
  set(bare, entries) {
    this.bare = bare;
    this.lay(entries);
  }

  get number() {
    return this.bare.number;
  }

  /** Lay the outbox's entries of this book over the plan. */
  lay(entries) {
    this.stations = this.bare.stations.map((station) => ({ ...station, spots: station.spots.map((spot) => ({ ...spot, empty: [...spot.empty], readings: [...spot.readings] })) }));
    this.spots = [];
    for (const station of this.stations) {
      for (const spot of station.spots) {
        spot.station = station;
        spot.index = this.spots.length;
        this.spots.push(spot);
      }
    }
    this.byKey = new Map(this.spots.map((spot) => [spot.key, spot]));
    this.byRow = new Map(this.spots.flatMap((spot) => [...spot.empty, ...spot.readings.map((each) => each.row)].map((row) => [row, spot])));
    const open = entries.filter((entry) => entry.held === "waiting" || (entry.held === "kept" && entry.answer.number > this.number));
    for (const entry of open) LAID[entry.kind]?.(this, entry);
    for (const [key, words] of this.local) for (const spot of this.stations.find((each) => each.key === key)?.spots || []) Object.assign(spot, words);
    for (const spot of this.spots) {
      spot.counted = spot.readings.filter((each) => !each.why);
      spot.waits = spot.empty.length > 0 || spot.counted.length === 0;
      spot.own = spot.counted.some((each) => each.held === "waiting");
      spot.twice = spot.counted.some((each) => each.twice);
    }
    for (const station of this.stations) {
      station.left = station.spots.filter((spot) => spot.waits).length;
      station.own = station.spots.some((spot) => spot.own);
      station.twice = station.spots.some((spot) => spot.twice);
    }
  }

  spot(key) {
    return this.byKey.get(key) || this.byRow.get(key) || null;
  }

  /** Where the gauge goes after a spot: a planned repeat here, the next that waits, the skipped ones at the end; null where nothing waits. */
  after(spot) {
    if (spot.waits && spot.counted.length > 0 && !this.skipped.has(spot.key)) return spot;
    const round = [...this.spots.slice(spot.index + 1), ...this.spots.slice(0, spot.index)];
    const open = round.filter((each) => each.waits);
    const first = open.find((each) => !this.skipped.has(each.key));
    if (first) return first;
    this.skipped.clear();
    return this.spots.find((each) => each.waits && each !== spot) || (spot.waits ? spot : null);
  }

  /** Say something of further readings of a station, on this page only. */
  say(station, words) {
    this.local.set(station, { ...this.local.get(station), ...words });
  }

  beside(spot, step) {
    return this.spots[Math.min(this.spots.length - 1, Math.max(0, spot.index + step))];
  }

  gauge(id) {
    return this.bare.gauges.find((each) => each.id === id) || null;
  }
  setting(id) {
    return this.bare.settings.find((each) => each.id === id) || null;
  }

  /** What is to be typed, where the gauge was changed on this page. */
  asked(spot) {
    const bare = this.bare.stations.flatMap((each) => each.spots).find((each) => each.key === spot.key);
    if (bare && bare.gauge === spot.gauge && bare.setting === spot.setting) return spot.asked;
    const gauge = this.gauge(spot.gauge);
    const setting = this.setting(spot.setting);
    if (gauge?.compares && setting) return `deviation from ${setting.size} (setting ${setting.id})`;
    return gauge?.blades ? "the blade that goes, and the next that does not" : "size, as the gauge shows it";
  }

  /** The temperatures that bear on this spot and are not known yet. */
  lacking(spot) {
    const gauge = this.gauge(spot.gauge);
    const wanted = spot.temps.includes("bore_temp") || !spot.temps.length ? spot.temps : gauge?.compares ? ["part_temp"] : ["part_temp", "gauge_temp"];
    return spot.waits ? wanted.filter((name) => !spot[name]) : [];
  }

  /** The words of a reading of this spot: the planned row, and what was said of the sitting where the row does not say it yet. */
  readingWords(spot, value, unit = spot.unit) {
    const row = spot.empty[0] || "";
    const words = { row, value, unit, seen: this.number };
    for (const name of ["part", "feature", "at", "spot", "depth", ...SITTING]) if (spot[name]) words[name] = spot[name];
    return words;
  }

  /** The nearest station before this one (round to the end) at which something was said that is still to be said here. */
  lastSaid(station, name) {
    const at = this.stations.indexOf(station);
    const before = [...this.stations.slice(0, at).reverse(), ...this.stations.slice(at + 1).reverse()];
    const spot = before.flatMap((each) => [...each.spots].reverse()).find((each) => each[name] && each.counted.length);
    return spot ? spot[name] : "";
  }
}

const LAID = {
  [TAKEN](plan, entry) {
    const spot = plan.spot(entry.spot);
    if (!spot) return;
    const { value, unit, row } = entry.words;
    const reading = { row: entry.answer?.row || "", said: said(value, unit), by: entry.by, when: entry.at.slice(0, 10), why: "", note: "", twice: false, held: entry.held, key: entry.key };
    spot.empty = spot.empty.filter((each) => each !== row);
    spot.readings.push(reading);
    const known = reading.row && spot.readings.findIndex((each) => each.row === reading.row && each !== reading);
    if (known !== "" && known >= 0) spot.readings.pop();
    spot.empty = spot.empty.filter((each) => each !== reading.row);
  },
  [WITHDRAWN](plan, entry) {
    for (const spot of plan.spots) {
      for (const reading of spot.readings) {
        if ((entry.of && reading.key === entry.of) || (entry.words.row && reading.row === entry.words.row)) {
          spot.readings[spot.readings.indexOf(reading)] = { ...reading, why: entry.words.why, heldBack: entry.held === "waiting" };
        }
      }
    }
  },
  [STATED](plan, entry) {
    const rows = new Set(entry.words.rows);
    for (const spot of plan.spots)
      if (spot.empty.some((row) => rows.has(row)) || rows.has(spot.key)) for (const name of SITTING) if (entry.words[name]) spot[name] = entry.words[name];
  },
};

const UNIT_SIGNS = { um: "µm", uin: "µin", Nm: "N·m" };
export const unitSign = (unit) => UNIT_SIGNS[unit] || unit;

/** A value as it was typed, with the row's unit where it bears none. */
export const said = (value, unit) => (!unit || /([^\W\d]\S*|["'])$/u.test(value) ? value : `${value} ${unitSign(unit)}`);

/** A temperature typed into the entry (`21.5 °C`, `70 F`), or "". */
export function temperatureIn(text) {
  const found = /^\s*([+-]?\d+(?:[.,]\d+)?)\s*°?\s*([CF])\s*$/i.exec(text.replace("−", "-"));
  return found ? `${found[1].replace(",", ".")} °${found[2].toUpperCase()}` : "";
}

/** Whether numbers have a decimal comma where this tablet is at home. */
export const COMMA = (1.5).toLocaleString().includes(",");

/** What is sent of what was typed: a blade pair's shorthand written out, a true minus made plain, and a decimal comma a point where that is its only meaning. */
export function plainValue(text, blades, comma = COMMA) {
  const pointed = comma ? text.replace(/(?<![\d.,])(\d*),(\d+)(?![\d.,])/g, "$1.$2") : text;
  const plain = pointed.trim().replace(/[−–]/g, "-").replace(/\s+/g, " ");
  const pair = blades && /^(\S+?)\s*(?:\s|-|\/|to)\s*(\d\S*|[.,]\d\S*)((?: .*)?)$/i.exec(plain);
  return pair ? `${pair[1]} to ${pair[2]}${pair[3]}` : plain;
}
