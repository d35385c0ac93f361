// Light or dark as it was chosen on this machine, set before anything is drawn so that nothing flashes. Loaded in the head, not as a module.
(() => {
  let kept = "";
  try {
    kept = localStorage.getItem("bw-ground") || "";
  } catch {
    return; // storage is closed to us: the system decides
  }
  if (kept === "light" || kept === "dark") document.documentElement.dataset.ground = kept;
})();
