// One step: counts by large keys, photos sent as they are taken, one button that signs, and undoing with a reason.
import { act, asSomebody, csrf, here, newKey, sendAct } from "./door.js";
import { SILENT, UNTOLD, clear, refuse } from "./route_said.js";

const form = document.getElementById("sign-form");
const undo = document.getElementById("undo-form");
const photos = new WeakMap();
let key = newKey();
let busy = false;

if (form) {
  form.addEventListener("click", (event) => {
    const button = event.target.closest("[data-by]");
    if (!button) return;
    const input = button.parentElement.querySelector("input");
    input.value = String(Math.max(0, (Number(input.value) || 0) + Number(button.dataset.by)));
    key = newKey();
  });
  form.addEventListener("input", () => (key = newKey()));
  form.addEventListener("change", (event) => event.target.dataset.word === "photos" && send(event.target));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    once(form, signed);
  });
}
undo?.addEventListener("submit", (event) => {
  event.preventDefault();
  once(undo, () => act("step undone", { step: undo.dataset.step, why: undo.querySelector("input").value.trim() }, { key }));
});

for (const each of [form, undo]) for (const button of each?.querySelectorAll("button[disabled]") || []) button.disabled = false;

async function once(of, doing) {
  if (busy) return;
  busy = true;
  clear(of);
  try {
    const { kept, told } = await doing();
    if (kept) return location.reload();
    refuse(of, told, home(of));
  } catch {
    refuse(of, SILENT, () => null);
  } finally {
    busy = false;
  }
}

async function signed() {
  const answer = await sendAct(form.dataset.sign, { kind: "step signed", words: words(), key, at: here(), pin: document.getElementById("eyes-pin")?.value || "" });
  return { kept: answer.ok, told: await answer.json().catch(() => ({})) };
}

const all = (word) => [...form.querySelectorAll(`[data-word="${word}"]`)];
const value = (field) => (field.dataset.word === "photos" ? photos.get(field) || "" : field.value.trim());

/** Answers in the order in which the step asks. A list has no gaps: those after the first blank keep their place here, and are told with it. */
function upToBlank(word) {
  const given = all(word).map(value);
  const blank = given.indexOf("");
  return blank < 0 ? given : given.slice(0, blank);
}

/** Whether an item was answered behind a blank one of its kind, so that the bench was not told of it yet. */
function untold(item) {
  const field = item.querySelector("[data-word]");
  return ["counts", "paint", "photos"].includes(field?.dataset.word) && value(field) !== "" && all(field.dataset.word).indexOf(field) >= upToBlank(field.dataset.word).length;
}

function words() {
  const said = { step: form.dataset.step };
  for (const word of ["counts", "paint", "photos"]) if (all(word).length) said[word] = upToBlank(word);
  const eyes = all("eyes").map(value);
  if (eyes.length && eyes.every(Boolean)) said.eyes = [...new Set(eyes)].join(", ");
  const looks = all("looks").filter(value).map((field) => `${field.dataset.fit}: ${value(field)}`);
  if (looks.length) said.looks = looks;
  const note = form.querySelector("#note").value.trim();
  if (note) said.note = note;
  return said;
}

/** The thing that a problem is about, by how the problem begins; what is filled in behind a blank is not at fault. */
function home(of) {
  return ({ what, field, code }) => {
    if (of === undo) return field === "why" ? undo.querySelector("[data-field=why]") : null;
    if (code?.startsWith("pin")) return form.querySelector("[data-field=pin]");
    const said = what.toLowerCase();
    const begun = [...document.querySelectorAll("main [data-begins]")].filter((each) => said.startsWith(each.dataset.begins.toLowerCase()) && !each.querySelector(".fault"));
    const found = begun.filter((each) => !untold(each));
    if (begun.length && !found.length) return UNTOLD;
    return found.find((each) => each.classList.contains("item")) || found[0] || (field === "eyes" ? form.querySelector("[data-kind=eyes]") : null);
  };
}

async function send(field) {
  const place = field.closest(".field");
  const said = place.querySelector("[data-photo-said]");
  const shown = place.querySelector("img");
  photos.delete(field);
  shown.hidden = true;
  const file = field.files[0];
  if (!file) return;
  said.textContent = "Being sent.";
  const body = new FormData();
  body.append("photo", file);
  try {
    const answer = await asSomebody(() => fetch(form.dataset.photos, { method: "POST", credentials: "same-origin", headers: { Accept: "application/json", "X-CSRFToken": csrf() }, body }));
    const told = await answer.json().catch(() => ({}));
    if (!answer.ok) throw new Error(told.problems?.map((each) => `${each.what} ${each.mend}`).join(" ") || told.detail || "The bench does not take it.");
    photos.set(field, `${told.photo} from ${file.name.replace(/[^\p{L}\p{N}._ -]/gu, "_").slice(-60)}`);
    shown.src = `${form.dataset.photos}${told.photo}/`;
    shown.hidden = false;
    said.textContent = "Kept. It goes under the signature.";
  } catch (fault) {
    said.textContent = fault instanceof TypeError ? "A photo needs the network, and the bench does not answer. Choose it again when it does." : fault.message;
    field.value = "";
  }
}
