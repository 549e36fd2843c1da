// The print button; without scripts the browser's own menu prints the same page.
(() => {
  "use strict";
  document.querySelector("[data-print]")?.addEventListener("click", () => print());
})();
