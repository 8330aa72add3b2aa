"""A pair of hands on a keyboard: no mouse, and no field filled that has no focus.

Every stop of the Tab key is looked at: something must have the focus, it must look
different from before, it must not lie hidden, and the next Tab must leave it (the
parts of a date are stops of one field).
"""

# What shows focus on an element; read with and without it.
LOOK = """(element) => {
  const style = getComputedStyle(element);
  return [style.outlineStyle, style.outlineWidth, style.boxShadow, style.borderColor,
          style.backgroundColor, style.textDecorationLine].join(" ");
}"""

# Takes stock after a Tab: where the focus is, and what is wrong there.
STOP = (
    "(wanted) => { const look = "
    + LOOK
    + """;
  const here = document.activeElement, faults = [], name = (element) =>
    element.outerHTML.replace(/\\s+/g, " ").slice(0, 110);
  const before = window.keysBefore;
  if (before && before.element.isConnected && before.element !== here
      && look(before.element) === before.look)
    faults.push("shows no focus: " + name(before.element));
  window.keysBefore = null;
  if (!here || here === document.body || here === document.documentElement)
    return { at: "outside", faults, arrived: false, stays: false };
  const box = here.getBoundingClientRect();
  if (!here.matches("svg *, [type=range]") && box.width > 1) {
    const inside = (element) => element && (here.contains(element) || element.contains(here)
      || [...(here.labels ?? [])].some((label) => label.contains(element)));
    const x = (Math.max(box.left, 0) + Math.min(box.right, innerWidth)) / 2;
    const y = (Math.max(box.top, 0) + Math.min(box.bottom, innerHeight)) / 2;
    if (!inside(document.elementFromPoint(x, y))) faults.push("hidden: " + name(here));
  } else if (box.width <= 1) faults.push("cannot be seen: " + name(here));
  const stays = Boolean(before) && before.element === here
    && !here.matches("[type=date], [type=time], [type=datetime-local]");
  window.keysBefore = { element: here, look: look(here) };
  return { at: name(here), faults, arrived: here === wanted, stays };
}"""
)
MOST_TABS = 400


class LostFocusError(AssertionError):
    """The keyboard cannot do what a mouse could."""


class Keys:
    """Hands on the keys of one page."""

    def __init__(self, page):
        self.page = page
        self.faults = []

    def press(self, *names):
        for name in names:
            self.page.keyboard.press(name)

    def type(self, text):
        """Type into what has the focus, in place of what it holds."""
        self.press("Control+a")
        self.page.keyboard.type(text)

    def tab(self, wanted=None, *, back=False):
        """One Tab; tells where it led."""
        self.press("Shift+Tab" if back else "Tab")
        stop = self.page.evaluate(STOP, wanted)
        self.faults += stop["faults"]
        if stop["stays"]:
            raise LostFocusError(f"Tab does not leave {stop['at']}")
        return stop

    def to(self, locator, *, back=False):
        """Tab until something has the focus."""
        wanted = locator.element_handle()
        if locator.evaluate("element => element === document.activeElement"):
            return self
        outside = 0
        for _ in range(MOST_TABS):
            stop = self.tab(wanted, back=back)
            if stop["arrived"]:
                return self
            outside += stop["at"] == "outside"
            if outside > 1:
                break
        raise LostFocusError(f"no Tab leads to {locator}")

    def enter(self, locator, text):
        """Tab to a field and type into it."""
        self.to(locator)
        self.type(text)

    def choose(self, locator, text):
        """Tab to a field that searches as one types, and take the first answer."""
        self.to(locator)
        self.type(text)
        self.page.locator("[role=listbox] [role=option]").first.wait_for()
        self.press("ArrowDown", "Enter")

    def go(self, locator, *, by="Enter"):
        """Tab to a key or a link and press it; wait for the page it leads to."""
        self.to(locator)
        with self.page.expect_navigation():
            self.press(by)

    def round(self):
        """Once through the page by Tab, and the first steps back again."""
        stops = []
        for _ in range(MOST_TABS):
            stop = self.tab()
            if stop["at"] == "outside":
                break
            stops.append(stop["at"])
        else:
            raise LostFocusError("Tab never comes to the end of the page")
        back = [self.tab(back=True)["at"] for _ in range(min(5, len(stops)))]
        if "outside" in back[1:]:
            raise LostFocusError("Shift+Tab falls out of the page")
        return stops
