// A paper that takes longer than a moment: the page says that it is being made, and hands it over once it is. Without this script the bench's own page does so.
import { note, still } from "./note.js";

const AGAIN_MS = 700;
const SAID_AFTER_MS = 1000;

for (const link of document.querySelectorAll("a[data-paper]")) {
  link.addEventListener("click", async (event) => {
    if (event.metaKey || event.ctrlKey || event.shiftKey || link.ariaBusy === "true") return;
    event.preventDefault();
    link.ariaBusy = "true";
    const place = link.closest("li")?.querySelector("[data-being]");
    const timer = setTimeout(() => say(place, link, "Being made."), SAID_AFTER_MS);
    try {
      await fetched(link.href);
      say(place, link, "");
    } catch (refused) {
      say(place, link, refused.message);
    } finally {
      clearTimeout(timer);
      link.ariaBusy = null;
      link.classList.remove("being-made");
    }
  });
}

async function fetched(address) {
  let answer;
  do {
    answer = await fetch(address, { headers: { Accept: "application/json, */*" }, credentials: "same-origin" }).catch(() => null);
    if (!answer) throw new Error("The bench does not answer. Try again.");
    if (answer.status === 202) await new Promise((done) => setTimeout(done, AGAIN_MS));
  } while (answer.status === 202);
  if (!answer.ok) {
    const told = await answer.json().catch(() => ({}));
    throw new Error(told.detail || "It cannot be made.");
  }
  save(await answer.blob(), nameIn(answer));
}

const nameIn = (answer) => /filename="([^"]+)"/.exec(answer.headers.get("Content-Disposition") || "")?.[1] || "paper";

function save(blob, name) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}

function say(place, link, words) {
  link.classList.toggle("being-made", words !== "");
  if (place) place.textContent = words;
  else if (words) note(words);
  else still();
}
