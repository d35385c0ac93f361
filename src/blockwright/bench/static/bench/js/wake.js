// Keeps the screen lit while measuring, with a switch that shows it. The lock ends by itself when the page is hidden, and is asked for again.
const KEPT = "bw-lit";
let lock = null;
let wanted = true;

export function keepLit(button) {
  const able = "wakeLock" in navigator;
  try {
    wanted = localStorage.getItem(KEPT) !== "no";
  } catch {
    wanted = true;
  }
  if (!able) {
    button.disabled = true;
    button.querySelector("[data-said]").textContent = "Screen: this browser lets it go dark";
    return;
  }
  const show = () => {
    button.setAttribute("aria-pressed", String(wanted));
    button.querySelector("[data-said]").textContent = !wanted ? "Screen may go dark" : lock ? "Screen is kept on" : "Screen is to stay on";
  };
  const hold = async () => {
    if (!wanted || lock || document.hidden) return;
    try {
      lock = await navigator.wakeLock.request("screen");
      lock.addEventListener("release", () => {
        lock = null;
        show();
      });
    } catch {
      lock = null; // a low battery refuses; asked again when the page is next looked at
    }
    show();
  };
  button.addEventListener("click", async () => {
    wanted = !wanted;
    try {
      localStorage.setItem(KEPT, wanted ? "yes" : "no");
    } catch {
      /* for this page only */
    }
    if (!wanted) await lock?.release();
    show();
    hold();
  });
  document.addEventListener("visibilitychange", hold);
  show();
  hold();
}
