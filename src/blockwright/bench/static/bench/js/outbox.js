// The outbox: every entry is put on this tablet first and sent then, in order, each once. The key is the entry's own, so that an entry which
// was sent and whose answer was lost is answered again and not kept twice. Nothing leaves the outbox unless the bench has it or a person throws it away.
import { askWho, csrf, handsChange, here, newKey } from "./door.js";
import * as store from "./outbox_store.js";

const FIRST_WAIT_MS = 800;
const LONGEST_WAIT_MS = 20000;
const PATIENCE_MS = 12000;
const REMEMBERED = 400;
const LOCK = "blockwright-outbox";
const OF = { "pass withdrawn": "pass" };

/** Whether somebody is in the middle of an entry, and is not to be asked anything now. */
const typing = () => Boolean(document.activeElement?.matches("input,textarea") && document.activeElement.value);

/** Events: `changed` (anything), `kept` and `refused` (detail: the entry), `reached` (detail: whether the bench answers), `signedout`. */
export class Outbox extends EventTarget {
  constructor(book) {
    super();
    this.book = book;
    this.entries = [];
    this.hand = "";
    this.token = csrf();
    this.reached = navigator.onLine;
    this.signedOut = false;
    this.leftAlone = false; // asked who he is, somebody went on without saying so
    this.mend = null; // async (entry) => words to send instead, or null
    this.refresh = null; // async () => fetches the plan and sets token and hand; throws where nobody answers
    this.wait = FIRST_WAIT_MS;
    this.sending = null; // the promise of what is being sent
    this.again = false;
    this.channel = "BroadcastChannel" in window ? new BroadcastChannel("blockwright-outbox") : null;
    this.channel?.addEventListener("message", () => this.reload());
  }

  async start() {
    await store.takeUp();
    await this.reload();
    for (const kind of ["online", "focus", "pageshow"]) addEventListener(kind, () => this.flush(true));
    addEventListener("offline", () => this.#reach(false));
    document.addEventListener("visibilitychange", () => document.hidden || this.flush(true));
    document.addEventListener("hands-changing", (event) => event.detail.hold(this.flush(true))); // under the old name first
    document.addEventListener("hands-changed", (event) => this.#handedOver(event.detail.name));
    this.flush();
  }

  async reload() {
    const known = new Map(this.entries.map((entry) => [entry.key, entry]));
    const stored = (await store.all()).map((entry) => Object.assign(known.get(entry.key) || {}, entry));
    const unstored = this.entries.filter((entry) => !entry.seq);
    this.entries = [...stored, ...unstored.filter((entry) => !stored.includes(entry))];
    this.#changed(false);
  }

  /** Entries of this book's page that the bench does not have yet, oldest first. */
  get waiting() {
    return this.entries.filter((entry) => entry.held === "waiting");
  }
  get refused() {
    return this.entries.filter((entry) => entry.held === "refused");
  }
  /** Entries of another hand, which wait until he is here or somebody sends them as his own. */
  get strangers() {
    return this.waiting.filter((entry) => this.hand && entry.by !== this.hand);
  }

  /** Put an entry and send it. Resolves as soon as it is safe on this tablet. */
  async add(kind, words, about = {}) {
    const entry = { key: newKey(), book: this.book, kind, words, at: here(), by: this.hand, held: "waiting", ...about };
    this.entries.push(entry); // shown at once; the number follows
    this.#changed(false);
    const seq = await store.put(entry);
    entry.seq = seq;
    this.#changed();
    this.flush();
    return entry;
  }

  async throwAway(entry) {
    await store.strike(entry.seq);
    this.entries = this.entries.filter((each) => each.key !== entry.key);
    this.#changed();
  }

  /** Send a refused entry again, with other words. It is another entry: the refused one was never kept. */
  async sendAgain(entry, words) {
    const { seq, problem, answer, ...same } = entry;
    await this.throwAway(entry);
    return this.add(same.kind, words, { spot: same.spot, label: same.label, value: same.value, page: same.page, of: same.of });
  }

  async sendAs(entry, hand) {
    await this.#set(entry, { by: hand });
    this.flush(true);
  }

  /** Send what waits. `now`: do not wait out the pause after a failure. */
  async flush(now = false) {
    if (now) this.wait = FIRST_WAIT_MS;
    if (this.sending) this.again = true;
    else this.sending = this.#sendInTurn().finally(() => (this.sending = null));
    return this.sending;
  }

  /** All that waits, and what came while that was sent: who waits for it waits for both. */
  async #sendInTurn() {
    do {
      this.again = false;
      clearTimeout(this.timer);
      await this.#alone(() => this.#sendAll());
    } while (this.again);
  }

  #alone(send) {
    return navigator.locks ? navigator.locks.request(LOCK, send) : send();
  }

  async #sendAll() {
    let entry;
    const passed = new Set();
    while ((entry = this.waiting.find((each) => each.seq && !passed.has(each.key) && !this.strangers.includes(each)))) {
      const outcome = await this.#send(entry);
      if (outcome === "later") return this.#later();
      if (outcome === "pass") passed.add(entry.key);
    }
    this.wait = FIRST_WAIT_MS;
  }

  async #send(entry, second = false) {
    if (this.strangers.includes(entry)) return "pass"; // hands have changed since it was its turn
    const words = this.#resolved(entry);
    if (words === "pass") return "pass";
    if (words === null) {
      await this.throwAway(entry);
      return "kept";
    }
    let answer, told;
    try {
      answer = await this.#post(entry, words);
      if (answer.type === "opaqueredirect" || answer.status === 401) return this.#signOut();
      told = await answer.json().catch(() => null);
    } catch {
      this.#reach(false);
      return "later";
    }
    if (answer.status >= 500 || answer.status === 429 || answer.status === 408) {
      this.#reach(answer.status === 429);
      return "later";
    }
    this.#reach(true);
    if (answer.status === 403 && !second) return (await this.#tokenAnew()) ? this.#send(entry, true) : this.signedOut ? this.#signOut() : "later";
    if (answer.ok && told) return this.#kept(entry, told);
    return this.#refusedBy(entry, told, second);
  }

  #post(entry, words) {
    const patience = new AbortController();
    const timer = setTimeout(() => patience.abort(), PATIENCE_MS);
    return fetch(`/e/${entry.book}/acts/`, {
      method: "POST",
      credentials: "same-origin",
      redirect: "manual",
      signal: patience.signal,
      headers: { "Content-Type": "application/json", Accept: "application/json", "X-CSRFToken": this.token },
      body: JSON.stringify({ kind: entry.kind, words, key: entry.key, at: entry.at }),
    }).finally(() => clearTimeout(timer));
  }

  /** The words as they are sent: a withdrawal says the row, or the entry at the grinder, that the bench gave what it withdraws. null: there is nothing left to do. */
  #resolved(entry) {
    if (!entry.of) return entry.words;
    const first = this.entries.find((each) => each.key === entry.of);
    if (!first || first.held === "refused") return null;
    return first.held === "kept" ? { ...entry.words, [OF[entry.kind] || "row"]: first.answer.row } : "pass";
  }

  async #kept(entry, answer) {
    this.signedOut = this.leftAlone = false;
    await this.#set(entry, { held: "kept", answer, problem: null });
    this.dispatchEvent(new CustomEvent("kept", { detail: entry }));
    await this.#forgetOld();
    return "kept";
  }

  async #refusedBy(entry, told, second) {
    if (!second && this.mend) {
      const words = await this.mend(entry, told).catch(() => undefined);
      if (words === null) {
        await this.throwAway(entry);
        return "kept";
      }
      if (words) {
        await this.#set(entry, { words });
        return this.#send(entry, true);
      }
    }
    await this.#set(entry, { held: "refused", problem: told || { detail: "The bench refused it without a word.", problems: [] } });
    this.dispatchEvent(new CustomEvent("refused", { detail: entry }));
    return "refused";
  }

  async #tokenAnew() {
    try {
      await this.refresh?.();
      return !this.signedOut;
    } catch {
      return false;
    }
  }

  /** Whose hands they are and with which token, as a page told it that was asked for while `asked` stood: not where hands have changed meanwhile. */
  toldBy(asked, { hand, csrf: token }) {
    if (this.hand !== asked) return;
    this.hand = hand;
    this.token = token;
  }

  #handedOver(name) {
    this.hand = name;
    this.token = csrf();
    this.signedOut = this.leftAlone = false;
    this.flush(true);
  }

  #signOut() {
    this.signedOut = true;
    this.#reach(true);
    this.dispatchEvent(new Event("signedout"));
    this.#changed(false);
    if (handsChange() && !this.leftAlone && !typing()) this.#ask();
    return "later";
  }

  /** Where the bench does not know who sends, whoever is here is asked for name and PIN; once, and never in the middle of an entry. */
  async #ask() {
    const changed = await askWho({ leave: false, words: "What was entered waits on this tablet until you say who you are." }).catch(() => false);
    if (!changed) this.leftAlone = true;
  }

  #later() {
    this.timer = setTimeout(() => this.flush(), this.wait);
    this.wait = Math.min(this.wait * 2, LONGEST_WAIT_MS);
  }

  #reach(whether) {
    if (this.reached === whether) return;
    this.reached = whether;
    this.dispatchEvent(new CustomEvent("reached", { detail: whether }));
    this.#changed(false);
  }

  /** What was learnt by asking for something else. */
  answered(whether) {
    const before = this.reached;
    this.#reach(whether);
    if (whether && !before) this.flush(true);
  }

  async #set(entry, said) {
    Object.assign(entry, said);
    await store.put(entry);
    this.#changed();
  }

  async #forgetOld() {
    const old = this.entries.filter((each) => each.held === "kept").slice(0, -REMEMBERED);
    const wanted = new Set(this.waiting.map((each) => each.of));
    for (const entry of old) if (!wanted.has(entry.key)) await this.throwAway(entry);
  }

  #changed(tell = true) {
    if (tell) this.channel?.postMessage("changed");
    this.dispatchEvent(new Event("changed"));
  }
}
