// The measuring page: the entry under the hand, and everything else round it. The entry moves on at once; what the bench says of a reading follows.
import { book } from "./door.js";
import { keypad, suit } from "./keypad.js";
import { Card, at, made } from "./measure_card.js";
import { depthsSaid, keepDepth } from "./measure_depth.js";
import { Plan, plainValue, said, temperatureIn } from "./measure_plan.js";
import { Sitting } from "./measure_sitting.js";
import { askedToMend, drawTray, problemWords } from "./measure_tray.js";
import { Withdraw } from "./measure_withdraw.js";
import { Measuring } from "./measure_news.js";
import { keepOnTablet } from "./offline.js";
import { Outbox } from "./outbox.js";
import { Rule } from "./rule.js";
import { Slip } from "./slip.js";
import { keepLit } from "./wake.js";

const TEMPERATURE = { part_temp: "the part", gauge_temp: "the gauge", bore_temp: "the bore" };
const input = at("value");

class Page {
  constructor(known) {
    this.slug = book();
    this.plan = new Plan(known.plan);
    for (const [station, depth] of depthsSaid(this.slug)) this.plan.say(station, { depth });
    this.plan.lay([]);
    this.outbox = new Outbox(this.slug);
    this.outbox.hand = known.hand;
    this.spot = this.plan.spot(spotAsked(this.slug)) || this.plan.spot(known.at) || this.plan.spots[0];
    this.last = null; // the last entry of this page, and the spot that was gone to after it
    this.mending = null; // a refused entry whose text is in the entry again
    this.lastValue = "";
    this.card = new Card();
    this.slip = new Slip();
    this.rule = new Rule((spot, byHand) => this.go(spot, byHand));
    this.sitting = new Sitting((station, words) => this.state(station, words), () => this.toEntry());
    this.withdrawing = new Withdraw((reading, spot, why) => this.withdraw(reading, spot, why), () => this.toEntry());
    this.news = new Measuring(this);
    this.may = known.may;
    this.#listen();
    this.draw();
    history.scrollRestoration = "manual";
    if (matchMedia("(max-width: 699px)").matches) scrollTo(0, document.querySelector(".work-rule").offsetTop);
    this.toEntry();
  }

  async start() {
    this.outbox.refresh = () => this.news.fetchPlan();
    this.outbox.mend = (entry, problem) => this.#rowsLeft(entry, problem);
    await this.news.start();
    await this.outbox.start();
    this.loaded = true;
    this.#showLast();
    if (!spotAsked(this.slug) && !this.spot.waits && !input.value) this.go(this.plan.after(this.spot) || this.spot);
    const asked = askedToMend(this.outbox);
    if (asked && this.may) this.mend(asked);
    if (this.early) this.enter();
    keepLit(at("lit"));
    keepOnTablet((words) => {
      at("offline-said").hidden = false;
      at("offline-said").textContent = words;
    }, [`/e/${this.slug}/measure/`, `/e/${this.slug}/measure-sketches/`]);
    document.documentElement.dataset.ready = "yes";
  }

  #listen() {
    at("entry").addEventListener("submit", (event) => {
      event.preventDefault();
      this.enter();
    });
    input.addEventListener("input", () => this.typed());
    input.addEventListener("keydown", (event) => this.#key(event));
    keypad(at("keypad"), input, { enter: () => this.enter(), undo: () => this.undo(), again: () => this.again(), typed: () => this.typed() });
    at("back").addEventListener("click", () => this.go(this.plan.beside(this.spot, -1), true));
    at("skip").addEventListener("click", () => this.skip());
    at("repeat").addEventListener("click", () => this.repeat());
    at("withdraw").addEventListener("click", () => this.askWhy(this.spot));
    at("own-keys").addEventListener("click", () => this.#systemKeys(input.inputMode === "none"));
    addEventListener("keydown", (event) => this.#stray(event), true);
    addEventListener("popstate", () => this.go(this.plan.spot(spotAsked(this.slug)) || this.spot, false, false));
    this.outbox.addEventListener("changed", () => this.lay());
    this.outbox.addEventListener("kept", (event) => this.#kept(event.detail));
    this.outbox.addEventListener("refused", (event) => this.#refused(event.detail));
    this.outbox.addEventListener("reached", () => this.#stillWaits());
    document.addEventListener("hands-changed", () => this.news.fetchPlan().catch(() => {}));
    this.#systemKeys(!matchMedia("(pointer: coarse)").matches);
  }

  /** Whoever may only look finds the entry switched off, and why; hands may change while the page is open. */
  allow(may) {
    if (this.may === may) return;
    this.may = may;
    at("entry").classList.toggle("looking", !may);
    at("look-only").hidden = may;
    input.disabled = !may;
    for (const each of [at("skip"), at("repeat"), at("withdraw"), at("sitting-open").parentElement]) each.hidden = !may;
    if (!may && !at("sitting").hidden) this.sitting.shut();
    if (!may && !at("reason").hidden) this.withdrawing.shut();
    this.toEntry();
  }

  /** The plan with the outbox over it, and everything drawn from it; the entry is not touched. */
  lay() {
    this.plan.lay(this.outbox.entries.filter((entry) => entry.book === this.slug));
    this.spot = this.plan.spot(this.spot.key) || this.plan.spots[0];
    this.draw();
  }

  draw() {
    const { plan, spot } = this;
    this.rule.draw(plan, spot);
    this.card.draw(plan, spot);
    this.sitting.draw(plan, spot);
    const gauge = plan.gauge(spot.gauge);
    const lacking = plan.lacking(spot);
    suit(at("keypad"), { blades: !!gauge?.blades, signed: !gauge || gauge.compares || spot.signed, lacking: lacking.length > 0 });
    this.slip.asks(lacking.length ? this.#warmth(lacking[0]) : null);
    at("skip").disabled = !spot.waits;
    at("withdraw").disabled = !spot.counted.length;
    drawTray(this.outbox, this.mending, (entry) => this.mend(entry), (entry) => entry.kind === "reading taken" && entry.book === this.slug);
  }

  #warmth(name) {
    const { plan, spot } = this;
    const last = plan.lastSaid(spot.station, name);
    const beside = name !== "part_temp" && spot.part_temp;
    const quick = [];
    const short = { part_temp: "Part", gauge_temp: "Gauge", bore_temp: "Bore" }[name];
    if (last) quick.push([`${short} as before: ${last}`, () => this.state(spot.station, { [name]: last })]);
    if (beside && beside !== last) quick.push([`${short} as the part: ${beside}`, () => this.state(spot.station, { [name]: beside })]);
    return { words: `How warm is ${TEMPERATURE[name]}? Type it with °C.`, quick };
  }

  go(spot, byHand = true, note = true) {
    if (!spot) return;
    if (this.mending && spot.key !== this.mending.spot) this.#letGo();
    const same = spot.key === this.spot.key;
    this.spot = this.plan.spot(spot.key);
    if (!this.withdrawing.form.hidden && !same) this.withdrawing.shut();
    if (byHand && !same && !input.value && !this.moving) this.slip.stale();
    else this.slip.clear();
    this.draw();
    if (note && !same) history.replaceState(null, "", `/e/${this.slug}/measure/${encodeURIComponent(this.spot.key)}/`);
    if (byHand) this.toEntry();
  }

  toEntry() {
    if (this.may) input.focus({ preventScroll: true });
  }

  typed() {
    this.slip.clear();
    input.removeAttribute("aria-invalid");
  }

  /** Enter: keep what was typed, and be at the next spot before the bench has answered. */
  enter() {
    const text = input.value.trim();
    this.early = !this.loaded; // what waits on this tablet is not read yet: Enter counts in a moment
    if (this.early || !this.may) return undefined;
    if (!text) return this.slip.refuse("Type what the gauge shows, then Enter.");
    const degrees = temperatureIn(text);
    if (degrees) return this.#degrees(degrees);
    const { spot, plan } = this;
    const gauge = plan.gauge(spot.gauge);
    const words = plan.readingWords(spot, plainValue(text, gauge?.blades));
    const about = { spot: spot.key, label: spot.words, value: said(words.value, words.unit), text };
    const mended = this.mending;
    this.mending = null;
    if (mended) this.outbox.throwAway(mended);
    input.value = "";
    input.removeAttribute("aria-invalid");
    this.lastValue = text;
    plan.skipped.delete(spot.key);
    const adding = this.outbox.add("reading taken", words, about).catch((fault) => this.#notKept(text, fault));
    const next = plan.after(plan.spot(spot.key));
    this.last = { key: this.outbox.entries.at(-1).key, next: next?.key || spot.key };
    this.#whose(this.outbox.entries.at(-1), "");
    this.moving = true;
    if (next) this.go(next, true);
    else this.#finished();
    this.moving = false;
    return adding;
  }

  #notKept(text, fault) {
    input.value = text;
    this.slip.refuse(`This tablet could not keep the entry (${fault?.name || "storage is full"}). Write it down, and free some room.`);
  }

  #finished() {
    this.draw();
    this.toEntry();
    this.slip.says("Every spot of this job is read.", "good");
  }

  #degrees(degrees) {
    const lacking = this.plan.lacking(this.spot);
    const wanted = lacking[0] || this.spot.temps[0];
    if (!wanted) return this.slip.refuse("Temperature does not bear on this reading.");
    input.value = "";
    this.state(this.spot.station, { [wanted]: degrees });
  }

  /** Say something of every row of a station that is still to be read. A depth goes with each reading itself. */
  state(station, { depth, ...words }) {
    const rows = this.plan.stations.find((each) => each.key === station.key).spots.flatMap((each) => each.empty);
    const about = { spot: station.key, label: station.name, value: [...Object.values(words), ...(depth ? [`${depth} deep`] : [])].join(", ") };
    if (depth) {
      this.plan.say(station.key, { depth });
      keepDepth(this.slug, station.key, depth);
    }
    if (rows.length && Object.keys(words).length) this.outbox.add("state set", { rows, ...words }, about);
    else this.plan.say(station.key, words);
    this.lay();
    this.slip.says(`${about.value}: set for ${rows.length} still to be read.`, "plain");
    speak(`${about.value} set for ${station.name}`);
    this.toEntry();
  }

  /** A state that was refused since a row was read meanwhile: said again of the rows that are still empty; null where none is. */
  async #rowsLeft(entry, problem) {
    if (entry.kind !== "state set" || !problem?.problems?.some((each) => each.code === "row-taken")) return undefined;
    await this.news.fetchPlan();
    const empty = new Set(this.plan.bare.stations.flatMap((station) => station.spots.flatMap((spot) => spot.empty)));
    const rows = entry.words.rows.filter((row) => empty.has(row));
    return rows.length ? { ...entry.words, rows } : null;
  }

  again() {
    if (!this.lastValue) return;
    input.value = this.lastValue;
    input.setSelectionRange(input.value.length, input.value.length);
  }

  skip() {
    this.plan.skipped.add(this.spot.key);
    const next = this.plan.after(this.spot);
    this.go(next || this.spot, true);
  }

  /** Stay at this spot, or come back to the last one that was read, for one more reading. */
  repeat() {
    this.toEntry();
    this.slip.says(this.spot.counted.length ? "One more reading of this spot: type it." : "Nothing is read here yet.", "plain");
  }

  undo() {
    const last = this.outbox.entries.filter((entry) => entry.kind === "reading taken" && entry.book === this.slug && entry.held !== "refused").at(-1);
    const spot = last && this.plan.spot(last.spot);
    if (!spot) return this.slip.refuse("Nothing was read on this tablet yet.");
    const reading = spot.counted.find((each) => each.key === last.key || (last.answer && each.row === last.answer.row));
    if (!reading) return this.slip.refuse("The last reading is withdrawn already.");
    this.go(spot, false);
    this.withdrawing.open(this.spot, [{ ...reading, key: last.key }]);
  }

  askWhy(spot) {
    if (spot.counted.length) this.withdrawing.open(spot, spot.counted);
  }

  withdraw(reading, spot, why) {
    const own = this.outbox.entries.find((entry) => entry.key === reading.key);
    const words = reading.row ? { row: reading.row, why } : { why };
    const about = { spot: spot.key, label: `${spot.words}, withdrawn`, value: reading.said, of: reading.row ? "" : own?.key };
    this.outbox.add("reading withdrawn", words, about);
    this.go(this.plan.spot(spot.key));
    this.slip.says(`${reading.said} is withdrawn: ${why}. Take it again.`, "plain");
  }

  /** A refused entry at the gauge again, its text in the entry and selected. */
  mend(entry) {
    this.go(this.plan.spot(entry.spot), true);
    this.mending = entry;
    input.value = entry.text ?? entry.words.value;
    input.setAttribute("aria-invalid", "true");
    this.toEntry();
    input.select();
    this.slip.refuse(problemWords(entry.problem));
    speak(`Not taken: ${problemWords(entry.problem)}`);
    this.lay();
  }

  #letGo() {
    this.mending = null;
    input.value = "";
    input.removeAttribute("aria-invalid");
  }

  #refused(entry) {
    if (entry.book !== this.slug || entry.kind !== "reading taken") return this.lay();
    const still = entry.key === this.last?.key && this.spot.key === this.last.next && !input.value && this.withdrawing.form.hidden && this.sitting.form.hidden;
    if (still) this.mend(entry);
    else speak(`Not taken: ${entry.label}, ${entry.value}. ${problemWords(entry.problem)}`);
    if (entry.key === this.last?.key) this.#notTaken(entry);
  }

  #notTaken(entry) {
    this.#whose(entry, "not taken");
    at("verdict").replaceChildren(made("p", { textContent: problemWords(entry.problem) }));
  }

  #kept(entry) {
    this.news.soon();
    if (entry.book !== this.slug || !entry.answer.html) return;
    if (entry.key === this.last?.key || entry.kind === "reading withdrawn" || !this.last) this.#verdict(entry);
  }

  #showLast() {
    const last = this.outbox.entries.filter((entry) => entry.book === this.slug && entry.kind === "reading taken" && entry.held !== "refused").at(-1);
    if (!last) return;
    this.lastValue = last.text || "";
    this.last ??= { key: last.key, next: "" };
    if (last.answer?.html) this.#verdict(last, false);
    else this.#whose(last, "");
  }

  #whose(entry, answer) {
    const state = answer || (this.outbox.reached ? "" : "kept here, its verdict comes when the bench answers");
    at("verdict-whose").replaceChildren(made("b", { textContent: `${entry.label}: ${entry.value}` }), state ? `, ${state}` : "");
    at("verdict").replaceChildren();
    this.slip.last(entry, "plain", state || "kept");
  }

  #stillWaits() {
    const last = this.outbox.entries.find((entry) => entry.key === this.last?.key);
    if (last?.held === "waiting") this.#whose(last, "");
  }

  #verdict(entry, aloud = true) {
    at("verdict-whose").replaceChildren(made("b", { textContent: `${entry.label}: ${entry.value}` }));
    at("verdict").innerHTML = entry.answer.html; // drawn by the bench
    const head = at("verdict").querySelector(".head");
    const tone = at("verdict").querySelector("[data-tone]")?.dataset.tone || "plain";
    if (head) head.replaceWith(made("h2", { textContent: head.textContent, className: "said" }));
    const words = head?.textContent.trim() || "Kept.";
    this.slip.last(entry, tone, words);
    if (aloud) speak(`${entry.label}, ${entry.value}. ${words}`);
  }

  #key(event) {
    if (event.key === "Escape") {
      if (this.mending) this.#letGo();
      input.value = "";
      this.typed();
      this.lay();
    }
    if (input.value && event.key !== "PageUp" && event.key !== "PageDown") return;
    const step = { ArrowLeft: -1, ArrowUp: -1, ArrowRight: 1, ArrowDown: 1 }[event.key];
    if (step) {
      event.preventDefault();
      this.go(this.plan.beside(this.spot, step), true);
    }
    if (event.key === "PageUp" || event.key === "PageDown") {
      event.preventDefault();
      at(event.key === "PageUp" ? "station-before" : "station-after").click();
      this.toEntry();
    }
  }

  /** What a gauge types while the focus is elsewhere goes into the entry all the same. */
  #stray(event) {
    if (event.ctrlKey || event.metaKey || event.altKey || !/^[\d.,+\-−]$/.test(event.key)) return;
    const here = document.activeElement;
    if (here !== input && !here?.matches("input,textarea,select,[contenteditable]")) this.toEntry();
  }

  #systemKeys(on) {
    input.inputMode = on ? "text" : "none";
    at("own-keys").setAttribute("aria-pressed", String(on));
    at("own-keys").textContent = on ? "Use only the keys here" : "Use the system's keyboard";
    if (document.documentElement.dataset.ready) this.toEntry();
  }
}

const spotAsked = (slug) => {
  const rest = decodeURIComponent(location.pathname.slice(`/e/${slug}/measure/`.length)).replace(/\/$/, "");
  return rest || "";
};

function speak(words) {
  at("spoken").textContent = words;
}

const known = at("known");
if (known) new Page(JSON.parse(known.textContent)).start();
