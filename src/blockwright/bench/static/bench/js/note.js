// A short word at the foot of the page, with a button or without; it takes no focus and moves nothing.
const place = document.querySelector("[data-note]");

export function note(words, label = "", act = null) {
  if (!place) return;
  place.replaceChildren(document.createTextNode(words));
  if (label) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = label;
    button.addEventListener("click", () => {
      still();
      act?.();
    });
    place.append(button);
  }
  place.hidden = false;
}

export function still() {
  if (!place) return;
  place.hidden = true;
  place.replaceChildren();
}
