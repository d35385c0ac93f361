// Looks every two seconds whether another hand did something at this engine, and brings the plan up to date; the entry is not touched.
import { keepPlan, keptPlan } from "./outbox_store.js";

const EVERY_MS = 2000;
const SOON_MS = 400;
const PATIENCE_MS = 8000;

export class Measuring {
  constructor(page) {
    this.page = page;
    this.sketched = false;
  }

  /** The newest plan that this tablet knows, then the bench's own. */
  async start() {
    const kept = await keptPlan(this.page.slug).catch(() => null);
    if (kept?.sketches) this.page.card.know(kept.sketches, this.page.spot);
    this.kept = { book: this.page.slug, ...kept };
    if (kept?.plan && kept.plan.number > this.page.plan.number) this.#take(kept.plan);
    else this.#keep({ plan: this.page.plan.bare });
    this.#sketches().catch(() => {});
    setInterval(() => document.hidden || this.look(), EVERY_MS);
    document.addEventListener("visibilitychange", () => document.hidden || this.look());
  }

  /** A reading of our own was kept: look soon, once for several. */
  soon() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.look(), SOON_MS);
  }

  async look() {
    if (this.looking) return;
    this.looking = true;
    try {
      const news = await this.#ask(`/e/${this.page.slug}/news/?since=${this.page.plan.number}`);
      if (news && news.number > this.page.plan.number) await this.fetchPlan();
      if (news && !this.sketched) await this.#sketches();
    } catch {
      /* out of reach: told already */
    } finally {
      this.looking = false;
    }
  }

  async fetchPlan() {
    const asked = this.page.outbox.hand;
    const told = await this.#ask(`/e/${this.page.slug}/measure-plan/`);
    if (!told) return;
    this.page.outbox.toldBy(asked, told);
    if (this.page.outbox.hand === told.hand) this.page.allow(told.may);
    this.#keep({ plan: told.plan, hand: told.hand });
    this.#take(told.plan);
  }

  #take(bare) {
    const { page } = this;
    if (bare.number < page.plan.number) return;
    page.plan.bare = bare;
    page.lay();
  }

  async #sketches() {
    const sketches = await this.#ask(`/e/${this.page.slug}/measure-sketches/`, false);
    if (!sketches) return;
    this.sketched = true;
    this.page.card.know(sketches, this.page.spot);
    this.#keep({ sketches });
  }

  #keep(said) {
    Object.assign(this.kept, said);
    keepPlan(this.kept).catch(() => {});
  }

  /** JSON from the bench; null where it does not know us any more. Throws where nobody answers. */
  async #ask(address, knock = true) {
    const { outbox } = this.page;
    const patience = new AbortController();
    const timer = setTimeout(() => patience.abort(), PATIENCE_MS);
    try {
      const answer = await fetch(address, { credentials: "same-origin", redirect: "manual", cache: "no-store", signal: patience.signal, headers: { Accept: "application/json" } });
      if (answer.type === "opaqueredirect" || answer.status === 401) {
        outbox.signedOut = true;
        outbox.answered(true);
        this.page.draw();
        return null;
      }
      if (!answer.ok) throw new Error(String(answer.status));
      const told = await answer.json();
      if (outbox.signedOut) {
        outbox.signedOut = !knock;
        if (knock) outbox.flush(true);
      }
      if (knock) outbox.answered(true); // sketches may come from the tablet itself
      return told;
    } catch (fault) {
      if (!/^4\d\d$/.test(fault.message)) outbox.answered(false);
      throw fault;
    } finally {
      clearTimeout(timer);
    }
  }
}
