"""Names as people look for them: without case, without accents, a part is enough.

"creme" finds "Crème fraîche", "gruetz" does not: a letter with marks is read as the
letter alone, never as the two letters some languages write for it. This computes the
order of matches and leaves out who asks and where the names come from.
"""

import unicodedata
from collections.abc import Iterable
from enum import IntEnum

__all__ = ["Fit", "best_fits", "fit", "fold"]

# Letters that are no base letter with a mark, so that taking marks off leaves them.
PLAIN = str.maketrans(
    {
        "ø": "o",
        "ł": "l",
        "đ": "d",
        "ð": "d",
        "\u0131": "i",
        "þ": "th",
        "æ": "ae",
        "œ": "oe",
    }
)


class Fit(IntEnum):
    """How well a name answers what was typed, best first."""

    SAME = 0
    BEGINS = 1
    WORDS = 2
    INSIDE = 3


def fold(text: str) -> str:
    """A text as it is compared: no case, no accents, single spaces.

    Args:
        text: as typed or as kept.

    Returns:
        The compared form; folding it again changes nothing.
    """
    apart = unicodedata.normalize("NFKD", text.casefold())
    bare = "".join(sign for sign in apart if not unicodedata.combining(sign))
    return " ".join(bare.casefold().translate(PLAIN).split())


def fit(typed: str, name: str) -> Fit | None:
    """How a name answers what was typed; every word typed must occur in it.

    Args:
        typed: folded.
        name: folded.

    Returns:
        The fit, or None where a word is missing. Nothing typed fits every name.
    """
    if typed == name:
        return Fit.SAME
    if name.startswith(typed):
        return Fit.BEGINS
    wanted, words = typed.split(), name.replace(",", " ").split()
    if all(any(word.startswith(part) for word in words) for part in wanted):
        return Fit.WORDS
    return Fit.INSIDE if all(part in name for part in wanted) else None


def best_fits(typed: str, names: Iterable[tuple[int, str]], *, most: int) -> list[int]:
    """Keys of the names that answer what was typed, the best first.

    Args:
        typed: as typed.
        names: key and name as kept; a key may come with several names.
        most: how many are wanted at most.

    Returns:
        Keys, each once; among equals in the order of their names.
    """
    wanted = fold(typed)
    found: dict[int, tuple[int, str]] = {}
    for key, name in names:
        folded = fold(name)
        how = fit(wanted, folded)
        if how is not None:
            rank = (int(how), folded)
            found[key] = min(found.get(key, rank), rank)
    return sorted(found, key=lambda key: (*found[key], key))[:most]
