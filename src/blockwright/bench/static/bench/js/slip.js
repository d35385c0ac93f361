// The slip by the entry: one thing at a time, in a place that never changes its size. A refusal first, then what is asked, then the last verdict.
import { at, made } from "./measure_card.js";

export class Slip {
  constructor() {
    this.place = at("slip");
    this.said = at("slip-said");
    this.quick = at("slip-quick");
    this.refusal = "";
    this.word = null;
    this.question = null;
    this.verdict = null;
    this.drawn = "";
  }

  refuse(words) {
    this.refusal = words;
    this.#draw();
    felt();
  }

  /** Something that was just done. */
  says(words, tone) {
    this.refusal = "";
    this.word = { words, tone };
    this.#draw();
  }

  asks(question) {
    this.question = question;
    this.#draw();
  }

  last(entry, tone, words) {
    this.fresh = true;
    this.verdict = { tone, words, whose: `${entry.label}: ${entry.value}` };
    this.#draw();
  }

  clear() {
    this.refusal = "";
    this.word = null;
    this.#draw();
  }

  /** Another spot was gone to by hand: what is asked there goes before the last verdict. */
  stale() {
    this.fresh = false;
    this.clear();
  }

  #draw() {
    const now = this.#now();
    const quick = this.question && (now.role === "ask" || now.role === "verdict") ? this.question.quick : [];
    const mark = JSON.stringify([now, quick.map(([words]) => words)]);
    this.act = quick;
    if (mark === this.drawn) return;
    this.drawn = mark;
    this.place.className = `slip ${now.tone} for-${now.role}`;
    this.said.className = now.tone;
    const whose = now.whose ? [made("span", { className: "whose", textContent: now.whose })] : [];
    const sign = now.tone && now.tone !== "ask" ? [made("span", { className: "sign", ariaHidden: "true" })] : [];
    this.said.replaceChildren(...sign, made("span", { className: "words" }, ...whose, now.words));
    this.quick.replaceChildren(...quick.map(([words], index) => this.#button(words, index)));
  }

  #now() {
    if (this.refusal) return { tone: "out", words: this.refusal, role: "refusal" };
    if (this.word) return { ...this.word, role: "word" };
    if (this.verdict && (this.fresh || !this.question)) return { ...this.verdict, role: "verdict" };
    return this.question ? { tone: "ask", words: this.question.words, role: "ask" } : { tone: "", words: "", role: "none" };
  }

  #button(words, index) {
    const button = made("button", { type: "button", textContent: words });
    button.addEventListener("mousedown", (event) => event.preventDefault());
    button.addEventListener("click", () => this.act[index]?.[1]());
    return button;
  }
}

let sound = null;

/** A refusal is felt and heard: who reads a gauge does not look at the page, and his next reading belongs to the same spot. */
function felt() {
  navigator.vibrate?.([70, 50, 70]);
  try {
    sound ??= new AudioContext();
    for (const [begin, pitch] of [[0, 330], [0.13, 247]]) {
      const tone = sound.createOscillator();
      const loud = sound.createGain();
      tone.frequency.value = pitch;
      loud.gain.setValueAtTime(0.12, sound.currentTime + begin);
      loud.gain.exponentialRampToValueAtTime(0.001, sound.currentTime + begin + 0.12);
      tone.connect(loud).connect(sound.destination);
      tone.start(sound.currentTime + begin);
      tone.stop(sound.currentTime + begin + 0.13);
    }
  } catch {
    /* no sound on this machine */
  }
}
