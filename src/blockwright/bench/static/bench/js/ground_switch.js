// The switch between light and dark: system's own, or the other one, kept on this machine.
const root = document.documentElement;
const dark = matchMedia("(prefers-color-scheme: dark)");

const now = () => root.dataset.ground || (dark.matches ? "dark" : "light");

function choose(ground) {
  const own = dark.matches ? "dark" : "light";
  if (ground === own) delete root.dataset.ground;
  else root.dataset.ground = ground;
  try {
    if (ground === own) localStorage.removeItem("bw-ground");
    else localStorage.setItem("bw-ground", ground);
  } catch {
    /* kept for this page only */
  }
}

for (const button of document.querySelectorAll("[data-ground]")) {
  if (button === root) continue;
  button.addEventListener("click", () => choose(now() === "dark" ? "light" : "dark"));
}
