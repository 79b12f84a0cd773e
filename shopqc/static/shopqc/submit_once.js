// A form is sent once: the second tap while the first is under way does nothing, and the button says so at once.
// Without scripts the operation's key does the same at the server; this only spares the wait.
const GIVE_UP_MS = 20_000;

function release(form) {
  delete form.dataset.sent;
  for (const button of form.querySelectorAll("[aria-busy]")) {
    button.removeAttribute("aria-busy");
    button.textContent = button.dataset.words;
  }
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (event.defaultPrevented || form.method === "get") return;
  if (form.dataset.sent) {
    event.preventDefault();
    return;
  }
  form.dataset.sent = "yes";
  const button = event.submitter ?? form.querySelector(".do");
  if (button instanceof HTMLButtonElement) {
    button.dataset.words = button.textContent;
    button.setAttribute("aria-busy", "true"); // not disabled: a disabled button would not send its own value
    button.textContent = form.dataset.sending ?? button.dataset.words + " …";
  }
  setTimeout(() => release(form), GIVE_UP_MS); // a dead network: let the person try again
});

// The back button shows the page as it was left.
addEventListener("pageshow", (event) => {
  if (event.persisted) document.querySelectorAll("form[data-sent]").forEach(release);
});
