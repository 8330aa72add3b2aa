"""What a season's plan is asked: fruit, recipes, kitchen, markets, money, by week.

Weeks are numbered from 0. Money in the seller's currency, fruit in kg, kitchen time
in minutes. Frozen values only; ``season.py`` solves them.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from inventory.words import say

__all__ = [
    "Fruit",
    "Jars",
    "Kettle",
    "Sale",
    "SeasonError",
    "SeasonProblem",
    "Segment",
    "Session",
    "Way",
]


class SeasonError(ValueError):
    """A season that cannot be asked about."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fruit:
    """One fruit, or another material that cannot be had at any time.

    Attributes:
        key: its name in the problem.
        prices: money per kg, one a week; None where it cannot be had.
        most_kg: what can be had in each week; None is no limit.
        pack_kg: sold in packs of so much; None is any amount.
        fresh_weeks: weeks it keeps beyond the one it is bought in.
        frozen_weeks: weeks after freezing in which it can be used; 0 is never.
        freeze_cost: money per kg frozen.
        opening_frozen_kg: in the freezer at the start, usable for frozen_weeks.
        end_value: money per kg frozen and left at the end.
    """

    key: str
    prices: tuple[Decimal | None, ...]
    most_kg: tuple[Decimal | None, ...] = ()
    pack_kg: Decimal | None = None
    fresh_weeks: int = 0
    frozen_weeks: int = 0
    freeze_cost: Decimal = Decimal(0)
    opening_frozen_kg: Decimal = Decimal(0)
    end_value: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """How a batch spreads over the sessions of its week: minutes and canner loads."""

    minutes: tuple[int, ...]
    loads: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Kettle:
    """A recipe as a batch of one product.

    Attributes:
        key: the product.
        needs: fruit key -> kg as bought for a batch.
        other_cost: money for sugar, pectin, lids, labels, energy of a batch.
        jars: jars of a batch; none where it makes something to be cooked with.
        ways: at least one.
        life_weeks: weeks after the one it is made in during which a jar may be sold.
        jar_kind: key of the empty jars it fills; empty when they are in other_cost.
        least, most: batches begun already or wished for, by week.
        makes: the fruit key of what it makes instead of jars: juice, purée; it is
            used fresh, or frozen, as bought fruit is.
        makes_kg: of a batch.
    """

    key: str
    needs: Mapping[str, Decimal]
    other_cost: Decimal
    jars: int
    ways: tuple[Way, ...]
    life_weeks: int = 520
    jar_kind: str = ""
    least: Mapping[int, int] = field(default_factory=dict)
    most: Mapping[int, int] = field(default_factory=dict)
    makes: str = ""
    makes_kg: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """So many further jars, each sold with a probability (worth falling)."""

    jars: Decimal
    probability: Decimal = Decimal(1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sale:
    """Demand for a product in a week at one outlet.

    Attributes:
        key: product.
        week: when.
        price: gross price of a jar, counted towards the cap.
        net: what of it is kept after commission and card fees.
        segments: probabilities not rising.
        penalty: money for each jar of expected demand not met.
    """

    key: str
    week: int
    price: Decimal
    net: Decimal
    segments: tuple[Segment, ...]
    penalty: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        chances = [segment.probability for segment in self.segments]
        if chances != sorted(chances, reverse=True):
            raise SeasonError(
                say(
                    "the chance of selling one more {key} rises in week {week}; a "
                    "further jar is never surer than the one before",
                    key=self.key,
                    week=self.week,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Jars:
    """Empty jars, bought in cases."""

    key: str
    case: int
    case_price: Decimal
    opening: int = 0
    end_value: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """Kitchen time of one session of a week, e.g. a day or the week as a whole."""

    minutes: int
    loads: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonProblem:
    """The whole question.

    Attributes:
        weeks: how many.
        sessions: for each week, its sessions; the same number in every week.
        fees: money for attending, one a week.
        shelf_jars: most jars stored after the market of a week; None is no limit.
        freezer_kg: most fruit frozen at the end of a week; None is no limit.
        opening_cash: None is no limit on spending.
        opening_stock: product -> (jars, weeks of life left).
        end_values: product -> money for a jar left at the end.
        end_limits: product -> jars that are worth it; more are worth nothing. A
            product left out has no limit.
        caps: (first week, last week, most gross sales) of each year.
        minute_cost: money for a minute of work, not paid in cash.
    """

    weeks: int
    fruits: tuple[Fruit, ...]
    kettles: tuple[Kettle, ...]
    sales: tuple[Sale, ...]
    sessions: tuple[tuple[Session, ...], ...]
    jars: tuple[Jars, ...] = ()
    fees: tuple[Decimal, ...] = ()
    shelf_jars: int | None = None
    freezer_kg: Decimal | None = None
    opening_cash: Decimal | None = None
    opening_stock: Mapping[str, tuple[int, int]] = field(default_factory=dict)
    end_values: Mapping[str, Decimal] = field(default_factory=dict)
    end_limits: Mapping[str, int] = field(default_factory=dict)
    caps: tuple[tuple[int, int, Decimal], ...] = ()
    minute_cost: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        if not 1 <= self.weeks <= 80:
            raise SeasonError(
                say(
                    "{weeks} weeks cannot be planned; choose 1 to 80 (18 months)",
                    weeks=self.weeks,
                )
            )
        if len(self.sessions) != self.weeks:
            raise SeasonError(
                say(
                    "kitchen time is given for {sessions} weeks of {weeks}",
                    sessions=len(self.sessions),
                    weeks=self.weeks,
                )
            )
        known = {fruit.key for fruit in self.fruits}
        for kettle in self.kettles:
            if missing := {*kettle.needs, *filter(None, [kettle.makes])} - known:
                raise SeasonError(
                    say(
                        "{key} needs {missing}, of which nothing is known; add its season "
                        "and price",
                        key=kettle.key,
                        missing=", ".join(sorted(missing)),
                    )
                )

    def makers(self, fruit: str) -> tuple[Kettle, ...]:
        """The kettles that make a fruit's key: juice, purée."""
        return tuple(kettle for kettle in self.kettles if kettle.makes == fruit)
