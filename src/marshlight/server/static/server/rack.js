// Reading a rack with one hand: Enter and the arrow keys go from bottle to bottle.
(() => {
  "use strict";
  const form = document.querySelector("form[data-rack]");
  if (!form) return;
  const cells = [...form.querySelectorAll(".rack-cell input")];
  form.addEventListener("keydown", (e) => {
    const here = cells.indexOf(e.target);
    if (here < 0) return;
    const step = { Enter: 1, ArrowDown: 1, ArrowUp: -1 }[e.key];
    if (!step) return;
    e.preventDefault();
    const next = cells[here + step];
    if (next) { next.focus(); next.select(); }
    else if (step > 0) form.querySelector("#barometer").focus();
  });
  (cells.find((cell) => cell.getAttribute("aria-invalid")) ?? cells[0])?.focus({ preventScroll: true });
})();
