// Keeps the stall's pages and entries on the phone while there is no connection.
//
// A page is asked of the book first and shown from the shelf when the book does not
// answer. An entry the book could not take waits in its place in the row, and is sent
// in that order. Sending one twice counts it once: a touch carries its own mark, a count
// carries whole figures and what its page had seen.
"use strict";

const SHELF = "stall";
const ENTRY = /^\/stall\/days\/\d+\/(out|touch|sold-out|back)\/$/;
const { words } = self; // said by /worker.js, in the reader's language
const NOT_HERE =
  `<!doctype html><meta name=viewport content='width=device-width'><title>${words.title}</title>` +
  `<h1>${words.title}</h1><p>${words.text}</p>`;

function rows() {
  return idb.openDB("stall", 1, {
    upgrade: (base) => base.createObjectStore("entries", { keyPath: "id", autoIncrement: true }),
  });
}

async function waiting() {
  return (await (await rows()).getAll("entries")).filter((entry) => !entry.refused);
}

async function tell(message) {
  for (const page of await self.clients.matchAll({ includeUncontrolled: true })) page.postMessage(message);
}

// The page an entry was made on, which also shows what became of it.
function pageOf(address) {
  return address.replace(/(touch|sold-out)\/$/, "now/");
}

function isSignedOut(response) {
  return response.redirected && new URL(response.url).pathname.startsWith("/sign-in/");
}

async function fresh(request) {
  const response = await fetch(request);
  if (response.ok && response.type === "basic" && !isSignedOut(response) && !response.redirected) {
    (await caches.open(SHELF)).put(request.url, response.clone());
  }
  return response;
}

async function fromShelf(request) {
  const kept = await caches.match(request.url, { ignoreVary: true, ignoreSearch: true });
  if (kept) return kept;
  if (request.mode !== "navigate") return Response.error();
  return new Response(NOT_HERE, { status: 503, headers: { "Content-Type": "text/html; charset=utf-8" } });
}

async function show(request) {
  if (request.mode === "navigate") await send();
  try {
    return await fresh(request);
  } catch {
    return fromShelf(request);
  }
}

async function enter(request) {
  const spare = request.clone();
  await send();
  if ((await waiting()).length === 0) {
    try {
      return await fetch(request);
    } catch {
      // falls through: no connection, keep it
    }
  }
  return keep(spare);
}

async function keep(request) {
  const address = new URL(request.url).pathname;
  const fields = [...(await request.formData()).entries()];
  if (!fields.some(([name]) => name === "step")) {
    if (address.endsWith("/sold-out/")) setHour(fields);
    await (await rows()).add("entries", { address, fields, at: Date.now(), refused: "" });
    await self.registration.sync?.register("stall").catch(() => undefined);
    await tell({ kept: true });
  }
  return Response.redirect(pageOf(address), 303);
}

// "Sold out now" means the hour it was touched, not the hour it is sent.
function setHour(fields) {
  const values = Object.fromEntries(fields);
  if (values.at || values.back) return;
  const now = new Date();
  const two = (number) => String(number).padStart(2, "0");
  fields.push(["at", `${two(now.getHours())}:${two(now.getMinutes())}`]);
}

let sending = null;
function send() {
  sending ??= sendAll().finally(() => {
    sending = null;
  });
  return sending;
}

async function sendAll() {
  const entries = await waiting();
  if (entries.length === 0) return;
  let sent = 0;
  try {
    const untouched = await unchangedPages(entries);
    for (const entry of entries) {
      const refused = await sendOne(entry, untouched);
      const base = await rows();
      if (refused) await base.put("entries", { ...entry, refused });
      else await base.delete("entries", entry.id);
      sent += refused ? 0 : 1;
    }
  } catch {
    // still no connection, or nobody is signed in: the rest waits
  }
  await tell({ sent });
}

function hidden(text, name) {
  const tag = text.match(new RegExp(`<input[^>]*name="${name}"[^>]*>`))?.[0] ?? "";
  return tag.match(/value="([^"]*)"/)?.[1] ?? "";
}

async function readPage(address) {
  const response = await fetch(address, { cache: "no-store" });
  if (isSignedOut(response) || !response.ok) throw new Error("the book is not open");
  return response.text();
}

// Pages whose figures nobody else changed while the entry waited.
async function unchangedPages(entries) {
  const same = new Set();
  for (const entry of entries) {
    const seen = Object.fromEntries(entry.fields).seen;
    if (seen !== undefined && hidden(await readPage(entry.address), "seen") === seen) same.add(entry.id);
  }
  return same;
}

// Sends one entry; answers the sentence of a refusal, or nothing when it is in the book.
async function sendOne(entry, untouched) {
  const text = await readPage(pageOf(entry.address));
  const body = new URLSearchParams(entry.fields);
  body.set("csrfmiddlewaretoken", hidden(text, "csrfmiddlewaretoken"));
  if (untouched.has(entry.id)) body.set("seen", hidden(text, "seen"));
  const response = await fetch(entry.address, { method: "POST", body });
  if (isSignedOut(response) || response.status >= 500) throw new Error("the book is not open");
  const answer = await response.text();
  const said = answer.match(/<li class="error">([\s\S]*?)<\/li>/) ?? answer.match(/<ul class="errorlist[^>]*>\s*<li>([\s\S]*?)<\/li>/);
  if (response.redirected && !said) return "";
  return said?.[1].trim() || words.answered.replace("#", response.status);
}

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));
self.addEventListener("sync", (event) => event.waitUntil(send()));
self.addEventListener("message", (event) => event.waitUntil(send()));
self.addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (address.origin !== location.origin) return;
  if (request.method === "GET" && !request.headers.has("HX-Request")) event.respondWith(show(request));
  if (request.method === "POST" && ENTRY.test(address.pathname)) event.respondWith(enter(request));
});
