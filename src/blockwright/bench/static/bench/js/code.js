// A code that was scanned stands behind the # of the address, which no server is sent: it is put into the form, and out of the address.
const code = decodeURIComponent(location.hash.slice(1));
const field = document.querySelector("input[name=code]");
if (code && field) {
  field.value = code;
  history.replaceState(null, "", location.pathname);
  const next = Array.from(field.form.querySelectorAll("input:not([type=hidden])")).find((each) => !each.value);
  (next || field.form.querySelector("button")).focus();
}
