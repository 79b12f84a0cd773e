// Looks at the lines of the bench again every second or two; the answer is empty while nothing has changed. Nothing
// moves under a finger: while somebody is at the lines they stay, and what had the focus keeps it.
const EVERY_MS = 1500;
const HANDS_OFF_MS = 2500;
const SETTLED_MS = 600;
const LOST_MS = 10_000;
const lines = document.querySelector("[data-lines]");
const lost = document.querySelector("[data-lost]");
let etag = lines.dataset.etag;
let touched = 0;
let heard = Date.now();

for (const what of ["pointerdown", "pointermove", "keydown"]) {
  lines.addEventListener(what, () => (touched = Date.now()), { passive: true });
}
addEventListener("scroll", () => (touched = Date.now()), { passive: true });
const handsOn = () => Date.now() - touched < HANDS_OFF_MS || lines.querySelector("form[data-sent]") !== null;

async function look() {
  if (document.hidden || handsOn()) return;
  try {
    const answer = await fetch(lines.dataset.lines, {
      headers: { "If-None-Match": etag },
      cache: "no-store",
      redirect: "error",
    });
    if (answer.status === 304 || answer.ok) heard = Date.now();
    if (answer.ok) {
      const words = await answer.text();
      if (handsOn()) return;
      etag = answer.headers.get("ETag");
      show(words);
    }
  } catch {
    // no network, or signed out meanwhile: what stands here is said to be old
  }
  lost.hidden = Date.now() - heard < LOST_MS;
}

function show(words) {
  const focused = lines.contains(document.activeElement) ? document.activeElement.id : "";
  const order = () => [...lines.querySelectorAll(".weld-line")].map((one) => one.id).join();
  const before = order();
  lines.innerHTML = words;
  if (order() !== before) {
    // A finger that is on its way already would meet another line than the one it was meant for.
    lines.style.pointerEvents = "none";
    setTimeout(() => (lines.style.pointerEvents = ""), SETTLED_MS);
  }
  if (focused) document.getElementById(focused)?.focus({ preventScroll: true });
}

async function goOn() {
  await look();
  setTimeout(goOn, EVERY_MS);
}
setTimeout(goOn, EVERY_MS);
document.addEventListener("visibilitychange", look);
