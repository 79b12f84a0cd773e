// While somebody types, the server judges what stands in the form so far and sends back value, verdict and picture.
// Nothing is written there. The form says where to ask (data-preview), the place for the answer is [data-preview-at].
const PAUSE_MS = 250;
const form = document.querySelector("form[data-preview]");
const place = document.querySelector("[data-preview-at]");
// One line of the answer, read aloud, and on a phone, where the answer is out of sight, shown above the main action.
const line = document.querySelector("[data-preview-line]");

if (form && place) {
  let waiting, asked;
  let shown = "";

  async function ask() {
    asked?.abort(); // an older answer must not overtake a newer one
    asked = new AbortController();
    const data = new FormData(form);
    for (const [name, value] of [...data]) if (value instanceof File) data.delete(name);
    const body = new URLSearchParams(data);
    const now = body.toString();
    if (now === shown) return;
    try {
      const answer = await fetch(form.dataset.preview, {
        method: "POST", body, signal: asked.signal, headers: { "X-Requested-With": "fetch" }, redirect: "error",
      });
      if (!answer.ok && answer.status !== 422) return;
      const html = await answer.text();
      shown = now;
      // Never smaller than before, so that nothing below it moves while somebody types.
      place.style.minHeight = `${Math.ceil(place.getBoundingClientRect().height)}px`;
      place.innerHTML = html;
      if (line) line.textContent = place.querySelector("[data-preview-summary]")?.textContent ?? "";
    } catch (error) {
      if (error.name !== "AbortError") place.dataset.offline = "yes"; // no network: recording says so itself
    }
  }

  function later() {
    clearTimeout(waiting);
    waiting = setTimeout(ask, PAUSE_MS);
  }

  form.addEventListener("input", later);
  form.addEventListener("change", later);
  form.addEventListener("submit", () => { clearTimeout(waiting); asked?.abort(); });
  // What is there already: a file's figures, a draft, a correction.
  if ([...form.querySelectorAll("input:not([type=hidden]):not([name^=temperature]), textarea")].some((field) => field.value)) later();
}
