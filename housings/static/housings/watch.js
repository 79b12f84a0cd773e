// Says when somebody else has written to the housing since this page was loaded. Nothing on the page moves by itself:
// what is being typed stays, and the person loads it again when they want to.
const EVERY_MS = 10_000;
const notice = document.querySelector("[data-watch]");

async function look() {
  if (document.hidden || !notice.hidden) return;
  try {
    const answer = await fetch(notice.dataset.watch, { cache: "no-cache", redirect: "error" });
    if (!answer.ok) return;
    const { record_position } = await answer.json();
    notice.hidden = record_position === Number(notice.dataset.seen);
  } catch {
    // no network, or signed out meanwhile: the next button pressed will say so
  }
}

setInterval(look, EVERY_MS);
document.addEventListener("visibilitychange", look);
