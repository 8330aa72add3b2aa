// The stall without a connection: starts the worker, shelves the day's pages, and shows
// what waits on this phone. Needs https (or this very machine); otherwise does nothing.
"use strict";

const RETRY_MS = 5000;
const SETTLE_MS = 1000; // the page first, then its shelf
const MINE = Number(new URLSearchParams(location.search).get("mine"));
const place = document.getElementById("kept");

function rows() {
  return idb.openDB("stall", 1, {
    upgrade: (base) => base.createObjectStore("entries", { keyPath: "id", autoIncrement: true }),
  });
}

// A page shown again, from the shelf or by going back, must not repeat a touch's mark.
function renewMarks() {
  for (const mark of document.querySelectorAll('form input[name="token"]')) mark.value = crypto.randomUUID();
}

async function shelve() {
  const shelf = await caches.open("stall");
  const parts = performance.getEntriesByType("resource").map((part) => part.name);
  const wanted = [...parts.filter((name) => name.startsWith(location.origin)), location.href.split("#")[0]];
  for (const link of document.querySelectorAll("[data-shelve]")) wanted.push(new URL(link.dataset.shelve, location).href);
  for (const address of new Set(wanted)) {
    const response = await fetch(address).catch(() => null);
    if (response?.ok && !response.redirected) await shelf.put(address, response);
  }
}

function line(entry) {
  const item = document.createElement("li");
  const hour = new Date(entry.at).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
  const kind = entry.address.split("/").at(-2);
  item.textContent = `${hour} ${place.dataset[{ out: "out", back: "back", touch: "touch", "sold-out": "soldOut" }[kind]]}`;
  if (!entry.refused) return item;
  item.append(`: ${new DOMParser().parseFromString(entry.refused, "text/html").body.textContent} `);
  if (kind === "out" || kind === "back") {
    const open = document.createElement("a");
    open.href = `${entry.address}?mine=${entry.id}`;
    open.textContent = place.dataset.mine;
    item.append(open, " ");
  }
  const drop = document.createElement("button");
  drop.type = "button";
  drop.className = "as-link";
  drop.textContent = place.dataset.drop;
  drop.addEventListener("click", async () => {
    await (await rows()).delete("entries", entry.id);
    showKept();
  });
  item.append(drop);
  return item;
}

function list(entries, heading, kind) {
  if (entries.length === 0) return;
  const box = document.createElement("div");
  box.className = kind;
  const title = document.createElement("p");
  title.textContent = heading.replace("#", entries.length);
  const items = document.createElement("ul");
  items.append(...entries.map(line));
  box.append(title, items);
  place.append(box);
}

// What waits is shown in the figures too, so that nobody enters it again.
function fillIn(entries) {
  for (const entry of entries) {
    const kind = entry.address.split("/").at(-2);
    const values = Object.fromEntries(entry.fields);
    if (entry.address === location.pathname && (!entry.refused || entry.id === MINE)) fillForm(values);
    if (kind === "touch" && !entry.refused) addTouch(values);
  }
}

function fillForm(values) {
  for (const [name, value] of Object.entries(values)) {
    const input = document.querySelector(`form.counting input[type="number"][name="${CSS.escape(name)}"]`);
    if (!input) continue;
    input.value = value;
    input.dispatchEvent(new CustomEvent("input", { bubbles: true, detail: "kept" }));
  }
}

function addTouch(values) {
  const step = values.back ? -1 : 1;
  for (const form of document.querySelectorAll('form[action$="/touch/"]')) {
    const same = form.elements.lot?.value === values.lot && form.elements.reason?.value === values.reason;
    const figure = same && form.querySelector("strong");
    if (figure) figure.textContent = Math.max(Number(figure.textContent) + step, 0);
  }
  const input = document.querySelector(`form.counting input[name="${CSS.escape(`${values.reason}-${values.lot}`)}"]`);
  if (!input) return;
  input.value = Math.max((Number(input.value) || 0) + step, 0);
  input.dispatchEvent(new CustomEvent("input", { bubbles: true, detail: "kept" }));
}

async function showKept() {
  const entries = await (await rows()).getAll("entries");
  place.replaceChildren();
  list(entries.filter((entry) => !entry.refused), place.dataset.waiting, "note");
  list(entries.filter((entry) => entry.refused), place.dataset.refused, "stop");
  place.dataset.count = entries.length;
  return entries;
}

async function heard(event) {
  await showKept();
  if (!event.data.sent) return;
  const box = document.createElement("p");
  box.className = "note";
  const again = document.createElement("a");
  again.href = location.pathname;
  again.textContent = place.dataset.again;
  box.append(place.dataset.sent.replace("#", event.data.sent), " ", again);
  place.append(box);
}

// Figures put in again by hand need not wait any longer.
function settle() {
  const form = document.querySelector("form.counting");
  if (MINE && form) form.addEventListener("submit", async () => (await rows()).delete("entries", MINE));
}

async function start() {
  settle();
  renewMarks();
  fillIn(await showKept());
  navigator.serviceWorker.addEventListener("message", heard);
  await navigator.serviceWorker.register("/worker.js", { scope: "/stall/" });
  const { active } = await navigator.serviceWorker.ready;
  addEventListener("online", () => active.postMessage("send"));
  active.postMessage("send");
  setInterval(() => place.querySelector(".note ul") && active.postMessage("send"), RETRY_MS);
  await new Promise((done) => setTimeout(done, SETTLE_MS));
  await shelve();
  place.dataset.ready = "yes";
}

if (place && "serviceWorker" in navigator && "caches" in globalThis) {
  addEventListener("load", start);
  addEventListener("pageshow", renewMarks);
}
