// Marks a field that is wrong once the answer came back, and fills a long field from a file; the
// page works without it.
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

  // What is typed stands in the address: of a long file every so many lines are kept.
  const mostLines = 300;
  for (const file of form.querySelectorAll("input[type=file][data-fills]")) {
    file.addEventListener("change", async () => {
      if (!file.files.length) return;
      const lines = (await file.files[0].text()).split(/\r?\n/).filter((line) => line.trim());
      const every = Math.ceil(lines.length / mostLines);
      const field = form.elements[file.dataset.fills];
      field.value = lines.filter((_, i) => i % every === 0).join("\n");
      field.dispatchEvent(new Event("change", { bubbles: true }));
    });
  }
})();
