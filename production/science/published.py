"""The recipe's published yield beside the balance, and what the difference means."""

import re
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from inventory.quantities import ML_PER_US_CUP
from inventory.words import say, to_say
from production.science.amounts import FRACTIONS
from production.science.balance import Balance
from production.science.density import density_g_per_ml
from production.science.forms import words
from production.science.jars import FILL_C, Fill
from production.science.span import Span
from production.science.working import ScienceError, plain

__all__ = [
    "PublishedYield",
    "YieldComparison",
    "YieldVerdict",
    "compare_yield",
    "read_published_yield",
]

CUPS = {
    "quarter pint": Decimal("0.5"),
    "half pint": Decimal(1),
    "8 oz": Decimal(1),
    "8 ounce": Decimal(1),
    "4 oz": Decimal("0.5"),
    "4 ounce": Decimal("0.5"),
    "12 oz": Decimal("1.5"),
    "12 ounce": Decimal("1.5"),
    "pint": Decimal(2),
    "quart": Decimal(4),
    "cup": Decimal(1),
    "glass": Decimal("0.75"),
}
"""Cups of product that a printed jar stands for: "half-pint" means one cup."""


class YieldVerdict(StrEnum):
    """How the printed yield stands to the balance."""

    AGREES = "agrees"
    HIGHER = to_say("published is higher")
    LOWER = to_say("published is lower")


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedYield:
    """What the recipe promises.

    Attributes:
        low_ml: the least product it promises, ml.
        high_ml: the most, ml.
        text: as printed.
    """

    low_ml: Decimal
    high_ml: Decimal
    text: str

    def __post_init__(self) -> None:
        if not 0 < self.low_ml <= self.high_ml:
            raise ScienceError(
                say(
                    'a published yield of "{text}" is impossible; enter more than 0, '
                    "low first",
                    text=self.text,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class YieldComparison:
    """The printed yield against this balance.

    Attributes:
        published: as printed.
        cups: product that the balance gives, US cups as it is filled, hot.
        jars_if_filled: the same product counted in jars filled to the headspace,
            for a half-pint; None where no such jar was asked for.
        verdict: how they stand.
        implied_solids: soluble solids of the product if the middle of the printed
            yield were right; None beyond what sugar allows.
        sentence: what that means for the maker.
    """

    published: PublishedYield
    cups: Span
    verdict: YieldVerdict
    implied_solids: Decimal | None
    sentence: str


def read_published_yield(text: str) -> PublishedYield | None:
    """Read a printed yield.

    Args:
        text: "about 9 or 10 half-pint jars", "5 to 6 half-pints", "7 cups".

    Returns:
        The yield, or None where no number with a jar is in the text.
    """
    bare = text
    for sign, spelled in FRACTIONS.items():
        bare = bare.replace(sign, f" {spelled}")
    found = re.search(
        r"(?P<low>\d+(?: \d/[1-9]|\.\d+)?)(?: ?(?:to|or|-|\u2013) ?(?P<high>\d+(?: \d/[1-9]|\.\d+)?))? "
        rf"(?:\(?)(?P<jar>{'|'.join(CUPS)})",
        words(bare).replace(" 1/2 pint", " half pint"),
    )
    if not found:
        return None
    cup_ml = CUPS[found["jar"]] * ML_PER_US_CUP.value
    low = _number(found["low"])
    high = _number(found["high"]) if found["high"] else low
    return PublishedYield(low_ml=low * cup_ml, high_ml=high * cup_ml, text=text.strip())


def _number(text: str) -> Decimal:
    whole, _, fraction = text.partition(" ")
    if not fraction:
        return Decimal(whole)
    over, under = fraction.split("/")
    return Decimal(whole) + Decimal(over) / Decimal(under)


def compare_yield(
    balance: Balance, published: PublishedYield, *, half_pint: Fill
) -> YieldComparison:
    """Set the printed yield beside the balance.

    Args:
        balance: what comes out of the pot.
        published: what the recipe promises.
        half_pint: a half-pint jar filled with this product, because a cook who
            counts jars filled to the headspace counts more of them than cups.

    Returns:
        The comparison, in US cups.
    """
    hot = density_g_per_ml(
        min(balance.finished_solids.likely, Decimal("0.85")), FILL_C.value
    )
    cup_g = hot * ML_PER_US_CUP.value
    cups = balance.finished_g.scaled(1 / cup_g)
    most = balance.finished_g.high / half_pint.fill_g
    low, high = (
        ml / ML_PER_US_CUP.value for ml in (published.low_ml, published.high_ml)
    )
    verdict = YieldVerdict.AGREES
    if low > most:
        verdict = YieldVerdict.HIGHER
    elif high < cups.low:
        verdict = YieldVerdict.LOWER
    implied = _implied(balance, (low + high) / 2 * cup_g)
    return YieldComparison(
        published=published,
        cups=cups.rounded("0.1"),
        verdict=verdict,
        implied_solids=implied,
        sentence=_sentence(published, cups, verdict, implied),
    )


def _implied(balance: Balance, grams: Decimal) -> Decimal | None:
    dissolving = grams - balance.insoluble_g.likely
    if dissolving <= balance.soluble_g.likely:
        return None
    return balance.soluble_g.likely / dissolving


def _sentence(
    published: PublishedYield,
    cups: Span,
    verdict: YieldVerdict,
    implied: Decimal | None,
) -> str:
    start = say(
        'the recipe promises "{published}"; the balance gives {cups} cups',
        published=published.text,
        cups=cups.text(),
    )
    if verdict is YieldVerdict.AGREES:
        return say("{start}, which agrees", start=start)
    if verdict is YieldVerdict.LOWER:
        return say("{start}: more than printed, so have jars ready", start=start)
    solids = say(
        "about {implied} % soluble solids",
        implied=plain((implied or Decimal(1)) * 100, "1"),
    )
    return say(
        "{start}: as much as printed would be only {solids}, a thinner "
        "product than the finish asked for",
        start=start,
        solids=solids,
    )
