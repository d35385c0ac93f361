// The page of one ring: take, get ready, read, and what the bench says of it. What is tapped or typed lies on the tablet before anything else
// happens; the next thing comes by itself. The bench's own words are fetched after every act and when another hand did something.
import { book } from "./door.js";
import { keypad, suit } from "./keypad.js";
import { at, made } from "./measure_card.js";
import { plainValue } from "./measure_plan.js";
import { askedToMend, drawTray, problemWords } from "./measure_tray.js";
import { note, still } from "./note.js";
import { keepOnTablet } from "./offline.js";
import { Outbox } from "./outbox.js";
import { Entry } from "./rings_entry.js";
import { Sitting } from "./rings_sitting.js";
import { keepLit } from "./wake.js";

const EVERY_MS = 3000;
const PATIENCE_MS = 12000;
const STAGES = ["take", "ritual", "read", "hold", "done", "look-only"];
const COUNT = /^(\d{1,9}([.,]\d{1,9})?|[.,]\d{1,9})$/;
/** Which field of the page shows what is wrong with which word of an act. */
const FIELD = { taken: "taken", gap: "gap", unit: "gap", ring_temp: "ring_temp", bore_temp: "bore_temp", depth: "depth", gauge: "gauge", why: "why", pass: "which", wheel: "wheel" };
const MENDS = { "pass filed": "taken", "gap read": "gap", "pass withdrawn": "why", "wheel put on": "wheel" };

class Page {
  constructor(known) {
    this.slug = book();
    this.card = known.card;
    this.outbox = new Outbox(this.slug);
    this.outbox.hand = known.hand;
    this.sitting = new Sitting(this.slug, this.card.gauges, this.card.depth);
    this.entry = new Entry(() => this.gapRead());
    this.mending = null;
    this.filed = this.card.waiting > 0;
    this.#listen();
  }

  async start() {
    this.outbox.refresh = () => this.fetchNow();
    await this.outbox.start();
    this.#settle();
    this.#drawActs();
    const asked = askedToMend(this.outbox);
    if (asked && this.card.may) this.#refused(asked);
    setInterval(() => document.hidden || this.look(), EVERY_MS);
    document.addEventListener("visibilitychange", () => document.hidden || this.look());
    keepLit(at("lit"));
    keepOnTablet((words) => note(words), [location.pathname]);
    document.documentElement.dataset.ready = "yes";
  }

  #listen() {
    const { outbox } = this;
    on("take", "submit", () => this.took());
    at("took-sure").addEventListener("click", () => this.took(true));
    at("taken").addEventListener("input", () => this.#countTyped());
    at("less").addEventListener("click", () => this.#step(-1));
    at("more").addEventListener("click", () => this.#step(1));
    on("ritual", "submit", () => this.ready());
    at("change").addEventListener("click", () => this.#askSitting(true));
    on("read", "submit", () => this.entry.enter());
    at("back").addEventListener("click", () => this.show("ritual"));
    for (const each of document.querySelectorAll("[data-read]")) each.addEventListener("click", () => this.#readAgain());
    at("all-the-same").addEventListener("click", () => this.show("take", { taken: "" }));
    on("withdraw", "submit", () => this.withdraw());
    on("wheel-form", "submit", () => this.wheel());
    keypad(at("keypad"), this.entry, { enter: () => this.entry.enter(), undo: () => {}, again: () => this.entry.again(), typed: () => this.#clear("gap") });
    addEventListener("keydown", (event) => this.stage === "read" && this.entry.stray(event), true);
    outbox.addEventListener("changed", () => this.#changed());
    outbox.addEventListener("reached", () => this.#drawTray());
    outbox.addEventListener("kept", (event) => this.#kept(event.detail));
    outbox.addEventListener("refused", (event) => this.#refused(event.detail));
    document.addEventListener("hands-changed", () => this.fetchNow().catch(() => {}));
  }

  /** Entries of this ring that the words on the page do not know yet, oldest first. */
  get ahead() {
    const struck = this.struck;
    const kind = (entry) => entry.kind === "pass filed" || (entry.kind === "gap read" && !struck.has(entry.key)); // what a pass took off is off, withdrawn or not
    const mine = (entry) => entry.book === this.slug && entry.spot === this.card.key && kind(entry);
    return this.outbox.entries.filter((entry) => mine(entry) && (entry.held === "waiting" || (entry.held === "kept" && entry.answer.number > this.card.number)));
  }

  /** Keys of entries of this tablet that were withdrawn before the bench had them. */
  get struck() {
    return new Set(this.outbox.entries.filter((entry) => entry.kind === "pass withdrawn" && entry.held !== "refused").map((entry) => entry.of));
  }

  /** Entries of this ring that the bench does not have yet and that were not withdrawn. */
  get unsent() {
    const struck = this.struck;
    return this.ahead.filter((entry) => entry.held === "waiting" && !struck.has(entry.key));
  }

  /** The stage that this ring is at, by the bench and by what lies on this tablet. */
  #settle() {
    const { card } = this;
    const last = this.ahead.at(-1);
    if (!card.may) return this.show("look-only");
    if (last?.kind === "gap read") return this.show("hold");
    if (last?.kind === "pass filed") {
      this.filed = true;
      return this.show("ritual");
    }
    this.filed = card.waiting > 0;
    if (card.stage === "take") return this.show("take", { taken: `${card.advised}` });
    return this.show(card.stage === "read" ? "ritual" : "done");
  }

  show(stage, { taken, focus = true } = {}) {
    this.stage = stage;
    for (const name of STAGES) at(name).hidden = name !== stage;
    if (stage === "take" && taken !== undefined) at("taken").value = this.offered = taken;
    ({ take: () => this.#countTyped(), ritual: () => this.#drawRitual(), read: () => this.#drawRead(), hold: () => this.#drawHold(), done: () => this.#drawDone() })[stage]?.();
    this.#drawTray();
    if (focus && document.documentElement.dataset.ready) this.#focus();
    else if (focus && !touch()) this.#focus();
  }

  #focus() {
    const first = { take: touch() ? at("took") : at("taken"), ritual: at("sitting").hidden || touch() ? at("ready") : at("ring_temp"), hold: null, done: at("next").hidden ? at("done").querySelector("button") : at("next") }[this.stage];
    if (this.stage === "read") this.entry.focus();
    else first?.focus({ preventScroll: true });
    if (this.stage === "take" && !touch()) at("taken").select();
    if (document.documentElement.dataset.ready && matchMedia("(max-width: 999px)").matches && this.stage !== "done") at("work").scrollIntoView({ block: "start" });
  }

  get count() {
    return Number(at("taken").value.trim().replace(",", "."));
  }

  #units(count) {
    return `${count} ${count === 1 ? this.card.counted_one : this.card.counted_in}`;
  }

  #step(way) {
    const now = COUNT.test(at("taken").value.trim()) ? this.count : 0;
    at("taken").value = String(Math.max(0, Number((now + way * this.card.smallest).toFixed(6))));
    this.#countTyped();
  }

  #countTyped() {
    this.#clear("taken");
    const fit = COUNT.test(at("taken").value.trim()) && this.count > 0;
    at("took").textContent = fit ? `I have taken ${this.#units(this.count)}` : "I have taken …";
    at("took-sure").hidden = true;
  }

  took(sure = false) {
    const { card } = this;
    const text = at("taken").value.trim();
    if (/^[-−–]/.test(text)) return this.#fault("taken", "Nothing can be put back: give what was taken.");
    if (!COUNT.test(text) || this.count <= 0) return this.#fault("taken", `Type how many ${card.counted_in} were taken.`);
    if (card.whole && !Number.isInteger(this.count)) return this.#fault("taken", `This grinder counts whole ${card.counted_in} only.`);
    const old = this.ahead.length > 0;
    if (!sure && (old || this.count > card.advised)) {
      this.#fault("taken", old ? "The advice is from before your last entry. Were they taken all the same?" : `That is more than the ${this.#units(card.advised)} advised. Is ${this.count} right?`);
      at("took-sure").textContent = `Yes, ${this.#units(this.count)} ${this.count === 1 ? "was" : "were"} taken`;
      at("took-sure").hidden = false;
      at("took-sure").focus();
      return undefined;
    }
    this.filed = true;
    this.#add("pass filed", { ...this.#which(), taken: String(this.count), ...(this.sitting.cells.gauge ? { gauge: this.sitting.cells.gauge } : {}) }, `${card.name}, taken`, this.#units(this.count));
    this.show("ritual");
    speak(`${this.#units(this.count)} written down. The gap is still to be read.`);
    return undefined;
  }

  #which() {
    const { rings, ring, at: where } = this.card;
    return { rings, ring, at: where };
  }

  #add(kind, words, label, value, about = {}) {
    if (this.mending?.kind === kind) this.outbox.throwAway(this.mending);
    this.mending = null;
    return this.outbox.add(kind, words, { spot: this.card.key, label, value, page: location.pathname, ...about }).catch((fault) => this.#fault(MENDS[kind], `This tablet could not keep the entry (${fault?.name || "storage is full"}). Write it down, and free some room.`));
  }

  #drawRitual() {
    const steps = this.filed ? this.card.ritual : this.card.reading_ritual;
    at("ritual-head").textContent = this.filed ? "Written down. Before you read the gap" : "Before you read the gap";
    at("steps").replaceChildren(...steps.map((text) => made("li", { textContent: text })));
    this.#askSitting(!this.sitting.known);
  }

  #askSitting(open) {
    at("sitting").hidden = !open;
    at("still").hidden = open;
    at("still-said").textContent = this.sitting.said;
    if (open && this.sitting.known && !touch()) at("ring_temp").focus();
  }

  ready() {
    if (!at("sitting").hidden) this.sitting.keep();
    this.show("read");
  }

  #readAgain() {
    this.filed = this.card.waiting > 0;
    this.show("ritual");
  }

  #drawRead() {
    this.entry.suit(this.sitting.blades, this.card.unit);
    suit(at("keypad"), { blades: this.sitting.blades, signed: false, lacking: false });
  }

  gapRead() {
    const typed = this.entry.text;
    if (!typed) return this.#fault("gap", this.sitting.blades ? "Type the blade that goes and the next that does not." : "Type the gap, then Enter.");
    const gap = plainValue(typed, this.sitting.blades);
    this.entry.kept();
    this.#add("gap read", { ...this.#which(), ...this.sitting.words, gap, usual_unit: this.card.unit }, `${this.card.name}, gap`, gap);
    this.show("hold");
    return undefined;
  }

  #drawHold() {
    const waits = this.ahead.some((entry) => entry.held === "waiting");
    at("hold-said").textContent = waits && !this.outbox.reached ? "Kept on this tablet. What to take next comes when the bench answers: take nothing more until then." : "Kept. The bench works out what to take next.";
    for (const button of at("hold").querySelectorAll("button")) button.hidden = this.outbox.reached && !this.outbox.signedOut;
  }

  #drawDone() {
    const { card } = this;
    at("next").hidden = !card.next_to;
    if (card.next_to) {
      at("next").href = card.next_to;
      at("next").textContent = `Next: ${card.next_name}`;
    }
    for (const button of at("done").querySelectorAll("button")) {
      button.hidden = card.stage === "blocked";
      button.classList.toggle("main", card.stage === "stop");
    }
    at("next").classList.toggle("main", card.stage !== "stop");
  }

  withdraw() {
    const why = at("why").value.trim();
    const chosen = at("which").value;
    if (!chosen) return this.#fault("which", "There is no entry to withdraw.");
    if (!why) return this.#fault("why", "Say why: an entry is never withdrawn without a reason.");
    const told = at("which").selectedOptions[0].textContent;
    const own = this.outbox.entries.find((entry) => entry.key === chosen);
    this.#add("pass withdrawn", own ? { why } : { pass: chosen, why }, `${this.card.name}, withdrawn`, told, own ? { of: own.key } : {});
    if (own) this.#struckHere();
    return undefined;
  }

  /** One that was not sent yet: it goes to the bench with its reason, and is on record there as withdrawn. */
  #struckHere() {
    at("why").value = "";
    at("slip").open = false;
    this.#settle();
    note("Withdrawn; both go to the bench, and it stays on record.");
    setTimeout(still, 4000);
  }

  wheel() {
    const wheel = at("wheel").value.trim();
    if (!wheel) return this.#fault("wheel", "Type the mark of the wheel.");
    this.#add("wheel put on", { wheel }, "Another wheel", wheel);
    return undefined;
  }

  #drawActs() {
    const { card } = this;
    at("acts").hidden = !card.may;
    if (card.disagree) at("slip").open = true; // which of them was the slip is to be said
    this.#drawWhich();
  }

  /** What can be withdrawn: what the bench has, and what still waits on this tablet. */
  #drawWhich() {
    const unsent = this.unsent.map((entry) => new Option(`not sent yet: ${entry.kind === "gap read" ? "gap " : ""}${entry.value}${entry.kind === "gap read" ? "" : " taken"}`, entry.key));
    const options = [...this.card.entries.map(([id, told]) => new Option(`${id}: ${told}`, id)), ...unsent];
    const same = Array.from(at("which").options, (each) => each.value + each.text).join() === options.map((each) => each.value + each.text).join();
    if (same) return;
    const chosen = at("which").value;
    at("which").replaceChildren(...options);
    if (options.some((each) => each.value === chosen)) at("which").value = chosen;
  }

  #changed() {
    this.#drawWhich();
    this.#drawTray();
  }

  async #kept(entry) {
    if (entry.book !== this.slug) return;
    if (entry.kind === "pass withdrawn" && !entry.of) {
      at("why").value = "";
      at("slip").open = false;
    }
    if (entry.kind === "wheel put on") at("wheel").value = "";
    await this.fetchNow().catch(() => {});
    if (entry.kind === "wheel put on") note(`Wheel ${entry.words.wheel} is on from now on.`);
    if (entry.kind === "pass withdrawn" && !(entry.of && this.#inHand())) this.#settle(); // whatever it showed before
    if (entry.kind === "pass withdrawn") note("Withdrawn; it stays on record.");
    if (entry.kind !== "gap read" && entry.kind !== "pass filed") setTimeout(still, 4000);
  }

  #refused(entry) {
    if (entry.book !== this.slug || entry.spot !== this.card.key) return this.#drawTray();
    this.mending = entry;
    const problems = entry.problem?.problems?.length ? entry.problem.problems : [{ what: problemWords(entry.problem), mend: "", field: "" }];
    const fields = problems.map((each) => FIELD[each.field] || MENDS[entry.kind]);
    if (entry.kind === "pass withdrawn" || entry.kind === "wheel put on") this.#slipAgain(entry);
    if (entry.kind === "gap read") {
      this.sitting.recall(entry.words);
      this.#drawRead();
      this.entry.put(entry.words.gap);
      this.show(fields.includes("gap") ? "read" : "ritual", { focus: false });
      if (!fields.includes("gap")) this.#askSitting(true);
    }
    if (entry.kind === "pass filed") this.show("take", { taken: entry.words.taken, focus: false });
    problems.forEach((each, index) => this.#fault(fields[index], problemWords({ problems: [each] }), index === 0));
    this.#drawTray();
    return undefined;
  }

  #slipAgain({ words }) {
    at("slip").open = true;
    if (words.wheel) at("wheel").value = words.wheel;
    if (words.why) at("why").value = words.why;
    if (words.pass) at("which").value = words.pass;
  }

  #fault(field, words, focus = true) {
    const place = at(`${field}-fault`);
    place.textContent = words;
    place.hidden = false;
    const inputs = field === "gap" ? this.entry.inputs : [at(field)];
    for (const each of inputs) each.setAttribute("aria-invalid", "true");
    if (focus) inputs[0].focus();
    return undefined;
  }

  #clear(field) {
    at(`${field}-fault`).hidden = true;
    for (const each of field === "gap" ? this.entry.inputs : [at(field)]) each.removeAttribute("aria-invalid");
  }

  #drawTray() {
    drawTray(this.outbox, this.mending, (entry) => this.#refused(entry), (entry) => entry.book === this.slug && entry.spot === this.card.key && entry.kind in MENDS);
    const unknown = this.ahead.some((entry) => entry.held === "waiting") && !this.outbox.reached;
    const words = unknown ? "The bench is out of reach. The advice above is from before what you entered last." : !this.outbox.reached ? "The bench is out of reach: the advice above is as it was. What you enter is kept on this tablet." : "";
    if (at("before").textContent !== words) at("before").textContent = words;
    at("before").hidden = !words;
    if (this.stage === "hold") this.#drawHold();
  }

  async look() {
    if (this.looking) return;
    this.looking = true;
    try {
      const news = await this.#ask(`/e/${this.slug}/news/?since=${this.card.number}`);
      if (news && news.number > this.card.number) await this.fetchNow();
    } catch {
      /* out of reach: told already */
    } finally {
      this.looking = false;
    }
  }

  /** The ring as the bench sees it now; the entry is not touched while something stands in it. */
  async fetchNow() {
    const asked = this.outbox.hand;
    const told = await this.#ask(location.pathname.replace("/rings/", "/rings-now/"));
    if (!told || told.card.number < this.card.number) return;
    this.outbox.toldBy(asked, told);
    const before = this.#mark();
    this.card = told.card;
    const open = Array.from(document.querySelectorAll("#said details[open], #facts details[open]"), (each) => each.id);
    at("said").innerHTML = told.said; // drawn by the bench
    at("facts").innerHTML = told.facts;
    for (const id of open) at(id)?.setAttribute("open", "");
    this.#drawActs();
    if (this.stage === "hold" && !this.ahead.length) this.mending = null;
    if (this.stage === "hold" || (this.#mark() !== before && !this.#inHand())) {
      this.#settle();
      speak(at("said").textContent.trim().replace(/\s+/g, " "));
    } else this.#drawTray();
  }

  #mark() {
    const { stage, advised, waiting, next_to: to } = this.card;
    return JSON.stringify([stage, advised, waiting, to]);
  }

  /** Whether something is being entered, or the hand is between grinder and gauge. */
  #inHand() {
    const between = this.stage === "read" || (this.stage === "ritual" && this.card.stage === "read");
    const counting = this.stage === "take" && at("taken").value !== this.offered;
    return between || counting || !!this.mending || at("acts").contains(document.activeElement);
  }

  /** JSON from the bench; null where it does not know us any more. Throws where nobody answers. */
  async #ask(address) {
    const { outbox } = this;
    const patience = new AbortController();
    const timer = setTimeout(() => patience.abort(), PATIENCE_MS);
    try {
      const answer = await fetch(address, { credentials: "same-origin", redirect: "manual", cache: "no-store", signal: patience.signal, headers: { Accept: "application/json" } });
      if (answer.type === "opaqueredirect" || answer.status === 401) {
        outbox.signedOut = true;
        outbox.answered(true);
        this.#drawTray();
        return null;
      }
      if (!answer.ok) throw new Error(String(answer.status));
      const told = await answer.json();
      if (outbox.signedOut) {
        outbox.signedOut = false;
        outbox.flush(true);
      }
      outbox.answered(true);
      return told;
    } catch (fault) {
      if (!/^4\d\d$/.test(fault.message)) outbox.answered(false);
      throw fault;
    } finally {
      clearTimeout(timer);
    }
  }
}

const touch = () => matchMedia("(pointer: coarse)").matches;

function on(id, kind, does) {
  at(id).addEventListener(kind, (event) => {
    event.preventDefault();
    does();
  });
}

function speak(words) {
  at("spoken").textContent = words;
}

const known = at("known");
if (known) new Page(JSON.parse(known.textContent)).start();
