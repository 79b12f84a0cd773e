// After a reading its verdict stands at the top of the page; what is typed next still goes to the next figure.
document.querySelector("[data-focus-quietly]")?.focus({ preventScroll: true });
