"""The season plan: what to buy, freeze and cook in which week (a mixed-integer program).

Batches, packs and cases are whole numbers; fruit, jars and money flow. Demand comes
as segments whose chance of selling falls, so that no whole numbers are needed for
it. Lost sales are always allowed; a plan that cannot be kept is relaxed in a stated
order and says so.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING

from inventory.words import say, to_say
from production.planning.season_model import Columns, build
from production.planning.season_problem import Kettle, SeasonProblem

if TYPE_CHECKING:
    from production.planning.milp import Solved

__all__ = ["Binding", "Cooked", "SeasonPlan", "WeekBooks", "plan_season", "relaxation"]

GAP = 0.02
SECONDS = 60.0
CENT = Decimal("0.01")
RELAXED_CASH = to_say("the rule that a week's spending is at hand when it begins")
RELAXED_WISHES = to_say("the batches that were wished for or begun")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cooked:
    """So many batches of a product begun in a week, each in a way of its kettle."""

    key: str
    week: int
    batches: int
    jars: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekBooks:
    """One week in figures.

    Attributes:
        week: its number.
        bought_kg: fruit -> kg bought.
        frozen_kg: fruit -> kg put into the freezer.
        freezer_kg: kg in the freezer at the end.
        stock: product -> jars after the market (expected).
        sold: product -> jars sold (expected).
        cases: jar kind -> cases bought.
        cash: at the end; None where cash is not limited.
        minutes: kitchen minutes used.
    """

    week: int
    bought_kg: dict[str, Decimal]
    frozen_kg: dict[str, Decimal]
    freezer_kg: Decimal
    stock: dict[str, Decimal]
    sold: dict[str, Decimal]
    cases: dict[str, int]
    cash: Decimal | None
    minutes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Binding:
    """A limit that binds, and what one more unit of it would earn.

    The figure holds while batches, packs and cases stay as planned.
    """

    what: str
    week: int | None
    worth: Decimal
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonPlan:
    """The answer.

    Attributes:
        status: optimal, gap, time or stopped.
        objective: what the plan earns by the problem's own account.
        bound: no plan earns more.
        cooked: batches by week.
        weeks: the books of each week.
        bindings: limits that bind, the dearest first.
        left_out: product -> why no batch of it is planned.
        relaxed: rules that had to be given up, in order; empty as a rule.
        seconds: spent searching.
    """

    status: str
    objective: Decimal
    bound: Decimal
    cooked: tuple[Cooked, ...]
    weeks: tuple[WeekBooks, ...]
    bindings: tuple[Binding, ...]
    left_out: dict[str, str]
    relaxed: tuple[str, ...]
    seconds: float

    @property
    def gap(self) -> Decimal:
        """Share by which the bound lies above the plan."""
        if not self.bound:
            return Decimal(0)
        share = (self.bound - self.objective) / abs(self.bound)
        return max(Decimal(0), share).quantize(Decimal("0.0001"))


def plan_season(
    problem: SeasonProblem,
    *,
    gap: float = GAP,
    seconds: float = SECONDS,
    tell: Callable[[float, float, float], bool] | None = None,
) -> SeasonPlan:
    """Plan a season.

    Args:
        problem: the question.
        gap: good enough when this close to the bound, as a share.
        seconds: stop after so long with the best so far.
        tell: told (seconds, plan, bound) now and then; True stops the search.

    Returns:
        The best plan found, with its bound.
    """
    relaxed: list[str] = []
    for loosened, rule in _loosened(problem):
        if rule:
            relaxed.append(rule)
        columns = build(loosened)
        solved = columns.model.solve(gap=gap, seconds=seconds, tell=tell)
        if solved.values:
            return _plan(columns, loosened, solved, tuple(relaxed))
    raise AssertionError("doing nothing is always a plan")


def relaxation(problem: SeasonProblem) -> Decimal:
    """The bound when batches, packs and cases may be fractions."""
    return Decimal(str(round(build(problem).model.relaxed(), 4)))


def _loosened(problem: SeasonProblem) -> list[tuple[SeasonProblem, str]]:
    """The problem, then with one more rule given up each time."""
    without_cash = replace(problem, opening_cash=None)
    free = tuple(replace(kettle, least={}) for kettle in problem.kettles)
    return [
        (problem, ""),
        (without_cash, RELAXED_CASH),
        (replace(without_cash, kettles=free), RELAXED_WISHES),
    ]


def _plan(
    columns: Columns, problem: SeasonProblem, solved: "Solved", relaxed: tuple[str, ...]
) -> SeasonPlan:
    values = solved.values
    cooked = tuple(_cooked(columns, problem, values))
    return SeasonPlan(
        status=solved.status,
        objective=_money(solved.objective),
        bound=_money(solved.bound),
        cooked=cooked,
        weeks=tuple(
            _books(columns, problem, values, week) for week in range(problem.weeks)
        ),
        bindings=_bindings(columns, columns.model.held_duals(values)),
        left_out=_left_out(problem, cooked),
        relaxed=relaxed,
        seconds=solved.seconds,
    )


def _money(value: float) -> Decimal:
    return Decimal(str(round(value, 4))).quantize(CENT)


def _amount(value: float) -> Decimal:
    return Decimal(str(round(value, 2))).quantize(CENT)


def _cooked(
    columns: Columns, problem: SeasonProblem, values: tuple[float, ...]
) -> list[Cooked]:
    jars = {kettle.key: kettle.jars for kettle in problem.kettles}
    counted: dict[tuple[str, int], int] = {}
    for (key, week, _), column in columns.batches.items():
        number = round(values[column])
        if number:
            counted[key, week] = counted.get((key, week), 0) + number
    return [
        Cooked(key=key, week=week, batches=number, jars=number * jars[key])
        for (key, week), number in sorted(counted.items(), key=lambda one: one[0][::-1])
    ]


def _books(
    columns: Columns, problem: SeasonProblem, values: tuple[float, ...], week: int
) -> WeekBooks:
    def at(
        found: dict[tuple[str, int], int], factor: float = 1.0
    ) -> dict[str, Decimal]:
        picked = {
            key: _amount(values[column] * factor)
            for (key, when), column in found.items()
            if when == week
        }
        return {key: amount for key, amount in picked.items() if amount > 0}

    sold: dict[str, Decimal] = {}
    for (key, when), parts in columns.sold.items():
        if when == week:
            jars = sum(values[column] * chance for column, chance in parts)
            sold[key] = sold.get(key, Decimal(0)) + _amount(jars)
    packs = {fruit.key: float(fruit.pack_kg or 1) for fruit in problem.fruits}
    bought = {
        key: _amount(values[column] * packs[key])
        for (key, when), column in columns.bought.items()
        if when == week and values[column] > 1e-6
    }
    cash = None if columns.cash is None else _money(values[columns.cash[week]])
    return WeekBooks(
        week=week,
        bought_kg=bought,
        frozen_kg=at(columns.frozen),
        freezer_kg=sum(at(columns.freezer).values(), Decimal(0)),
        stock=at(columns.stock),
        sold={key: jars for key, jars in sold.items() if jars > 0},
        cases={key: int(number) for key, number in at(columns.cases).items()},
        cash=cash,
        minutes=_minutes(columns, problem, values, week),
    )


def _minutes(
    columns: Columns, problem: SeasonProblem, values: tuple[float, ...], week: int
) -> int:
    ways = {kettle.key: kettle.ways for kettle in problem.kettles}
    return sum(
        round(values[column]) * sum(ways[key][way].minutes)
        for (key, when, way), column in columns.batches.items()
        if when == week
    )


def _bindings(columns: Columns, duals: tuple[float, ...]) -> tuple[Binding, ...]:
    found = [
        Binding(
            what=limit.what,
            week=limit.week,
            worth=_money(abs(duals[row]) * limit.unit_size),
            unit=limit.unit,
        )
        for row, limit in columns.limits.items()
        if abs(duals[row]) * limit.unit_size >= 0.01
    ]
    return tuple(sorted(found, key=lambda one: (-one.worth, one.what)))[:20]


def _left_out(problem: SeasonProblem, cooked: tuple[Cooked, ...]) -> dict[str, str]:
    """Why no batch of a product is planned, in words."""
    made = {each.key for each in cooked}
    return {
        kettle.key: _reason(problem, kettle.key)
        for kettle in problem.kettles
        if kettle.key not in made and not kettle.makes
    }


def _to_buy(problem: SeasonProblem, kettle: Kettle) -> Iterator[str]:
    """What must be bought for a kettle, and for what is made for it and not there."""
    there = {fruit.key for fruit in problem.fruits if fruit.opening_frozen_kg}
    for name in kettle.needs:
        makers = problem.makers(name)
        if not makers:
            yield name
        elif name not in there:
            yield from _to_buy(problem, makers[0])


def _reason(problem: SeasonProblem, key: str) -> str:
    kettle = next(each for each in problem.kettles if each.key == key)
    fruits = {fruit.key: fruit for fruit in problem.fruits}
    for name in _to_buy(problem, kettle):
        fruit = fruits[name]
        if not fruit.opening_frozen_kg and all(p is None for p in fruit.prices):
            return say("season: no {name} can be had in these weeks", name=name)
    if not any(sale.key == key and sale.segments for sale in problem.sales):
        return say("demand: nobody is expected to ask for it")
    best = max(
        (sale.net for sale in problem.sales if sale.key == key), default=Decimal(0)
    )
    cheapest = sum(
        (
            kg
            * min((p for p in fruits[name].prices if p is not None), default=Decimal(0))
            for name, kg in kettle.needs.items()
        ),
        kettle.other_cost,
    )
    if best * kettle.jars <= cheapest:
        return say("money: a batch costs more than its jars bring")
    minutes = min(sum(way.minutes) for way in kettle.ways)
    longest = max(
        (sum(session.minutes for session in week) for week in problem.sessions),
        default=0,
    )
    if minutes > longest:
        return say(
            "hours: a batch takes {minutes} minutes and no week has so many",
            minutes=minutes,
        )
    have = problem.opening_stock.get(key, (0, 0))[0]
    if have:
        return say(
            "shelf: {have} jars are there, which is enough for these weeks", have=have
        )
    return say("hours: other jars earn more in the same time")
