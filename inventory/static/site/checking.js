// A field is checked when it is left (inventory/forms/checking.py). The form goes to its
// own page with the field's name; what comes back stands under the field. Nothing is
// saved, the focus stays where it is. Without scripts the same is said on sending.
"use strict";

// A form half filled in is checked too: only sending it asks for every field.
document.addEventListener("htmx:confirm", ({ detail: { elt } }) => {
  if (elt.matches("form[data-checked]")) elt.noValidate = true;
});

document.addEventListener("htmx:configRequest", (event) => {
  const { elt, formData, triggeringEvent } = event.detail;
  if (!elt.matches("form[data-checked]")) return;
  elt.noValidate = false;
  const field = triggeringEvent?.target;
  if (!field?.name || field.type === "file") {
    event.preventDefault();
    return;
  }
  for (const each of elt.querySelectorAll("input[type=file]")) formData.delete(each.name);
  formData.set("check", field.name);
});

// What stands there already is not said again.
document.addEventListener("htmx:oobBeforeSwap", (event) => {
  const { target, fragment } = event.detail;
  if (target.matches(".said") && target.innerHTML === fragment.innerHTML) event.detail.shouldSwap = false;
});

document.addEventListener("htmx:oobAfterSwap", ({ detail: { target } }) => {
  const field = document.getElementById(target.id.replace(/_said$/, ""));
  const wrong = target.querySelector(".errorlist");
  if (wrong) field?.setAttribute("aria-invalid", "true");
  else field?.removeAttribute("aria-invalid");
});
