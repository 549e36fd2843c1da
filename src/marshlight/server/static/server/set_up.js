// Shows only the fields that belong to what was chosen (a holder's kind, a vessel's shape).
// Without scripts all are shown, each saying what it is for.
(() => {
  "use strict";
  const form = document.querySelector("form[data-set-up]");
  if (!form) return;
  const dependent = [...form.querySelectorAll("[data-depends-on]")];

  function show() {
    for (const field of dependent) {
      const chosen = form.elements[field.dataset.dependsOn]?.value ?? "";
      field.hidden = !field.dataset.dependsValues.split(" ").includes(chosen);
    }
  }

  form.addEventListener("change", show);
  show();
})();
