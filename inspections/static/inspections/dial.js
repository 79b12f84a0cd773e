// The drawing of the clock shows where the indicator was read: the places whose fields hold a figure are filled. The
// place of the field that has the focus is lit (up to twelve by the page's style alone); without one, the next empty.
const clock = document.querySelector("[data-clock]");

if (clock) {
  const fields = new Map(
    [...clock.querySelectorAll(".clock-place[data-place] input")].map((input) => [input.closest("[data-place]").dataset.place, input]),
  );
  const marks = [...clock.querySelectorAll(".dial [data-place]")];

  function draw() {
    const typing = [...fields].find(([, input]) => input === document.activeElement);
    const [next] = typing ?? [...fields].find(([, input]) => input.value.trim() === "") ?? [];
    for (const mark of marks) {
      mark.toggleAttribute("data-read", (fields.get(mark.dataset.place)?.value.trim() ?? "") !== "");
      mark.toggleAttribute("data-next", mark.dataset.place === next);
    }
  }

  for (const kind of ["focusin", "focusout", "input"]) clock.addEventListener(kind, () => setTimeout(draw));
  draw();
}
