// Plus and minus keys without a round trip. Without scripts the same keys send the form.
"use strict";

function numberOf(input) {
  return Math.max(Number.parseInt(input.value, 10) || 0, 0);
}

function showTotal(form) {
  const place = form.querySelector("[data-total]");
  if (!place) return;
  const inputs = form.querySelectorAll(`input[name^="${place.dataset.total}"]`);
  const total = [...inputs].reduce((sum, input) => sum + numberOf(input), 0);
  place.textContent = `${total} ${place.dataset.word || ""}`.trim();
}

function showBalance(row) {
  const place = row.querySelector(".balance");
  if (!place) return;
  const figure = (name) => row.querySelector(`input[name^="${name}-"]`);
  const known = ["back", "sampled", "broken", "given"]
    .map((name) => numberOf(figure(name)))
    .reduce((sum, number) => sum + number, 0);
  const tally = figure("sold").value.trim();
  const left = Number(row.dataset.taken) - known;
  const amiss = tally === "" ? left < 0 : left - numberOf(figure("sold"));
  const words = place.dataset;
  place.textContent = tally === "" ? `${words.sold} ${left}` : `${words.unaccounted} ${amiss}`;
  place.classList.toggle("amiss", Boolean(amiss));
}

for (const form of document.querySelectorAll("form.counting")) {
  form.addEventListener("click", (event) => {
    const key = event.target.closest("button[data-step]");
    if (!key) return;
    event.preventDefault();
    const input = key.parentElement.querySelector("input");
    input.value = Math.max(numberOf(input) + Number(key.dataset.step), 0);
    input.dispatchEvent(new Event("input", { bubbles: true }));
  });
  form.addEventListener("input", (event) => {
    const row = event.target.closest(".count-row");
    if (row) showBalance(row);
    showTotal(form);
  });
  form.querySelectorAll(".count-row").forEach(showBalance);
  showTotal(form);
}
