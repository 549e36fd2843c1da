// Large number keys for wet gloves; the field still takes a keyboard, and works without this.
(() => {
  "use strict";
  const field = document.querySelector("input[data-number]");
  const pad = document.querySelector(".keys");
  if (!field || !pad) return;
  // The pad is enough on a touch screen: keep the system keyboard from covering it.
  if (matchMedia("(pointer: coarse)").matches) field.inputMode = "none";
  else field.focus();
  pad.addEventListener("click", (e) => {
    const key = e.target.closest("button")?.dataset.key;
    if (!key) return;
    if (key === "back") field.value = field.value.slice(0, -1);
    else if (key === "minus") field.value = field.value.startsWith("-") ? field.value.slice(1) : `-${field.value}`;
    else if (key !== "." || !field.value.includes(".")) field.value += key;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  });
})();
