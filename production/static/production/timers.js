// Counts down the steps that are running, from the moment the book keeps, so that a
// reload or another tablet shows the same. The page is complete without it.
"use strict";

const words = document.currentScript.dataset;

const text = (seconds) => {
  const whole = Math.abs(Math.round(seconds));
  const hours = Math.floor(whole / 3600);
  const minutes = Math.floor((whole % 3600) / 60);
  const rest = String(whole % 60).padStart(2, "0");
  return hours ? `${hours}:${String(minutes).padStart(2, "0")}:${rest}` : `${minutes}:${rest}`;
};

const tick = () => {
  for (const timer of document.querySelectorAll(".timer")) {
    const ends = Date.parse(timer.dataset.started) + Number(timer.dataset.minutes) * 60000;
    const left = (ends - Date.now()) / 1000;
    timer.querySelector("output").textContent = left >= 0 ? text(left) : words.up.replace("#", text(left));
    timer.classList.toggle("up", left < 0);
  }
};

tick();
setInterval(tick, 1000);
