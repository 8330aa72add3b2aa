// A field that chooses a row by typing: the combobox with a list box of the ARIA
// Authoring Practices, list autocomplete with manual selection. Without scripts the
// same field is a text field with suggestions.
"use strict";

const PAUSE_MS = 120;
let numbered = 0;

function made(name, attributes = {}, text = "") {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  element.textContent = text;
  return element;
}

class Chooser {
  constructor(frame) {
    this.address = frame.dataset.choose;
    this.input = frame.querySelector("input");
    this.input.removeAttribute("list");
    this.input.dataset.chooser = "on";
    const id = `choices-${(numbered += 1)}`;
    this.name = (this.input.labels?.[0]?.textContent ?? this.input.name).trim().replace(/:$/, "");
    this.list = made("ul", { id, role: "listbox", hidden: "" });
    this.status = made("span", { role: "status" });
    frame.append(this.list, this.status);
    const marks = { role: "combobox", "aria-expanded": "false", "aria-controls": id, "aria-autocomplete": "list" };
    for (const [key, value] of Object.entries(marks)) this.input.setAttribute(key, value);
    this.active = -1;
    this.listen(frame);
  }

  listen(frame) {
    this.input.addEventListener("input", (event) => {
      if (event.isTrusted) this.askSoon();
    });
    this.input.addEventListener("click", () => this.isOpen || this.ask(""));
    this.input.addEventListener("keydown", (event) => this.key(event));
    this.list.addEventListener("mousedown", (event) => event.preventDefault());
    this.list.addEventListener("click", (event) => {
      const option = event.target.closest("[role=option]");
      if (option) this.take(option);
    });
    frame.addEventListener("focusout", (event) => {
      if (!frame.contains(event.relatedTarget)) this.close();
    });
  }

  get isOpen() {
    return !this.list.hidden;
  }

  get options() {
    return [...this.list.children];
  }

  askSoon() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.ask(this.input.value), PAUSE_MS);
  }

  async ask(text) {
    clearTimeout(this.timer);
    this.waiting?.abort();
    const asked = new AbortController();
    this.waiting = asked;
    const address = new URL(this.address, location.href);
    address.searchParams.set("find", text);
    try {
      const answer = await fetch(address, { signal: asked.signal });
      if (answer.ok && !answer.redirected) this.show(await answer.json());
    } catch {
      if (!asked.signal.aborted) this.close(); // without the book the field is still a text field
    }
  }

  show({ choices, sentence }) {
    if (document.activeElement !== this.input) return;
    this.list.replaceChildren(
      ...choices.map(({ value, detail }, at) => {
        const option = made("li", { role: "option", id: `${this.list.id}-${at}`, "aria-selected": "false" });
        option.dataset.value = value;
        option.append(made("span", {}, value), " ", made("small", {}, detail));
        return option;
      }),
    );
    this.status.textContent = sentence;
    this.open(choices.length > 0);
    this.point(-1);
  }

  open(open) {
    this.list.hidden = !open;
    if (open) this.list.setAttribute("aria-label", this.name);
    else this.list.removeAttribute("aria-label");
    this.input.setAttribute("aria-expanded", String(open));
  }

  close() {
    clearTimeout(this.timer);
    this.waiting?.abort();
    this.open(false);
    this.point(-1);
  }

  point(at) {
    this.active = at;
    this.options.forEach((option, number) => option.setAttribute("aria-selected", String(number === at)));
    const option = this.options[at];
    if (option) {
      this.input.setAttribute("aria-activedescendant", option.id);
      option.scrollIntoView({ block: "nearest" });
    } else this.input.removeAttribute("aria-activedescendant");
  }

  take(option) {
    this.input.value = option.dataset.value;
    this.close();
    this.status.textContent = option.dataset.value;
    for (const name of ["input", "change"]) this.input.dispatchEvent(new Event(name, { bubbles: true }));
  }

  async step(by) {
    if (!this.isOpen) await this.ask(this.input.value === this.input.defaultValue ? "" : this.input.value);
    const number = this.options.length;
    if (number && this.isOpen) this.point(this.active < 0 && by < 0 ? number - 1 : (this.active + by + number) % number);
  }

  key(event) {
    const keys = {
      ArrowDown: () => this.step(1),
      ArrowUp: () => this.step(-1),
      Enter: () => this.isOpen && this.active >= 0 && (this.take(this.options[this.active]), true),
      Escape: () => (this.isOpen ? (this.close(), true) : false),
      Tab: () => (this.close(), false),
    };
    if (event.isComposing || !(event.key in keys)) return;
    if (keys[event.key]()) event.preventDefault();
  }
}

for (const frame of document.querySelectorAll("[data-choose]")) new Chooser(frame);
