"""The net-contents check of a batch, the way an inspector does it (Category A).

Computes sampling plan, package errors against the average tare, the test of
single shortages (MAV) and the average test of NIST Handbook 133, and what could
be declared instead. It says what this sample shows; the weights-and-measures
office of the place decides, by the edition it has adopted.
"""

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from importlib.resources import files
from statistics import stdev
from typing import Any

from inventory.units import GRAMS_PER_OUNCE, GRAMS_PER_POUND
from inventory.words import say
from production.declared import Declaration, grams_from_ounces
from production.wording import number_text

__all__ = [
    "NetContentsError",
    "NetContentsResult",
    "SamplingPlan",
    "check_jars",
    "correction_factor",
    "declare_instead",
    "fill_target_g",
    "judge_errors",
    "maximum_allowable_variation_g",
    "package_errors",
    "sampling_plan",
    "tables",
]

HANDBOOK = "NIST Handbook 133 (2026), chapter 2, Category A"
MAV_SPREADS = Decimal("3.2")
"""Spreads within the MAV at which 1 of 12 jars is beyond it once in a hundred."""


class NetContentsError(ValueError):
    """A check that cannot be done with what was weighed."""


@cache
def tables() -> dict[str, Any]:
    """Return the tables of `net_contents.toml`, decimals kept exact."""
    text = files("production").joinpath("net_contents.toml").read_text("utf-8")
    return tomllib.loads(text, parse_float=Decimal)


@dataclass(frozen=True, slots=True, kw_only=True)
class SamplingPlan:
    """How many jars of a lot are weighed.

    Attributes:
        lot_size: jars in the lot.
        sample: jars to weigh, taken at random.
        beyond_mav: shortages beyond the MAV that are still allowed.
    """

    lot_size: int
    sample: int
    beyond_mav: int


def sampling_plan(lot_size: int) -> SamplingPlan:
    """Return the sampling plan for a lot.

    Raises:
        NetContentsError: the lot is empty.

    Source: NIST Handbook 133, Appendix A, table 2-1 (from memory, see the table).
    """
    if lot_size < 1:
        raise NetContentsError(say("there are no jars to check"))
    for row in tables()["sampling"]["rows"]:
        if lot_size <= row["lot_at_most"] or not row["lot_at_most"]:
            return SamplingPlan(
                lot_size=lot_size,
                sample=row["sample"] or lot_size,
                beyond_mav=row["beyond_mav"],
            )
    raise AssertionError("the last row of the sampling plan takes every lot")


def correction_factor(sample: int) -> Decimal:
    """Return the sample correction factor for a number of jars weighed.

    The printed figure where the table has one, otherwise Student's t (97.5 %,
    n - 1) over the root of n, which the printed figures follow to 0.001.

    Raises:
        NetContentsError: one jar has no spread.
    """
    if sample < 2:
        raise NetContentsError(say("the average test needs at least two jars"))
    for row in tables()["correction_factor"]["rows"]:
        if row["n"] == sample:
            return Decimal(row["factor"])
    from scipy.special import stdtrit

    factor = float(stdtrit(sample - 1, 0.975)) / sample**0.5
    return Decimal(str(round(factor, 3)))


def maximum_allowable_variation_g(declaration: Declaration) -> Decimal:
    """Return the largest shortage one jar may show, g.

    Looked up in pounds from the larger declaration converted exactly; a label in
    grams alone is looked up in the gram column.

    Raises:
        NetContentsError: the package is larger than the table.

    Source: NIST Handbook 133, Appendix A, table 2-5 (from memory but for two
    rows, see the table).
    """
    table = tables()["allowable_variation"]
    quantity_g = declaration.larger_g
    pounds = quantity_g / GRAMS_PER_POUND.value
    if pounds > table["ends_at_lb"]:
        raise NetContentsError(
            say(
                "{declaration} is more than the {ends_at_lb} lb the table of "
                "allowable variations is kept for here",
                declaration=declaration.text,
                ends_at_lb=table["ends_at_lb"],
            )
        )
    in_grams = declaration.ounces is None
    size, bound = (quantity_g, "above_g") if in_grams else (pounds, "above_lb")
    rows = table["rows"]
    if size < rows[0][bound]:
        return quantity_g / 10
    reached = [row for row in rows if size > row[bound]] or [rows[0]]
    return Decimal(reached[-1]["mav_g"])


def package_errors(
    gross_g: Sequence[Decimal], tares_g: Sequence[Decimal], labelled_g: Decimal
) -> tuple[Decimal, ...]:
    """Return each jar's error against the nominal gross weight, g.

    Args:
        gross_g: weights of the filled jars.
        tares_g: weights of empty jars with lid and label; their average is used
            for every jar.
        labelled_g: the labelled quantity, unrounded.

    Raises:
        NetContentsError: no tare was weighed, or a jar weighs less than its tare.

    Source: NIST Handbook 133 (2026), 2.3.6.
    """
    if not tares_g:
        raise NetContentsError(
            say("weigh at least one empty jar with its lid and label")
        )
    tare = sum(tares_g, Decimal(0)) / len(tares_g)
    light = next((each for each in gross_g if each <= tare), None)
    if light is not None:
        raise NetContentsError(
            say(
                "a full jar of {light} g is lighter than an empty one of {tare} g; "
                "enter the weight of the full jar",
                light=number_text(light, places=1),
                tare=number_text(tare, places=1),
            )
        )
    return tuple(each - (tare + labelled_g) for each in gross_g)


@dataclass(frozen=True, slots=True, kw_only=True)
class NetContentsResult:
    """The verdict on a sample, with every term.

    Attributes:
        plan: how many jars were to be weighed.
        labelled_g: quantity each jar is held to, g.
        errors_g: package errors, g, in the order weighed.
        mav_g: largest shortage allowed, g.
        average_g: average error, g.
        spread_g: sample standard deviation, g; zero for one jar.
        factor: sample correction factor; None for one jar.
        allowance_g: moisture allowance; zero for sealed glass.
    """

    plan: SamplingPlan
    labelled_g: Decimal
    errors_g: tuple[Decimal, ...]
    mav_g: Decimal
    average_g: Decimal
    spread_g: Decimal
    factor: Decimal | None
    allowance_g: Decimal = Decimal(0)

    @property
    def limit_g(self) -> Decimal:
        """How far below zero the average may lie (sample error limit), g."""
        factor = self.factor or Decimal(0)
        return self.spread_g * factor + self.allowance_g

    @property
    def beyond_mav(self) -> tuple[Decimal, ...]:
        """The unreasonable minus errors, g."""
        limit = self.mav_g + self.allowance_g
        return tuple(each for each in self.errors_g if -each > limit)

    @property
    def still_to_weigh(self) -> int:
        """Jars missing for the plan."""
        return max(0, self.plan.sample - len(self.errors_g))

    @property
    def passes_single(self) -> bool:
        """No more shortages beyond the MAV than the plan allows."""
        return len(self.beyond_mav) <= self.plan.beyond_mav

    @property
    def passes_average(self) -> bool:
        """The average is not short by more than the sample error limit."""
        return self.average_g >= 0 or -self.average_g <= self.limit_g

    @property
    def passes(self) -> bool:
        """Enough jars were weighed and both tests are passed."""
        return not self.still_to_weigh and self.passes_single and self.passes_average

    @property
    def verdict(self) -> str:
        """One sentence, never more than the sample shows."""
        if not self.passes_single:
            worst = number_text(-min(self.errors_g), places=1)
            return say(
                "would not pass: one jar is {worst} g short, more than the {mav_g} "
                "g allowed for a single jar",
                worst=worst,
                mav_g=number_text(self.mav_g, places=1),
            )
        if not self.passes_average:
            return say(
                "would not pass: on average {average_g} g short, more than the "
                "{limit_g} g this sample allows",
                average_g=number_text(-self.average_g),
                limit_g=number_text(self.limit_g),
            )
        if self.still_to_weigh:
            return say(
                "weigh {still_to_weigh} more of the {lot_size} jars",
                still_to_weigh=self.still_to_weigh,
                lot_size=self.plan.lot_size,
            )
        return say("this sample would pass the single-jar test and the average test")


def judge_errors(
    errors_g: Sequence[Decimal],
    *,
    declaration: Declaration,
    lot_size: int,
    allowance_g: Decimal = Decimal(0),
) -> NetContentsResult:
    """Judge package errors by the single-jar test and the average test.

    Args:
        errors_g: one per jar, in any order.
        declaration: what the label says.
        lot_size: jars in the lot.
        allowance_g: moisture allowance, applied once; zero for sealed jars.

    Raises:
        NetContentsError: nothing was weighed, or more jars than there are.

    Source: NIST Handbook 133 (2026), 2.3.7 and 2.3.8. Equality with the sample
    error limit, which the text leaves open, passes.
    """
    if not errors_g:
        raise NetContentsError(say("no jar was weighed"))
    if len(errors_g) > lot_size:
        raise NetContentsError(
            say(
                "{errors_g} jars were weighed, but the lot holds {lot_size}",
                errors_g=len(errors_g),
                lot_size=lot_size,
            )
        )
    many = len(errors_g) > 1
    return NetContentsResult(
        plan=sampling_plan(lot_size),
        labelled_g=declaration.larger_g,
        errors_g=tuple(errors_g),
        mav_g=maximum_allowable_variation_g(declaration),
        average_g=sum(errors_g, Decimal(0)) / len(errors_g),
        spread_g=stdev(errors_g) if many else Decimal(0),
        factor=correction_factor(len(errors_g)) if many else None,
        allowance_g=allowance_g,
    )


def check_jars(
    gross_g: Sequence[Decimal],
    tares_g: Sequence[Decimal],
    *,
    declaration: Declaration,
    lot_size: int,
) -> NetContentsResult:
    """Check weighed jars against their label.

    Args:
        gross_g: weights of filled jars at room temperature, g.
        tares_g: weights of empty jars with lid and label, g.
        declaration: what the label says.
        lot_size: jars in the lot.
    """
    errors = package_errors(gross_g, tares_g, declaration.larger_g)
    return judge_errors(errors, declaration=declaration, lot_size=lot_size)


def declare_instead(result: NetContentsResult) -> Declaration:
    """Return the largest net weight these jars carry without leaning on a tolerance.

    The average of the sample is not below it and no jar is short by more than the
    MAV of the new weight. Ounces in tenths, grams derived from them.

    Raises:
        NetContentsError: the jars hold next to nothing.
    """
    nets = [each + result.labelled_g for each in result.errors_g]
    mean = sum(nets, Decimal(0)) / len(nets)
    tenths = int(mean / GRAMS_PER_OUNCE.value * 10)
    while tenths > 0:
        ounces = Decimal(tenths) / 10
        declaration = Declaration(ounces=ounces, grams=grams_from_ounces(ounces))
        mav = maximum_allowable_variation_g(declaration)
        if min(nets) >= declaration.larger_g - mav:
            return declaration
        tenths -= 1
    raise NetContentsError(say("these jars hold too little to declare a weight"))


def fill_target_g(
    *, labelled_g: Decimal, spread_g: Decimal, mav_g: Decimal, division_g: Decimal
) -> Decimal:
    """Return the fill to aim at so that a check seldom fails, g (an advice).

    Args:
        labelled_g: quantity on the label.
        spread_g: standard deviation of the fill between jars of one batch.
        mav_g: allowable variation of one jar.
        division_g: smallest step of the scale.
    """
    margin = max(spread_g / 4, MAV_SPREADS * spread_g - mav_g, division_g)
    return labelled_g + margin
