"""Reading a net quantity statement a maker wrote, against 21 CFR 101.7."""

import re
from collections.abc import Iterator
from fractions import Fraction

from inventory.words import say

__all__ = ["net_quantity_problems"]

PUFFING = r"\b(?:jumbo|giant|full|big|super|generous)\b"
QUALIFYING = r"\b(?:approx(?:\.|imately)?|about|minimum|at least|or more|when packed)\b"
BINARY = frozenset({2, 4, 8, 16, 32})


def net_quantity_problems(
    text: str, *, by_weight: bool = True, dual_needed: bool = True
) -> tuple[str, ...]:
    """Return what is wrong with a statement, nothing for a good one.

    Args:
        text: as written.
        by_weight: the food is solid, semisolid or viscous; relishes and pickle
            products go by fluid measure.
        dual_needed: both systems of units are due (15 USC 1453(a)(2)).
    """
    return tuple(_problems(text, by_weight=by_weight, dual_needed=dual_needed))


def _problems(text: str, *, by_weight: bool, dual_needed: bool) -> Iterator[str]:
    folded = text.casefold()
    yield from _words(folded)
    yield from _units(folded, by_weight=by_weight)
    yield from _figures(folded)
    if dual_needed and not re.search(r"\d\s*(?:g|kg|ml|l)\b", folded):
        yield say("grams are missing beside the ounces (15 USC 1453(a)(2))")


def _words(folded: str) -> Iterator[str]:
    if re.search(PUFFING, folded):
        yield say("a word that puffs the quantity may not stand there (101.7(f))")
    if re.search(QUALIFYING, folded):
        yield say("no word may qualify the quantity (15 USC 1453(b))")


def _units(folded: str, *, by_weight: bool) -> Iterator[str]:
    fluid = re.search(r"\b(?:fl\.?|fluid)\s*(?:oz|ounces?)\b|\bml\b", folded)
    if by_weight and fluid:
        yield say("this food is declared by weight, not by volume (101.7(a))")
    if not by_weight and not fluid:
        yield say("pickles and relishes are declared in fluid ounces (101.7(r))")
    weight = re.search(r"\d\s*(?:oz|lb)\b", folded) and not fluid
    if weight and not re.search(r"\bnet\.?\s*(?:wt|weight)\b", folded):
        yield say('the words "Net Wt" are missing (101.7(j)(3))')
    pounds_first = re.match(r"\D*(\d+)\s*lb\b", folded)
    if pounds_first and int(pounds_first.group(1)) < 4:
        yield say("below 4 lb ounces come first, pounds in brackets (101.7(j)(1))")


def _figures(folded: str) -> Iterator[str]:
    if re.search(r"\d*\.\d{3,}", folded):
        yield say("no more than two decimals (101.7(d))")
    for above, below in re.findall(r"(\d+)/(\d+)", folded):
        if int(below) not in BINARY:
            yield say(
                "{above}/{below}: only halves to thirty-seconds (101.7(d))",
                above=above,
                below=below,
            )
        elif Fraction(int(above), int(below)).denominator != int(below):
            yield say(
                "{above}/{below} is not in lowest terms (101.7(d))",
                above=above,
                below=below,
            )
