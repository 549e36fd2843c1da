// The mixing page: only as many empty rows as needed, the volume only for a vessel without a
// name, and the mark on a field that is wrong. The page works without any of it.
(() => {
  "use strict";
  const form = document.getElementById("mix");
  if (!form) return;
  const rows = [...form.querySelectorAll("[data-rows] > li")];
  const vessel = form.querySelector("select[name=vessel]");
  const volume = form.querySelector("[data-volume]");
  const filled = (row) => [...row.querySelectorAll("input")].some((i) => i.value);

  function tidy() {
    let spare = 0;
    for (const row of rows) {
      spare += filled(row) ? 0 : 1;
      row.hidden = !filled(row) && spare > 1 && !row.contains(document.activeElement);
    }
    if (vessel && volume) volume.hidden = vessel.value !== "";
  }

  function mark() {
    for (const field of form.querySelectorAll("[aria-describedby^='slip-']")) {
      const slip = document.getElementById(field.getAttribute("aria-describedby"));
      if (slip?.textContent) field.setAttribute("aria-invalid", "true");
      else field.removeAttribute("aria-invalid");
    }
  }

  form.addEventListener("input", tidy);
  document.addEventListener("htmx:afterSettle", mark);
  tidy();
})();
