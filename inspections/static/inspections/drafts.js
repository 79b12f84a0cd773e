// An interrupted entry is not lost: what was typed into a form with data-draft is kept after a pause, and on leaving.
const form = document.querySelector("form[data-draft]");
const PAUSE = 2500;
if (form?.dataset.draft) {
  // What came back unrecorded is on this page only: it is kept as if it had just been typed.
  let changed = "notRecorded" in form.dataset;
  let pause;
  const body = () => {
    const data = new FormData(form);
    data.delete("photo");
    data.set("quiet", "1");
    return data;
  };
  const keep = (leaving) => {
    if (!changed) return;
    changed = false;
    if (leaving) navigator.sendBeacon(form.dataset.draft, body());
    else fetch(form.dataset.draft, { method: "POST", body: body() }).catch(() => (changed = true));
  };
  form.addEventListener("input", () => {
    changed = true;
    clearTimeout(pause);
    pause = setTimeout(keep, PAUSE);
  });
  // What is sent is recorded or comes back with the page; it needs no second keeping.
  form.addEventListener("submit", () => {
    clearTimeout(pause);
    changed = false;
  });
  addEventListener("pagehide", () => keep(true));
  if (changed) pause = setTimeout(keep, PAUSE);
}
