"""A smaller kettle of a recipe: its work, its name, and when it is worth offering.

A recipe is scaled down freely and never up, so the week's plan may make a half
batch. Its work is more than half: heating up, setting out and washing up stay
as they are, preparing and boiling down shrink with the fruit, filling with the
jars, the canner with its loads, a stand not at all.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from production.planning.recipe_work import Step
from production.planning.runs import runs_of
from production.planning.week_problem import Candidate, ProductWeek, WeekProblem

__all__ = [
    "HALF",
    "candidate_key",
    "product_of",
    "share_of",
    "smaller_steps",
    "with_halves",
]

HALF = Decimal("0.5")
WHOLE = Decimal(1)
_SHARE, _BEGUN = " share ", " begun "

STAYS: Mapping[str, Decimal] = {
    "prepare": Decimal("0.20"),
    "cook": Decimal("0.35"),
    "fill": Decimal("0.20"),
    "process": Decimal("0.50"),
    "cool": Decimal("0.20"),
}
"""Share of a step's minutes that a smaller batch does not save: getting out and
clearing away, bringing the pot to the boil, lifting out. Common practice: our own
choice; a stand keeps all of its minutes."""

STAYS_ALONE: Mapping[str, Decimal] = {"cook": STAYS["cook"]}
"""The same for minutes it goes by itself: half the water is boiled off in half the
time, from the same surface; a canner load takes as long whatever it holds."""

MOST_HALVES = 8
"""More would make the week's program slower than they earn: our own choice."""
SECOND_HALF_WORTH = Decimal("0.60")
"""A half is offered where the second half of a full kettle would earn less than
this share of the first: our own choice."""


def candidate_key(product: str, share: Decimal = WHOLE) -> str:
    """Return the name of a batch in the week's question."""
    return product if share == WHOLE else f"{product}{_SHARE}{share.normalize():f}"


def product_of(key: str) -> str:
    """Return the product of a batch's name."""
    return key.partition(_BEGUN)[0].partition(_SHARE)[0]


def share_of(key: str) -> Decimal:
    """Return the share of the tested batch that a batch's name says."""
    text = key.partition(_BEGUN)[0].partition(_SHARE)[2]
    return Decimal(text) if text else WHOLE


def smaller_steps(steps: Sequence[Step], share: Decimal) -> tuple[Step, ...]:
    """Return a recipe's steps for a smaller batch, minutes rounded up.

    Args:
        steps: of the full batch.
        share: of it, above 0 and at most 1.
    """
    return tuple(
        replace(
            step,
            hands_min=_minutes(step.hands_min, STAYS.get(step.kind), share),
            idle_min=_minutes(step.idle_min, STAYS_ALONE.get(step.kind), share),
        )
        for step in steps
    )


def _minutes(full: int, stays: Decimal | None, share: Decimal) -> int:
    if stays is None:
        return full
    return math.ceil(full * (stays + (1 - stays) * share))


def with_halves(
    problem: WeekProblem, halves: Mapping[str, Candidate], *, most: int = MOST_HALVES
) -> WeekProblem:
    """Return the week with the half batches worth offering.

    A half is offered where the full one cannot be made for want of fruit or of
    hours, and where its second half would earn little. A product pinned by the
    maker gets one only for want of fruit or hours: a pin asks for a full batch.

    Args:
        problem: the week with full batches.
        halves: product -> its half batch.
        most: how many are offered at most, those that help most first.
    """
    pinned = {wish.product for wish in problem.wishes if not wish.forbids}
    offered = []
    for full in problem.candidates:
        half = halves.get(full.key)
        if half is None or full.begun:
            continue
        need = _need(problem, full, half)
        if need is None and full.product not in pinned:
            need = _second_half(problem.product(full.product), full, half)
        if need is not None:
            offered.append((need, half))
    offered.sort(key=lambda row: (row[0], row[1].key))
    chosen = tuple(half for _, half in offered[:most])
    return replace(problem, candidates=(*problem.candidates, *chosen))


def _need(problem: WeekProblem, full: Candidate, half: Candidate) -> Decimal | None:
    """Return 0 where only the half can be made, ``None`` otherwise."""
    if not (_has_fruit(problem, half) and runs_of(problem, half)):
        return None
    if _has_fruit(problem, full) and runs_of(problem, full):
        return None
    return Decimal(0)


def _has_fruit(problem: WeekProblem, candidate: Candidate) -> bool:
    """Return whether what one batch needs lies there, can be bought or made."""
    for need in candidate.needs:
        material = problem.material(need.material)
        offers = [offer for offer in material.offers if offer.days]
        if any(offer.most is None for offer in offers):
            continue
        could = sum(offer.pack * (offer.most or 0) for offer in offers)
        could += sum(
            maker.makes.amount * maker.most
            for maker in problem.makers(material.key)
            if maker.makes and _has_fruit(problem, maker)
        )
        if need.amount > material.on_hand + could:
            return False
    return True


def _second_half(week: ProductWeek, full: Candidate, half: Candidate) -> Decimal | None:
    """Return what the second half earns as a share of the first, where that is little."""
    worths = sorted(
        (
            *(worth for row in week.worths.values() for worth in row),
            *(worth for jars, worth in week.later for _ in range(jars)),
        ),
        reverse=True,
    )
    there = week.stock + sum(jars for _, jars in week.coming)
    first = sum(worths[there : there + half.jars], Decimal(0))
    second = sum(worths[there + half.jars : there + full.jars], Decimal(0))
    if first <= 0:
        return None
    share = second / first
    return share if share < SECOND_HALF_WORTH else None
