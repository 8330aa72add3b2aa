"""Fruit and sugar lines of jam law, and the share of named ingredients (QUID)."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal

from labels.statements.ingredients import Ingredient, Nature, opened

__all__ = [
    "FruitContent",
    "Quantified",
    "fruit_content",
    "fruit_line",
    "quantified",
    "sugar_line",
    "us_percentage",
]

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class FruitContent:
    """Fruit used for the finished product.

    Attributes:
        fruit_g: prepared fruit as used, stones and hulls off, water of an
            extract not counted, g.
        finished_mass_g: g of finished food.
        terms: (name, g) of each fruit.
    """

    fruit_g: Decimal
    finished_mass_g: Decimal
    terms: tuple[tuple[str, Decimal], ...]

    @property
    def per_100_g(self) -> Decimal:
        """Grams of fruit for 100 g, unrounded."""
        return self.fruit_g * 100 / self.finished_mass_g

    @property
    def per_kg(self) -> Decimal:
        """Grams of fruit for 1 kg, unrounded: what the minima are read in."""
        return self.per_100_g * 10


def fruit_content(
    ingredients: Iterable[Ingredient], finished_mass_g: Decimal
) -> FruitContent:
    """Return the fruit of a recipe as used.

    Preparations made in house are opened first, so that the water of an
    extract stands apart from the fruit and is not counted.

    Source: Directive 2001/113/EC, Art. 2(3), Annex I.I, Annex III.A.
    """
    terms = []
    for line in opened(ingredients):
        fruit_g = line.mass_g * _fruit_share(line)
        if fruit_g:
            terms.append((line.substance.name, fruit_g))
    return FruitContent(
        fruit_g=sum((mass_g for _, mass_g in terms), ZERO),
        finished_mass_g=finished_mass_g,
        terms=tuple(terms),
    )


def _fruit_share(line: Ingredient) -> Decimal:
    substance = line.substance
    if substance.nature is Nature.FRUIT:
        return Decimal(1)
    return sum(
        (
            part.share
            for part in substance.parts
            if part.share is not None and part.substance.nature is Nature.FRUIT
        ),
        ZERO,
    )


def fruit_line(content: FruitContent) -> str:
    """Return the prescribed words, whole grams, rounded down.

    Source: Directive 2001/113/EC, Art. 2(3); rounding down is this program's
    choice: it never promises more fruit than was used.
    """
    grams = content.per_100_g.quantize(Decimal(1), ROUND_DOWN)
    return f"prepared with {grams} g of fruit per 100 g"


def sugar_line(soluble_solids_percent: Decimal) -> str:
    """Return the prescribed words from the refractometer reading at 20 degC.

    Source: Directive 2001/113/EC, Art. 2(4) (EU until 13 June 2026; United
    Kingdom).
    """
    grams = soluble_solids_percent.quantize(Decimal(1), ROUND_HALF_UP)
    return f"total sugar content {grams} g per 100 g"


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantified:
    """Declared shares of named ingredients, in one form for all of them.

    Attributes:
        per_100_g: the form is grams for 100 g of product, not a percentage.
        shares: (name, share of 100) unrounded.
    """

    per_100_g: bool
    shares: tuple[tuple[str, Decimal], ...]

    def text(self, name: str) -> str:
        """Return the words for one ingredient."""
        share = dict(self.shares)[name]
        figure = f"{share.quantize(Decimal('0.1'), ROUND_HALF_UP).normalize():f}"
        if self.per_100_g:
            return f"{figure} g {name} per 100 g of product"
        return f"{name} {figure} %"


def quantified(
    named: Iterable[str], ingredients: Iterable[Ingredient], finished_mass_g: Decimal
) -> Quantified:
    """Return the quantity of the ingredients that name or picture the food.

    Mass used over finished mass; what is left of it for spirits. If one share,
    or all together, pass 100 %, all are given in grams for 100 g.

    Source: Regulation (EU) No 1169/2011, Annex VIII.3, 4.
    """
    wanted = tuple(named)
    masses = dict.fromkeys(wanted, ZERO)
    for line in opened(ingredients):
        if line.substance.name in masses:
            left_g = line.mass_g if line.remaining_g is None else line.remaining_g
            masses[line.substance.name] += left_g
    shares = tuple((name, masses[name] * 100 / finished_mass_g) for name in wanted)
    total = sum((share for _, share in shares), ZERO)
    return Quantified(per_100_g=total > 100, shares=shares)


def us_percentage(name: str, share: Decimal) -> str:
    """Return "strawberries (44%)", to the nearest whole percent (101.4(e))."""
    percent = (share * 100).quantize(Decimal(1), ROUND_HALF_UP)
    return f"{name} ({percent}%)"
