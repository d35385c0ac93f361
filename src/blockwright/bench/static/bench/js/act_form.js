// A form that sends an act through the one door. `data-act` is its kind; a field named `gauge.id` goes to words.gauge.id, `parts[]` into a list.
// What is refused stands at its field. The key stays the same until the act is kept, so that a second tap does not keep it twice.
import { act, newKey } from "./door.js";

const IN_A_FILE = /^[\w.]+, \w+ \d+, (\w+): (.*)$/s; // the job's file and list, then the field and what is wrong there
const BARE = /^[+-]?\d+(?:[.,]\d+)?$/;

for (const form of document.querySelectorAll("form[data-act]")) {
  let key = newKey();
  let busy = false;
  form.noValidate = true;
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (busy) return;
    busy = true;
    clear(form);
    try {
      const { kept, told } = await act(form.dataset.act, wordsOf(form), { key });
      if (kept) {
        key = newKey();
        if (form.dataset.to) location.assign(form.dataset.to);
        else location.reload();
        return;
      }
      refuse(form, told);
    } catch {
      refuse(form, { problems: [{ what: "The bench does not answer.", mend: "Nothing was kept, as far as this page knows. Send it again: it is not kept twice.", field: "" }] });
    } finally {
      busy = false;
    }
  });
  form.addEventListener("input", () => (key = busy ? key : newKey()));
  for (const button of form.querySelectorAll("button[disabled]")) button.disabled = false; // sent before this stands, what was typed would be lost
}

function wordsOf(form) {
  const words = {};
  for (const field of form.elements) {
    if (!field.name || field.disabled) continue;
    const value = valueOf(field);
    if (value === undefined) continue;
    if (field.name.endsWith("[]")) (words[field.name.slice(0, -2)] ??= []).push(value);
    else if (field.name.includes(".")) {
      const [table, name] = field.name.split(".");
      (words[table] ??= {})[name] = value;
    } else words[field.name] = value;
  }
  if (!form.dataset.list) return words;
  const now = JSON.parse(document.getElementById(form.dataset.list).textContent);
  return { table: words.table, values: [...now, words.item || {}], was: now };
}

function valueOf(field) {
  if (field.type === "checkbox") return field.checked ? true : undefined;
  if (field.type === "radio" && !field.checked) return undefined;
  const typed = field.value.trim();
  if (typed === "") return undefined;
  if (field.dataset.shape === "yes") return typed === "yes";
  if (field.dataset.shape === "count" && /^\d{1,9}$/.test(typed)) return Number(typed);
  return field.dataset.unit && BARE.test(typed) ? `${typed} ${field.dataset.unit}` : typed;
}

function clear(form) {
  for (const each of form.querySelectorAll(".fault, .problems")) each.remove();
  for (const each of form.querySelectorAll("[aria-invalid]")) {
    each.removeAttribute("aria-invalid");
    each.removeAttribute("aria-errormessage");
  }
}

function refuse(form, told) {
  const said = told.problems?.length ? told.problems : [{ what: told.detail || told.title || "The bench refused it without a word.", mend: "", field: "" }];
  const problems = said.map(placed);
  const loose = problems.filter((problem) => !atField(form, problem));
  if (loose.length) form.prepend(block(loose));
  (form.querySelector("[aria-invalid]") || form.querySelector(".problems"))?.focus();
}

function placed(problem) {
  const found = IN_A_FILE.exec(problem.what || "");
  return found ? { ...problem, field: found[1], what: found[2] } : problem;
}

function atField(form, { what, mend, field }) {
  const name = field.split(", ").pop();
  const home = name && form.querySelector(`.field[data-field="${CSS.escape(name)}"]`);
  const input = home?.querySelector("input,select,textarea");
  if (!input) return false;
  const fault = document.createElement("span");
  fault.className = "fault";
  fault.id = `${input.id}-fault`;
  fault.setAttribute("role", "alert");
  fault.textContent = `${sentence(what)} ${mend}`.trim();
  input.setAttribute("aria-invalid", "true");
  input.setAttribute("aria-errormessage", fault.id);
  home.append(fault);
  return true;
}

function block(problems) {
  const made = document.createElement("div");
  made.className = "problems";
  made.tabIndex = -1;
  made.setAttribute("role", "alert");
  for (const { what, mend } of problems) {
    const line = document.createElement("p");
    const head = document.createElement("b");
    head.textContent = sentence(what);
    line.append(head, ` ${mend || ""}`);
    made.append(line);
  }
  return made;
}

const sentence = (text) => (text ? text[0].toUpperCase() + text.slice(1) : "");
