// What every page does beside its own work. Without scripts nothing is lost but comfort.
"use strict";

const SCROLLERS = ".table-wrap, .picture, .paper-wrap, .paper > main, pre, header.frame nav";

// A box that is reached by key says what it is: by its caption, else by the heading above.
function nameScroller(box) {
  if (box.ariaLabel || box.hasAttribute("aria-labelledby") || box.matches("main, nav")) return;
  const above = [...document.querySelectorAll("main :is(h1, h2, h3, summary)")]
    .filter((heading) => heading.compareDocumentPosition(box) & Node.DOCUMENT_POSITION_FOLLOWING);
  const words = box.querySelector("caption, figcaption") ?? above.at(-1);
  if (!words) return;
  box.setAttribute("role", "region");
  box.setAttribute("aria-label", words.textContent.trim().replace(/\s+/g, " "));
}

// Whatever scrolls sideways can be reached, and scrolled, from the keyboard.
function reachScrollers() {
  for (const box of document.querySelectorAll(SCROLLERS)) {
    const scrolls = box.scrollWidth > box.clientWidth || box.scrollHeight > box.clientHeight;
    if (scrolls) nameScroller(box);
    if (scrolls) box.tabIndex = 0;
    else if (box.id !== "main") box.removeAttribute("tabindex");
  }
}

addEventListener("resize", reachScrollers);
document.addEventListener("htmx:afterSettle", reachScrollers);
document.addEventListener("toggle", reachScrollers, true);
document.addEventListener("DOMContentLoaded", reachScrollers);
addEventListener("load", reachScrollers);

// Parts of a page that load by themselves need htmx; a page without any does not fetch it.
// Coming after the page was read, htmx is told what it would have looked up by itself.
document.addEventListener("DOMContentLoaded", () => {
  if (!document.querySelector("[hx-get], [hx-post], [hx-trigger]")) return;
  const script = document.createElement("script");
  script.src = document.body.dataset.parts;
  script.addEventListener("load", () => {
    const settings = document.querySelector('meta[name="htmx-config"]').content;
    Object.assign(globalThis.htmx.config, JSON.parse(settings));
    globalThis.htmx.process(document.body);
  });
  document.head.append(script);
});

// A key that prints the page shows only where it can.
document.addEventListener("DOMContentLoaded", () => {
  for (const key of document.querySelectorAll("[data-print]")) {
    key.hidden = false;
    key.addEventListener("click", () => print());
  }
});

// A link that looks like a key is pressed like one: by Space too.
document.addEventListener("keydown", (event) => {
  const key = event.target;
  if (event.key !== " " || !(key instanceof HTMLAnchorElement) || key.role !== "button") return;
  event.preventDefault();
  key.click();
});

// Signed out, nothing of the book stays readable on this phone; entries not sent wait on.
function clearShelf() {
  if (document.body.dataset.user === "" && "caches" in globalThis) caches.delete("stall");
}

document.addEventListener("DOMContentLoaded", clearShelf);
