// The builder's own steps: a step added, moved or struck, by sending the whole list of changes through the one door.
import { act, newKey } from "./door.js";
import { SILENT, clear, refuse } from "./route_said.js";

const listed = JSON.parse(document.getElementById("listed")?.textContent || "[]");
let busy = false;

for (const form of document.querySelectorAll("form[data-own]"))
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    send(form, [...listed, change(form)]);
  });
for (const button of document.querySelectorAll("form[data-own] button[disabled]")) button.disabled = false;
for (const button of document.querySelectorAll("[data-take-back]")) {
  button.addEventListener("click", () => {
    const index = Number(button.dataset.takeBack);
    send(button.closest("section"), listed.filter((_, at) => at !== index));
  });
  button.disabled = false;
}

async function send(of, values) {
  if (busy) return;
  busy = true;
  clear(of);
  try {
    const { kept, told } = await act("sheet changed", { table: "step", values, was: listed }, { key: newKey() });
    if (kept) return location.reload();
    refuse(of, { ...told, problems: (told.problems || []).map(plain) }, ({ field }) => field && of.querySelector(`[data-field="${CSS.escape(field)}"]`));
  } catch {
    refuse(of, SILENT, () => null);
  } finally {
    busy = false;
  }
}

/** The reader says where in the sheet a fault lies; here the field alone is wanted. */
function plain(problem) {
  const placed = /^(?:job\.toml, )?step \d+(?:, evidence \d+)?, (\w+)(?:, \w+)?: (.*)$/s.exec(problem.what);
  if (placed) return { ...problem, field: placed[1], what: placed[2] };
  const field = (problem.field || "").split(", ").pop();
  return { ...problem, field };
}

function change(form) {
  const said = {};
  for (const field of form.querySelectorAll("[data-word]")) {
    const typed = field.value.trim();
    if (!typed) continue;
    const word = field.dataset.word;
    said[word] = word === "do" ? lines(typed, "\n") : word === "after" || word === "before" ? lines(typed, ";") : typed;
  }
  if (form.dataset.own === "add") said.key = said.name ? `own: ${said.name.toLowerCase().replace(/[^\p{L}\p{N} ]+/gu, " ").replace(/\s+/g, " ").trim()}` : "own: step";
  if (form.dataset.own === "add" && !said.name) delete said.key;
  if (form.dataset.own === "strike") Object.assign(said, { struck: true, by: form.dataset.name });
  const pieces = [...form.querySelectorAll("[data-piece]")].map(piece).filter((each) => each.proof);
  if (pieces.length) said.evidence = pieces;
  return said;
}

const lines = (text, by) => text.split(by).map((each) => each.trim()).filter(Boolean);

function piece(place) {
  const told = {};
  for (const field of place.querySelectorAll("[data-part]")) {
    const typed = field.value.trim();
    if (typed) told[field.dataset.part] = field.dataset.part === "number" && /^\d+$/.test(typed) ? Number(typed) : typed;
  }
  return told;
}
