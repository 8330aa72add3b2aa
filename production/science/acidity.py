"""What the materials say about acid: whether a measured pH is asked for.

Nothing here is a measurement. Materials known to be low in acid raise the demand for
a measured pH and a tested recipe; a material that is not known raises it too.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from inventory.sourced import Kind, Sourced, Status
from inventory.words import say, to_say
from production.science.balance import Role
from production.science.batch_lines import BatchLine
from production.science.forms import words
from production.science.keeping import ACID_LIMIT_PH
from production.science.materials import Acidity
from production.science.working import Working, plain

__all__ = ["AcidAnswer", "AcidDemand", "acid_question"]

SMALL_AMOUNT = Sourced(
    value=Decimal("0.02"),
    unit="1",
    kind=Kind.CONVENTION,
    source="common practice",
    section="low-acid seasoning that does not shift the pH",
    status=Status.MEMORY,
)
SOURCES = (
    "21 CFR 114.3; FDA/CFSAN, Approximate pH of Foods, 2003; University of California "
    "Master Food Preservers, low-acid fruit"
)
SPECIAL: tuple[tuple[str, str], ...] = (
    (
        "white peach",
        to_say(
            "white peaches can lie above pH 4.6 and no tested process exists: "
            "freeze them instead"
        ),
    ),
    (
        "white nectarine",
        "white nectarines can lie above pH 4.6 and no tested process exists: freeze them instead",
    ),
    (
        "elderberr",
        to_say(
            "elderberries are low in acid: only the tested recipe made for elderberries"
        ),
    ),
    (
        "pumpkin",
        to_say(
            "pumpkin butter has no tested process for the shelf: keep it refrigerated"
        ),
    ),
    (
        "squash",
        to_say(
            "squash butter has no tested process for the shelf: keep it refrigerated"
        ),
    ),
    ("banana", to_say("bananas are low in acid: only a tested recipe with added acid")),
)
"""Word in a material's name, and what is known to matter about it."""


class AcidDemand(StrEnum):
    """What is asked of the batch."""

    NONE = "none"
    MEASURE = to_say("measure the pH")
    TESTED_AND_MEASURE = to_say("tested recipe and measured pH")


@dataclass(frozen=True, slots=True, kw_only=True)
class AcidAnswer:
    """The acid question of a recipe.

    Attributes:
        demand: what is asked of every batch.
        low: materials low in acid, as the recipe calls them.
        border: materials whose range reaches pH 4.6 or near it.
        unknown: edible materials of which nothing is known.
        low_share: low-acid share of the plants in the pot.
        may_be_acidified: the product may be an acidified food (21 CFR 114): ask a
            process authority.
        notes: what is known to matter about single materials.
        workings: why.
    """

    demand: AcidDemand
    low: tuple[str, ...]
    border: tuple[str, ...]
    unknown: tuple[str, ...]
    low_share: Decimal
    may_be_acidified: bool
    notes: tuple[str, ...]
    workings: tuple[Working, ...]


def acid_question(lines: Sequence[BatchLine]) -> AcidAnswer:
    """What the materials of a batch demand.

    Args:
        lines: the ingredients.

    Returns:
        The demand with its reasons. No answer here takes the place of a reading.

    Source: 21 CFR 114.3(a), (b), (d); the pH lists named in ``SOURCES``.
    """
    plants = [line for line in lines if line.pot.role in {Role.FRUIT, Role.VEGETABLE}]
    total = sum((line.grams for line in plants), Decimal(0))
    low = _named(plants, Acidity.LOW)
    border = _named(plants, Acidity.BORDER)
    unknown = tuple(line.pot.name for line in lines if line.material is None)
    low_g = sum(
        (line.grams for line in plants if line.acidity is Acidity.LOW), Decimal(0)
    )
    share = low_g / total if total else Decimal(0)
    notes = _notes(lines)
    demand = AcidDemand.NONE
    if share > SMALL_AMOUNT.value or notes:
        demand = AcidDemand.TESTED_AND_MEASURE
    elif low or border or unknown:
        demand = AcidDemand.MEASURE
    return AcidAnswer(
        demand=demand,
        low=low,
        border=border,
        unknown=unknown,
        low_share=share,
        may_be_acidified=share > SMALL_AMOUNT.value,
        notes=notes,
        workings=(_working(demand, low, border, unknown, share),),
    )


def _named(lines: Sequence[BatchLine], acidity: Acidity) -> tuple[str, ...]:
    return tuple(line.pot.name for line in lines if line.acidity is acidity)


def _notes(lines: Sequence[BatchLine]) -> tuple[str, ...]:
    found = [
        say(note)
        for line in lines
        for word, note in SPECIAL
        if word in words(line.pot.name)
        and line.pot.role in {Role.FRUIT, Role.VEGETABLE}
    ]
    return tuple(dict.fromkeys(found))


def _working(
    demand: AcidDemand,
    low: tuple[str, ...],
    border: tuple[str, ...],
    unknown: tuple[str, ...],
    share: Decimal,
) -> Working:
    found = [
        f"{words}: {', '.join(names)}"
        for words, names in (
            (say("low in acid"), low),
            (say("near the limit"), border),
            (say("not known"), unknown),
        )
        if names
    ]
    limit = say(
        "the limit is pH {acid_limit_ph}", acid_limit_ph=plain(ACID_LIMIT_PH.value)
    )
    reason = "; ".join(found) if found else say("every fruit in it is acid")
    return Working(
        figure=say("acid"),
        value=say(demand.value),
        formula=say(
            "{reason}; {share} % of the plants low in acid; {limit}",
            reason=reason,
            share=plain(share * 100),
            limit=limit,
        ),
        source=SOURCES,
    )
