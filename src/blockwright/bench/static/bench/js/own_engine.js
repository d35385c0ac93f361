// The form for one's own engine: the unit beside each size follows the units chosen; the angle between banks is asked of a V alone.
const form = document.querySelector("form.own");
const units = form?.elements.units;
const layout = form?.elements.layout;

function show() {
  for (const each of form.querySelectorAll("[data-unit]")) each.textContent = units.value === "inch" ? "in" : "mm";
  const angle = form.querySelector("[data-field=bank_angle]");
  if (angle) angle.hidden = layout.value !== "V";
}

if (form && units && layout) {
  form.addEventListener("change", show);
  show();
}
