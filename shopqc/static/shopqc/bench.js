// For gloves and scanners. Enter, also from a gauge or scanner that types, moves on to the next empty field of a form
// marked data-enter-moves-on and sends it from the last; what is scanned while nothing has the focus lands in [data-scan].
// What is folded away is not asked for: Enter does not wait for it.
const seen = (field) => (field.checkVisibility ? field.checkVisibility() : field.offsetParent !== null);
const fields = (form) =>
  [...form.querySelectorAll("input:not([type=hidden]), select")].filter((field) => !field.disabled && seen(field));

document.addEventListener("keydown", (event) => {
  const field = event.target;
  const form = field.form;
  if (event.key === "Enter" && form?.hasAttribute("data-enter-moves-on") && field.matches("input")) {
    const all = fields(form);
    const next = all.slice(all.indexOf(field) + 1).find((other) => other.value === "");
    if (next) {
      event.preventDefault();
      next.focus();
    }
    return;
  }
  const scan = document.querySelector("[data-scan]");
  const nobody = document.activeElement === document.body || document.activeElement?.id === "main";
  if (scan && nobody && event.key.length === 1 && !event.ctrlKey && !event.metaKey && !event.altKey) {
    scan.select();
    scan.focus(); // the key that is being pressed goes there too
  }
});

// Where the answer to what was typed before stands at the top, the next field has the focus without the page moving to
// it. Going to a place in the page takes the focus away when the page has loaded, so that it is given once more then.
function focusQuietly() {
  if (document.activeElement === document.body) {
    document.querySelector("[data-focus-quietly]")?.focus({ preventScroll: true });
  }
}
focusQuietly();
addEventListener("load", () => setTimeout(focusQuietly));
