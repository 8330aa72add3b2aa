"""The fruit colours a maker may give a product: our own list, by name.

Each has one value for light pages and papers and one for dark pages. All of them
keep 4.5:1 against every paper of their theme (WCAG 2.2, 1.4.3 and, for marks,
1.4.11 which asks for 3:1); ``site/tokens.css`` has the same values and a test
compares them. A colour is never the only sign of anything: a name stands beside it.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from inventory.words import to_say

__all__ = ["ACCENTS", "USUAL", "FruitColour", "accent_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FruitColour:
    """One colour of the list: its name, and its value on light and on dark, #rrggbb."""

    name: str
    light: str
    dark: str


ACCENTS: Mapping[str, FruitColour] = {
    "strawberry": FruitColour(
        name=to_say("strawberry"), light="#b3243b", dark="#f16c7e"
    ),
    "raspberry": FruitColour(name=to_say("raspberry"), light="#a61d5b", dark="#e7709f"),
    "cherry": FruitColour(name=to_say("cherry"), light="#7f1230", dark="#ef7d99"),
    "rhubarb": FruitColour(name=to_say("rhubarb"), light="#ab4145", dark="#dc9396"),
    "tomato": FruitColour(name=to_say("tomato"), light="#b2321e", dark="#e97563"),
    "peach": FruitColour(name=to_say("peach"), light="#a94e28", dark="#e89468"),
    "apricot": FruitColour(name=to_say("apricot"), light="#9e5212", dark="#efa04a"),
    "orange": FruitColour(name=to_say("orange"), light="#b0430a", dark="#f78345"),
    "quince": FruitColour(name=to_say("quince"), light="#7f5c16", dark="#dfae47"),
    "lemon": FruitColour(name=to_say("lemon"), light="#756109", dark="#d8b92c"),
    "gooseberry": FruitColour(
        name=to_say("gooseberry"), light="#586b22", dark="#a3bf58"
    ),
    "lime": FruitColour(name=to_say("lime"), light="#2e6d42", dark="#63c183"),
    "blueberry": FruitColour(name=to_say("blueberry"), light="#33508f", dark="#8aa5e2"),
    "currant": FruitColour(name=to_say("currant"), light="#4b3a78", dark="#ab99e0"),
    "plum": FruitColour(name=to_say("plum"), light="#6e2a63", dark="#cf86c6"),
    "fig": FruitColour(name=to_say("fig"), light="#75375c", dark="#d195b6"),
    "grape": FruitColour(name=to_say("grape"), light="#5b2a86", dark="#c695ea"),
    "pear": FruitColour(name=to_say("pear"), light="#62641f", dark="#bdbd54"),
    "blackberry": FruitColour(
        name=to_say("blackberry"), light="#3a3157", dark="#a9a2d2"
    ),
    "spice": FruitColour(name=to_say("spice"), light="#74452a", dark="#cf9a70"),
}
USUAL = "plum"


def accent_of(key: str) -> FruitColour:
    """The colour of a key; the usual one for a key the list does not know."""
    return ACCENTS.get(key, ACCENTS[USUAL])
