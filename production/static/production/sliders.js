// Shows a slider's figure beside it while it moves; the page works without this.
"use strict";
document.addEventListener("input", (event) => {
  const moved = event.target;
  if (!(moved instanceof HTMLInputElement) || moved.type !== "range") return;
  const shown = document.querySelector(`output[data-of="${CSS.escape(moved.id)}"]`);
  if (shown) shown.textContent = Number(moved.value).toFixed(2);
});
