"""Whether sulphites must be named, from what each ingredient brings.

An upper bound: nothing is taken to boil away. A measured value always wins.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from inventory.sourced import Kind, Sourced, Status
from labels.statements.allergens import AllergenMark
from labels.statements.ingredients import (
    Ingredient,
    Nature,
    Part,
    Substance,
    with_parts,
)

__all__ = [
    "SULPHITE_MARK",
    "SulphiteEstimate",
    "SulphiteLimit",
    "estimate",
    "is_sulphite_additive",
    "marked",
    "unmarked",
]

SULPHITE_MARK = AllergenMark("sulphites")


@dataclass(frozen=True, slots=True, kw_only=True)
class SulphiteLimit:
    """The content from which a place wants sulphites named.

    Attributes:
        ppm: mg of total sulphur dioxide per kg of finished food.
        inclusive: the limit itself is already declared.
    """

    ppm: Sourced
    inclusive: bool

    def reached_by(self, ppm: Decimal) -> bool:
        """Say whether a content must be declared."""
        return ppm >= self.ppm.value if self.inclusive else ppm > self.ppm.value


def _limit(source: str, section: str, status: Status) -> Sourced:
    return Sourced(
        value=Decimal(10),
        unit="mg/kg",
        kind=Kind.LEGAL,
        source=source,
        section=section,
        status=status,
    )


US_LIMIT = SulphiteLimit(
    ppm=_limit("21 CFR", "101.100(a)(4)", Status.VERIFIED), inclusive=True
)
EU_LIMIT = SulphiteLimit(
    ppm=_limit("Regulation (EU) No 1169/2011", "Annex II.12", Status.VERIFIED),
    inclusive=False,
)
CA_LIMIT = SulphiteLimit(
    ppm=_limit("Food and Drug Regulations", "B.01.010.2(3), (8)", Status.VERIFIED),
    inclusive=True,
)
ANZ_LIMIT = SulphiteLimit(
    ppm=_limit("Food Standards Code", "1.2.3-4", Status.SECONDARY), inclusive=True
)
CODEX_LIMIT = SulphiteLimit(
    ppm=_limit("CXS 1-1985", "4.2.1.4", Status.MEMORY), inclusive=True
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SulphiteTerm:
    """What one line brings, mg of sulphur dioxide."""

    name: str
    sulphite_mg: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class SulphiteEstimate:
    """Sulphites of the finished food.

    Attributes:
        ppm: upper bound, mg/kg, of the known lines; or the measured value.
        terms: the lines that bring some.
        unknown: names of substances that carry sulphites in an unknown amount.
        measured: the value was measured in the finished food.
    """

    ppm: Decimal
    terms: tuple[SulphiteTerm, ...]
    unknown: tuple[str, ...]
    measured: bool

    def must_be_named(self, limit: SulphiteLimit) -> bool:
        """Say whether sulphites are declared; an unknown amount is."""
        return bool(self.unknown) or limit.reached_by(self.ppm)


def estimate(
    ingredients: Iterable[Ingredient],
    finished_mass_g: Decimal,
    measured_ppm: Decimal | None = None,
) -> SulphiteEstimate:
    """Return the sulphites of a finished food, as an upper bound.

    Args:
        ingredients: lines as used, preparations opened.
        finished_mass_g: g of finished food.
        measured_ppm: mg/kg found in the finished food, if it was measured.

    Returns:
        The sum of mass times content over finished mass, nothing boiled away.
    """
    terms, unknown = [], []
    for line in ingredients:
        amount_mg, not_known = _brought(line.substance, line.mass_g)
        unknown += not_known
        if amount_mg:
            terms.append(SulphiteTerm(name=line.substance.name, sulphite_mg=amount_mg))
    if measured_ppm is not None:
        return SulphiteEstimate(
            ppm=measured_ppm, terms=tuple(terms), unknown=(), measured=True
        )
    total_mg = sum((term.sulphite_mg for term in terms), Decimal(0))
    return SulphiteEstimate(
        ppm=total_mg * 1000 / finished_mass_g,
        terms=tuple(terms),
        unknown=tuple(unknown),
        measured=False,
    )


def _brought(substance: Substance, mass_g: Decimal) -> tuple[Decimal, list[str]]:
    """Return mg brought by a substance, and the parts of unknown content."""
    if substance.sulphite_ppm is not None:
        return mass_g * substance.sulphite_ppm / 1000, []
    unknown = [substance.name] if SULPHITE_MARK in substance.allergens else []
    amount_mg = Decimal(0)
    for part in substance.parts:
        share = Decimal(1) if part.share is None else part.share
        part_mg, part_unknown = _brought(part.substance, mass_g * share)
        amount_mg += part_mg
        unknown += part_unknown
    return amount_mg, unknown


def is_sulphite_additive(substance: Substance) -> bool:
    """Say whether a substance is nothing but a sulphiting agent."""
    return substance.nature is Nature.ADDITIVE and substance.allergens == {
        SULPHITE_MARK
    }


def marked(substance: Substance) -> Substance:
    """Return the substance with the mark wherever sulphites are known to be."""
    parts = tuple(
        Part(substance=marked(part.substance), share=part.share)
        for part in substance.parts
    )
    substance = replace(substance, parts=parts)
    brings = bool(substance.sulphite_ppm)
    if brings and SULPHITE_MARK not in substance.all_allergens:
        substance = replace(substance, allergens=substance.allergens | {SULPHITE_MARK})
    return substance


def unmarked(substance: Substance) -> Substance:
    """Return the substance without sulphites that need no declaration."""
    substance = replace(substance, allergens=substance.allergens - {SULPHITE_MARK})
    return with_parts(substance, _remaining_parts(substance))


def _remaining_parts(substance: Substance) -> Iterator[Part]:
    for part in substance.parts:
        if not is_sulphite_additive(part.substance):
            yield Part(substance=unmarked(part.substance), share=part.share)
