// The steel rule: a long graduation a station, inked as it is complete, the pointer at the station in hand; under it the magnifier with its spots.
const XMLNS = "http://www.w3.org/2000/svg";
const HIGH = 30;
const SET_IN = 0.3; // of the room of a station, where its long line stands

const drawn = (name, said) => {
  const element = document.createElementNS(XMLNS, name);
  for (const [key, value] of Object.entries(said)) element.setAttribute(key, value);
  return element;
};

export class Rule {
  /** `go(spot)` is called where somebody wants another spot. */
  constructor(go) {
    this.go = go;
    this.long = document.getElementById("long");
    this.scale = document.getElementById("long-scale");
    this.lens = document.getElementById("lens");
    this.select = document.getElementById("station");
    this.shown = "";
    this.#listen();
  }

  draw(plan, spot) {
    this.plan = plan;
    this.spot = spot;
    this.#scale();
    this.#stations();
    this.#magnify();
  }

  #listen() {
    for (const place of [this.long, this.lens]) place.addEventListener("mousedown", (event) => event.preventDefault());
    this.long.addEventListener("click", (event) => this.#tap(event));
    this.long.addEventListener("keydown", (event) => this.#slide(event));
    this.select.addEventListener("change", () => this.#at(this.plan.stations[Number(this.select.value)]));
    document.getElementById("station-before").addEventListener("click", () => this.#step(-1));
    document.getElementById("station-after").addEventListener("click", () => this.#step(1));
    this.lens.addEventListener("click", (event) => {
      const target = event.target.closest("[data-spot]");
      if (target) this.go(this.plan.spot(target.dataset.spot), event.detail > 0);
    });
    this.lens.addEventListener("keydown", (event) => this.#walk(event));
    addEventListener("resize", () => this.plan && this.#scale());
  }

  /** A station that is gone to is opened where something waits. */
  #at(station, byHand = true) {
    if (station) this.go(station.spots.find((each) => each.waits) || station.spots[0], byHand);
  }

  #step(step) {
    const all = this.plan.stations;
    this.#at(all[(all.indexOf(this.spot.station) + step + all.length) % all.length]);
  }

  #tap(event) {
    const { left, width } = this.scale.getBoundingClientRect();
    const share = (event.clientX - left) / width;
    const all = this.plan.stations;
    this.#at(all[Math.min(all.length - 1, Math.max(0, Math.floor(share * all.length)))]);
  }

  #slide(event) {
    const all = this.plan.stations;
    const at = all.indexOf(this.spot.station);
    const to = { ArrowRight: at + 1, ArrowUp: at + 1, ArrowLeft: at - 1, ArrowDown: at - 1, Home: 0, End: all.length - 1, PageUp: at + 5, PageDown: at - 5 }[event.key];
    if (to === undefined) return;
    event.preventDefault();
    this.#at(all[Math.min(all.length - 1, Math.max(0, to))], false);
  }

  #walk(event) {
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    const here = event.target.closest("[data-spot]");
    if (!step || !here) return;
    event.preventDefault();
    const spot = this.plan.beside(this.plan.spot(here.dataset.spot), step);
    this.go(spot, false);
    this.lens.querySelector(`[data-spot="${CSS.escape(spot.key)}"]`)?.focus();
  }

  #scale() {
    const all = this.plan.stations;
    const width = Math.max(this.long.clientWidth, 200);
    const step = width / all.length;
    const at = all.indexOf(this.spot.station);
    this.scale.setAttribute("viewBox", `0 0 ${width} ${HIGH}`);
    const lines = all.flatMap((station, index) => this.#graduation(station, (index + SET_IN) * step, step, index === at));
    const x = (at + SET_IN) * step;
    lines.push(drawn("path", { class: "pointer", d: `M${x - 8} 0h16l-8 11z` }));
    this.scale.replaceChildren(...lines);
    const station = this.spot.station;
    const read = station.spots.length - station.left;
    this.long.setAttribute("aria-valuenow", at + 1);
    this.long.setAttribute("aria-valuemax", all.length);
    this.long.setAttribute("aria-valuetext", `${at + 1} of ${all.length}: ${station.name}, ${read} of ${station.spots.length} spots read`);
  }

  /** The long line of a station, inked from its foot by the share that is read; where there is room, a short line for each spot after it. */
  #graduation(station, x, step, here) {
    const share = 1 - station.left / station.spots.length;
    const top = 8;
    const wide = Math.min(here ? 5 : 3, step * 0.6);
    const lines = [drawn("path", { class: "open", d: `M${x} ${HIGH}V${top}`, "stroke-width": wide })];
    if (share > 0) lines.push(drawn("path", { class: station.twice ? "inked twice" : station.own ? "inked own" : "inked", d: `M${x} ${HIGH}V${HIGH - (HIGH - top) * share}`, "stroke-width": wide }));
    return [...lines, ...this.#short(station, x, step)];
  }

  #short(station, x, step) {
    const apart = step / (station.spots.length + 1);
    if (apart < 2.5 || step < 20) return [];
    return station.spots.map((spot, index) => {
      const at = x + apart * (index + 1);
      return drawn("path", { class: spot.waits ? "open" : spot.own ? "inked own" : "inked", d: `M${at} ${HIGH}V${HIGH - 8}`, "stroke-width": 1 });
    });
  }

  #stations() {
    const all = this.plan.stations;
    const names = all.map((each) => `${each.name[0].toUpperCase()}${each.name.slice(1)}: ${each.left ? `${each.spots.length - each.left} of ${each.spots.length}` : `all ${each.spots.length}`} read`);
    if (this.select.options.length !== names.length) this.select.replaceChildren(...names.map((name, index) => new Option(name, index)));
    names.forEach((name, index) => {
      if (this.select.options[index].text !== name) this.select.options[index].text = name;
    });
    this.select.value = String(all.indexOf(this.spot.station));
  }

  #magnify() {
    const { station } = this.spot;
    if (this.shown !== station.key) {
      this.lens.replaceChildren(...station.spots.map((each) => this.#target(each)));
      this.shown = station.key;
    }
    station.spots.forEach((spot, index) => this.#mark(this.lens.children[index], spot));
    this.#show(this.lens.children[station.spots.indexOf(this.spot)]);
  }

  #target(spot) {
    const button = document.createElement("button");
    button.type = "button";
    button.dataset.spot = spot.key;
    button.innerHTML = '<span class="tick" aria-hidden="true"></span>';
    const label = document.createElement("span");
    label.className = "label";
    label.append(...spot.label.map((word) => Object.assign(document.createElement("span"), { textContent: word })));
    const hidden = document.createElement("span");
    hidden.className = "hidden-text";
    button.append(label, hidden);
    return button;
  }

  #mark(button, spot) {
    const here = spot === this.spot;
    button.className = [spot.waits ? (spot.counted.length ? "part" : "open") : "inked", spot.own ? "own" : "", spot.twice ? "twice" : "", this.plan.skipped.has(spot.key) ? "skipped" : ""].join(" ").trim();
    if (here) button.setAttribute("aria-current", "step");
    else button.removeAttribute("aria-current");
    button.tabIndex = here ? 0 : -1;
    const state = spot.twice ? "entered twice at once" : spot.own ? "read, kept on this tablet" : spot.waits ? (spot.counted.length ? "a repeat is planned" : "not read yet") : "read";
    button.lastElementChild.textContent = `, ${state}`;
  }

  /** The spot in hand is brought to the middle of the magnifier; the page itself does not move. */
  #show(button) {
    if (!button || this.held === button) return;
    this.held = button;
    this.lens.scrollLeft = button.offsetLeft - (this.lens.clientWidth - button.offsetWidth) / 2;
  }
}
