// Puts each problem of a refusal beside the thing it is about; what belongs to none stands at the head of the form.
const sentence = (text) => (text ? text[0].toUpperCase() + text.slice(1) : "");

export function clear(form) {
  for (const each of document.querySelectorAll("main .fault, main [data-loose] .problems")) each.remove();
  for (const each of document.querySelectorAll("main .slot-fault")) each.hidden = true;
  for (const each of form.querySelectorAll("[aria-invalid]")) {
    each.removeAttribute("aria-invalid");
    each.removeAttribute("aria-errormessage");
  }
}

/** The home of a problem with what the bench was not told of yet: it is no fault, and is not shown. */
export const UNTOLD = Symbol("untold");

/** `home(problem)` is the element a problem belongs to, `UNTOLD`, or nothing. */
export function refuse(form, told, home) {
  const problems = told.problems?.length ? told.problems : [{ what: told.detail || told.title || "The bench refused it without a word.", mend: "" }];
  const loose = [];
  for (const problem of problems) {
    const place = home(problem);
    if (place === UNTOLD) continue;
    if (place) beside(place, problem);
    else loose.push(problem);
  }
  if (loose.length) head(form, loose);
  (form.querySelector("[aria-invalid]") || form.querySelector(".problems") || document.querySelector(".slot-fault:not([hidden])"))?.focus();
}

function beside(place, { what, mend }) {
  const words = `${sentence(what)} ${place.dataset.mend || mend || ""}`.trim();
  if (place.classList.contains("slot-fault")) {
    place.textContent = words;
    place.tabIndex = -1;
    place.hidden = false;
    return;
  }
  const input = place.querySelector("input,select,textarea");
  const fault = document.createElement("span");
  fault.className = "fault";
  fault.id = `${input.id}-fault`;
  fault.setAttribute("role", "alert");
  fault.textContent = words;
  place.append(fault);
  input.setAttribute("aria-invalid", "true");
  input.setAttribute("aria-errormessage", fault.id);
}

function head(form, problems) {
  const made = document.createElement("div");
  made.className = "problems";
  made.tabIndex = -1;
  made.setAttribute("role", "alert");
  for (const { what, mend } of problems) {
    const line = document.createElement("p");
    const bold = document.createElement("b");
    bold.textContent = sentence(what);
    line.append(bold, ` ${mend || ""}`);
    made.append(line);
  }
  form.querySelector("[data-loose]")?.append(made) ?? form.prepend(made);
}

export const SILENT = { problems: [{ what: "The bench does not answer.", mend: "Nothing was kept, as far as this page knows; what you typed is still here. Send it again: it is not kept twice." }] };
