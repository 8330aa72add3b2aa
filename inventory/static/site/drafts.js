// Unsaved work is kept in this tab until it is saved: a form left by accident comes back
// as it was typed. Passwords, files and hidden marks are never kept.
"use strict";

const SENT = "drafts sent";
const SKIPPED = ["hidden", "password", "file", "submit", "button"];

function fieldsOf(form) {
  return [...form.elements].filter((field) => field.name && !field.disabled && !SKIPPED.includes(field.type));
}

function keyOf(form) {
  const number = [...document.querySelectorAll("form")].indexOf(form);
  return `draft ${document.body.dataset.user ?? ""} ${location.pathname} ${number} ${form.getAttribute("action") ?? ""}`;
}

function typed(form) {
  return fieldsOf(form).map((field) => [field.name, field.type, field.value, Boolean(field.checked)]);
}

// As the book sent it, not as the browser remembers it.
function untouched(form) {
  return fieldsOf(form).every((field) => {
    if (field.type === "checkbox" || field.type === "radio") return field.checked === field.defaultChecked;
    if (field.tagName !== "SELECT") return field.value === field.defaultValue;
    const chosen = [...field.options].filter((option) => option.defaultSelected);
    return chosen.length ? [...field.options].every((o) => o.selected === o.defaultSelected) : field.selectedIndex <= 0;
  });
}

function putBack(form, kept) {
  const fields = fieldsOf(form);
  const fits = fields.length === kept.length && fields.every((field, at) => field.name === kept[at][0] && field.type === kept[at][1]);
  if (!fits) return false;
  fields.forEach((field, at) => {
    [, , field.value, field.checked] = kept[at];
    field.dispatchEvent(new Event("input", { bubbles: true }));
  });
  return true;
}

function offer(form, key) {
  const { draftKept, draftForget, draftForgotten, draftBack } = document.body.dataset;
  const note = document.createElement("p");
  note.className = "note";
  note.setAttribute("role", "status");
  const button = document.createElement("button");
  button.type = "button";
  button.className = "as-link";
  let forgotten = null;
  const say = (sentence, next) => {
    button.textContent = next;
    note.replaceChildren(sentence, " ", button);
  };
  button.addEventListener("click", () => {
    if (forgotten) {
      putBack(form, forgotten);
      forgotten = null;
      say(draftKept, draftForget);
    } else {
      forgotten = typed(form);
      form.reset();
      sessionStorage.removeItem(key);
      say(draftForgotten, draftBack);
    }
    button.focus();
  });
  say(draftKept, draftForget);
  form.prepend(note);
}

// A draft is forgotten when the book has answered the form that was sent: it refused it and
// shows it again, it says what it did, or it leads elsewhere. Where the sending broke off,
// the same page comes back as it was before, and the draft with it.
function settle() {
  if (document.querySelector('input[name="confirmed"][value="yes"]')) return; // still asking
  const forms = [...document.querySelectorAll('main form[method="post"]')];
  const unanswered = document.querySelector("ul.messages")
    ? []
    : forms.filter((form) => fieldsOf(form).length && untouched(form) && !form.querySelector(".errorlist")).map(keyOf);
  for (const key of JSON.parse(sessionStorage.getItem(SENT) ?? "[]")) {
    if (!unanswered.includes(key)) sessionStorage.removeItem(key);
  }
  sessionStorage.removeItem(SENT);
}

function send(key) {
  sessionStorage.setItem(SENT, JSON.stringify([...JSON.parse(sessionStorage.getItem(SENT) ?? "[]"), key]));
}

settle();

for (const form of document.querySelectorAll('main form[method="post"]')) {
  if (fieldsOf(form).length === 0) continue;
  const key = keyOf(form);
  const kept = sessionStorage.getItem(key);
  const refused = form.querySelector(".errorlist");
  if (kept && !refused && untouched(form) && putBack(form, JSON.parse(kept))) offer(form, key);
  form.addEventListener("input", (event) => {
    if (event.detail !== "kept") sessionStorage.setItem(key, JSON.stringify(typed(form)));
  });
  form.addEventListener("submit", () => send(key));
}
