"""The kinds of product this kitchen makes, in the trade's own words."""

from enum import StrEnum

from inventory.words import say, to_say

__all__ = ["ProductKind", "read_kind"]


class ProductKind(StrEnum):
    """What is in the jar, as far as cooking, keeping and naming are concerned."""

    JAM = to_say("jam")
    PRESERVES = to_say("preserves")
    JELLY = to_say("jelly")
    PEPPER_JELLY = "pepper_jelly"
    MARMALADE = to_say("marmalade")
    CONSERVE = to_say("conserve")
    BUTTER = to_say("butter")
    CHUTNEY = to_say("chutney")
    FRUIT_IN_SYRUP = "fruit_in_syrup"
    INTERMEDIATE = to_say("intermediate")

    @property
    def words(self) -> str:
        """The kind as it is written in a sentence."""
        if self is ProductKind.BUTTER:
            return "fruit butter"
        return self.value.replace("_", " ")

    @property
    def said(self) -> str:
        """The same in the reader's language; a label keeps `words`."""
        return say(self.words)

    @property
    def is_jelly(self) -> bool:
        """Made from juice, not from pieces."""
        return self in {ProductKind.JELLY, ProductKind.PEPPER_JELLY}

    @property
    def is_jellied(self) -> bool:
        """Sets to a gel: not butter, chutney, fruit in syrup or an intermediate."""
        return self.is_jelly or self in {
            ProductKind.JAM,
            ProductKind.PRESERVES,
            ProductKind.MARMALADE,
            ProductKind.CONSERVE,
        }


_SPOKEN = (to_say("pepper jelly"), to_say("fruit in syrup"), to_say("fruit butter"))
"""Words of kinds that are not their value, for the catalogue."""

WORDS: tuple[tuple[str, ProductKind], ...] = (
    ("in syrup", ProductKind.FRUIT_IN_SYRUP),
    ("chutney", ProductKind.CHUTNEY),
    ("relish", ProductKind.CHUTNEY),
    ("marmalade", ProductKind.MARMALADE),
    ("conserve", ProductKind.CONSERVE),
    ("butter", ProductKind.BUTTER),
    ("pepper jelly", ProductKind.PEPPER_JELLY),
    ("jalapeno jelly", ProductKind.PEPPER_JELLY),
    ("jelly", ProductKind.JELLY),
    ("preserve", ProductKind.PRESERVES),
    ("jam", ProductKind.JAM),
    ("spread", ProductKind.JAM),
)
"""Words found in a name, and the kind they say; the first that fits counts."""


def read_kind(text: str) -> ProductKind | None:
    """The kind that a product's name or a recipe's own word for it says.

    Args:
        text: "Golden pepper jelly", "fruit butter", "preserves".

    Returns:
        The kind, or None where no word of the trade is in the text.
    """
    lowered = text.lower().replace("_", " ").replace("ñ", "n")
    for word, kind in WORDS:
        if word in lowered:
            return kind
    return None
