// What every page does beside its own work. Without scripts nothing is lost but comfort.
"use strict";

const SCROLLERS = ".table-wrap, .picture, .paper-wrap, .paper > main, pre, header.frame nav";

// Whatever scrolls sideways can be reached, and scrolled, from the keyboard.
function reachScrollers() {
  for (const box of document.querySelectorAll(SCROLLERS)) {
    const scrolls = box.scrollWidth > box.clientWidth || box.scrollHeight > box.clientHeight;
    if (scrolls) box.tabIndex = 0;
    else if (box.id !== "main") box.removeAttribute("tabindex");
  }
}

addEventListener("resize", reachScrollers);
document.addEventListener("htmx:afterSettle", reachScrollers);
document.addEventListener("toggle", reachScrollers, true);
document.addEventListener("DOMContentLoaded", reachScrollers);
addEventListener("load", reachScrollers);

// Signed out, nothing of the book stays readable on this phone; entries not sent wait on.
function clearShelf() {
  if (document.body.dataset.user === "" && "caches" in globalThis) caches.delete("stall");
}

document.addEventListener("DOMContentLoaded", clearShelf);
