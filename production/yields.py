"""Yields learnt in this kitchen: jars filled against expected, trimmings weighed.

What is learnt corrects the prediction, and is shown as such; it never changes a
recipe by itself.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from inventory.sourced import Kind, Sourced, Status
from inventory.words import say, say_count, to_say
from production.wording import percent_text

__all__ = [
    "DRIFT_FRACTION",
    "BatchYield",
    "TrimYield",
    "YieldError",
    "YieldHistory",
    "trim_yield",
    "yield_history",
]

LAST_BATCHES = 5
LEAST_CORRECTION = Decimal("0.5")
MOST_CORRECTION = Decimal(2)
DRIFT_FRACTION = Sourced(
    value=Decimal("0.15"),
    unit="1",
    kind=Kind.CONVENTION,
    source="common practice",
    section="a change of more than 15 % is worth a look",
    status=Status.MEMORY,
)


class YieldError(ValueError):
    """A yield that cannot be worked out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchYield:
    """What one batch filled against what was expected of it.

    Attributes:
        code: the batch code.
        filled: jars filled.
        expected: jars expected before any learnt correction.
    """

    code: str
    filled: Decimal
    expected: Decimal

    def __post_init__(self) -> None:
        if self.expected <= 0:
            raise YieldError(say("batch {code} expected no jars", code=self.code))
        if self.filled < 0:
            raise YieldError(
                say("batch {code} filled less than no jars", code=self.code)
            )

    @property
    def ratio(self) -> Decimal:
        """Filled over expected, unrounded."""
        return self.filled / self.expected


@dataclass(frozen=True, slots=True, kw_only=True)
class YieldHistory:
    """The yields of a recipe, newest first.

    Attributes:
        batches: every batch that filled jars, newest first.
    """

    batches: tuple[BatchYield, ...]

    @property
    def last(self) -> tuple[BatchYield, ...]:
        """The last five."""
        return self.batches[:LAST_BATCHES]

    @property
    def average(self) -> Decimal | None:
        """Filled over expected of the last five together; None without batches."""
        if not self.batches:
            return None
        filled = sum((each.filled for each in self.last), Decimal(0))
        return filled / sum((each.expected for each in self.last), Decimal(0))

    @property
    def learnt_correction(self) -> Decimal:
        """What to multiply a prediction by; 1 until a batch was filled.

        Kept between a half and double, so that one slip of the pen stays small.
        """
        average = self.average
        if average is None:
            return Decimal(1)
        learnt = min(max(average, LEAST_CORRECTION), MOST_CORRECTION)
        return learnt.quantize(Decimal("0.0001"))

    @property
    def drifts(self) -> tuple[str, ...]:
        """What changed by more than 15 %, in words; empty when nothing did."""
        said = []
        average = self.average
        if average is not None and abs(average - 1) > DRIFT_FRACTION.value:
            many = len(self.last)
            batches = (
                say("the last {many} batches", many=many)
                if many > 1
                else say("the one batch")
            )
            said.append(
                say(
                    "{batches} filled {average} of the jars expected: check the "
                    "recipe's solids, yield and fill weight",
                    batches=batches,
                    average=percent_text(average, places=0),
                )
            )
        change = self.newest_change
        if change is not None and abs(change) > DRIFT_FRACTION.value:
            sentence = (
                to_say(
                    "batch {code} filled {change} more jars than the batches before "
                    "it: was it cooked longer, or the fruit different?"
                )
                if change > 0
                else to_say(
                    "batch {code} filled {change} fewer jars than the batches before "
                    "it: was it cooked longer, or the fruit different?"
                )
            )
            said.append(
                say(
                    sentence,
                    code=self.batches[0].code,
                    change=percent_text(abs(change), places=0),
                )
            )
        return tuple(said)

    @property
    def newest_change(self) -> Decimal | None:
        """How far the newest batch lies from up to five before it, as a fraction."""
        before = YieldHistory(batches=self.batches[1 : LAST_BATCHES + 1]).average
        if not before:
            return None
        return self.batches[0].ratio / before - 1


def yield_history(batches: Sequence[BatchYield]) -> YieldHistory:
    """Return the history of a recipe's batches, given newest first."""
    return YieldHistory(batches=tuple(batches))


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimYield:
    """The edible share of a material, as weighed here and as the table has it.

    Attributes:
        own: usable over bought, of all weighings together; None without any.
        weighings: how many.
        table: the share in the book.
    """

    own: Decimal | None
    weighings: int
    table: Decimal

    @property
    def says(self) -> str:
        """One sentence for the page."""
        if self.own is None:
            return say(
                "not weighed here yet; the book says {table}",
                table=percent_text(self.table),
            )
        return say_count(
            "{own} by {count} weighing here; the book says {table}",
            "{own} by {count} weighings here; the book says {table}",
            self.weighings,
            own=percent_text(self.own),
            table=percent_text(self.table),
        )

    @property
    def is_apart(self) -> bool:
        """Own weighings differ from the book by more than 5 points of a hundred."""
        return self.own is not None and abs(self.own - self.table) > Decimal("0.05")


def trim_yield(
    weighings: Sequence[tuple[Decimal, Decimal]], *, table: Decimal
) -> TrimYield:
    """Return the edible share by this kitchen's own weighings.

    Args:
        weighings: bought and usable weight, g.
        table: edible share in the book.

    Raises:
        YieldError: more was usable than bought, or nothing was bought.
    """
    for bought, usable in weighings:
        if bought <= 0 or not 0 <= usable <= bought:
            raise YieldError(
                say(
                    "{usable} g usable of {bought} g bought cannot be; weigh again",
                    usable=usable,
                    bought=bought,
                )
            )
    bought_g = sum((bought for bought, _ in weighings), Decimal(0))
    usable_g = sum((usable for _, usable in weighings), Decimal(0))
    return TrimYield(
        own=usable_g / bought_g if bought_g else None,
        weighings=len(weighings),
        table=table,
    )
