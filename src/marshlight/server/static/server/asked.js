// Marks a field that is wrong once the answer came back; the page works without it.
(() => {
  "use strict";
  const form = document.querySelector("form[data-asked]");
  if (!form) return;
  document.addEventListener("htmx:afterSettle", () => {
    for (const field of form.querySelectorAll("[aria-describedby^='slip-']")) {
      const slip = document.getElementById(field.getAttribute("aria-describedby"));
      if (slip?.textContent) field.setAttribute("aria-invalid", "true");
      else field.removeAttribute("aria-invalid");
    }
  });
})();
