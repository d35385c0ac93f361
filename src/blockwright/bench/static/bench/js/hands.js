// Changing hands without leaving the page: tap the name at the top, tap another, type the PIN. What is being entered is not touched.
//
// Before the change, `hands-changing` is sent from the document; whoever has something to send under the old name first calls
// `event.detail.hold(promise)`. After it, `hands-changed` with the name. `askHands()` opens the dialog by itself, for an answer that says
// that nobody is signed in any more; with `leave: false` nobody called for it, and it gives way to whatever is entered.
import { note, still } from "./note.js";

const HANDS = "/hands/";
const TOLD_MS = 5000;
/** Pages that are about the person and hold no reading: they are shown anew. */
const ABOUT_PEOPLE = /^\/(hands|people)\//;
const LOOK = new URL("../people.css", import.meta.url).href;
let dialog = null;
let asked = null; // what the open dialog comes to

/** The pieces of the dialog are drawn by a sheet of their own, which other pages do not bring. */
function dress() {
  if (Array.from(document.styleSheets).some((sheet) => sheet.href === LOOK)) return;
  const link = document.createElement("link");
  link.rel = "stylesheet";
  link.href = LOOK;
  document.head.append(link);
}

/** The PIN pad's keys, and a tap on a name that leads on to the PIN. */
export function wire(form, byScript) {
  const pin = form.elements.pin;
  const keys = form.querySelector("[data-keys]");
  const touch = matchMedia("(pointer: coarse)").matches;
  keys.hidden = false;
  form.querySelector("[data-plain]").hidden = true;
  if (touch) pin.inputMode = "none"; // our own keys are larger than the system's
  for (const each of form.querySelectorAll("input[name=hand]")) each.addEventListener("change", () => ((pin.value = ""), pin.focus()));
  keys.addEventListener("click", (event) => {
    const key = event.target.closest("[data-key]")?.dataset.key;
    if (!key) return;
    pin.value = key === "back" ? pin.value.slice(0, -1) : (pin.value + key).slice(0, pin.maxLength);
  });
  if (byScript) form.addEventListener("submit", (event) => (event.preventDefault(), change(form)));
}

/** Open the dialog. Resolves to true where hands were changed; where the dialog cannot be had, goes to the page for it, if it may leave this one. */
export async function askHands({ leave = true, words = "" } = {}) {
  if (dialog?.open) return asked;
  const answer = await fetch(`${HANDS}?part=1`, { credentials: "same-origin", headers: { Accept: "text/html" } }).catch(() => null);
  if (!answer) return note("No connection: hands cannot be changed now."), false;
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const form = page.querySelector("form[data-change]");
  if (!answer.ok || answer.redirected || !form) {
    if (leave) location.href = `${HANDS}?next=${encodeURIComponent(location.pathname)}`;
    return false;
  }
  dress();
  asked = new Promise((done) => {
    dialog = document.createElement("dialog");
    dialog.className = "hands-over";
    dialog.setAttribute("aria-label", "Whose hands?");
    const head = document.createElement("div");
    head.className = "head";
    const title = document.createElement("h2");
    title.textContent = "Whose hands?";
    const shut = document.createElement("button");
    shut.type = "button";
    shut.textContent = "Leave it";
    shut.addEventListener("click", () => dialog.close());
    head.append(title, shut);
    dialog.append(head, ...(words ? [Object.assign(document.createElement("p"), { textContent: words })] : []), document.adoptNode(form));
    if (!leave) dialog.addEventListener("keydown", giveWay);
    const before = document.activeElement;
    dialog.addEventListener("close", () => (done(dialog.returnValue === "changed"), dialog.remove(), backTo(before)));
    document.body.append(dialog);
    wire(form, true);
    dialog.showModal();
    form.querySelector("input[name=hand]")?.focus();
  });
  return asked;
}

/** A field that gets the focus back from a dialog takes no text in Chromium before it lost the focus once and got it anew. */
function backTo(field) {
  if (document.activeElement !== field || field === document.body) return;
  field.blur();
  field.focus({ preventScroll: true });
}

/** What a gauge types goes into the entry: a question that nobody called for does not stand in its way. */
function giveWay(event) {
  if (/^[\d.,+\-−]$/.test(event.key) && event.target.name !== "pin") dialog.close();
}

async function change(form) {
  const fault = form.querySelector("[data-fault]");
  fault.textContent = "";
  const holding = [];
  document.dispatchEvent(new CustomEvent("hands-changing", { detail: { hold: (promise) => holding.push(promise) } }));
  await Promise.allSettled(holding);
  const answer = await fetch(HANDS, {
    method: "POST",
    credentials: "same-origin",
    headers: { Accept: "application/json", "X-CSRFToken": form.elements.csrfmiddlewaretoken.value },
    body: new FormData(form),
  }).catch(() => null);
  if (!answer) return void (fault.textContent = "No connection. Nothing was changed.");
  const told = await answer.json().catch(() => ({}));
  if (!answer.ok) {
    const problem = told.problems?.[0];
    fault.textContent = problem ? `${problem.what[0].toUpperCase()}${problem.what.slice(1)} ${problem.mend}` : told.detail || "That did not work.";
    form.elements.pin.value = "";
    form.elements.pin.focus();
    return;
  }
  changed(told);
}

function changed({ name, token }) {
  for (const each of document.querySelectorAll("[data-hand-name]")) each.textContent = name;
  const meta = document.querySelector("meta[name=csrf]");
  if (meta) meta.content = token;
  if (document.body.hasAttribute("hx-headers")) document.body.setAttribute("hx-headers", JSON.stringify({ "X-CSRFToken": token }));
  for (const each of document.querySelectorAll("input[name=csrfmiddlewaretoken]")) each.value = token;
  document.dispatchEvent(new CustomEvent("hands-changed", { detail: { name } }));
  dialog.close("changed");
  if (ABOUT_PEOPLE.test(location.pathname)) return location.assign("/hands/own/");
  note(`${name} is at this tablet.`);
  setTimeout(still, TOLD_MS);
}

const onPage = document.querySelector("main form[data-change]");
if (onPage) wire(onPage, false);
for (const link of document.querySelectorAll("a[data-hands]"))
  link.addEventListener("click", (event) => {
    event.preventDefault();
    if (onPage) onPage.elements.pin.focus();
    else askHands();
  });
