"""The season's rows and columns, one family a method, over the small door to HiGHS."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING

from inventory.words import say
from production.planning.season_problem import Fruit, Kettle, SeasonProblem

if TYPE_CHECKING:
    from production.planning.milp import Model

__all__ = ["Columns", "Limit", "build"]

MINUTES_PER_HOUR = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A row that limits something a seller could have more of."""

    what: str
    week: int | None
    unit: str
    unit_size: float = 1.0


@dataclass(slots=True)
class Columns:
    """Where each quantity stands in the model."""

    model: "Model"
    batches: dict[tuple[str, int, int], int] = field(default_factory=dict)
    bought: dict[tuple[str, int], int] = field(default_factory=dict)
    fresh: dict[tuple[str, int], int] = field(default_factory=dict)
    used_fresh: dict[tuple[str, int], int] = field(default_factory=dict)
    frozen: dict[tuple[str, int], int] = field(default_factory=dict)
    thawed: dict[tuple[str, int], int] = field(default_factory=dict)
    freezer: dict[tuple[str, int], int] = field(default_factory=dict)
    stock: dict[tuple[str, int], int] = field(default_factory=dict)
    scrapped: dict[tuple[str, int], int] = field(default_factory=dict)
    sold: dict[tuple[str, int], list[tuple[int, float]]] = field(default_factory=dict)
    cases: dict[tuple[str, int], int] = field(default_factory=dict)
    empties: dict[tuple[str, int], int] = field(default_factory=dict)
    cash: list[int] | None = None
    limits: dict[int, Limit] = field(default_factory=dict)
    spending: dict[int, dict[int, float]] = field(default_factory=dict)
    takings: dict[int, dict[int, float]] = field(default_factory=dict)
    gross: dict[int, dict[int, float]] = field(default_factory=dict)


def build(problem: SeasonProblem) -> Columns:
    """Put the rows and columns of a season together."""
    from production.planning.milp import Model  # noqa: PLC0415  loads the solver

    builder = _Builder(problem, Columns(model=Model()))
    builder.batches()
    builder.fruit()
    builder.sales()
    builder.stock()
    builder.empties()
    builder.kitchen()
    builder.space()
    builder.cash()
    builder.caps()
    return builder.columns


class _Builder:
    def __init__(self, problem: SeasonProblem, columns: Columns) -> None:
        self.problem = problem
        self.columns = columns
        self.model = columns.model
        self.weeks = range(problem.weeks)
        for week in self.weeks:
            columns.spending[week] = {}
            columns.takings[week] = {}
            columns.gross[week] = {}

    def _spend(self, week: int, column: int, amount: Decimal | float) -> None:
        """Money out in a week for each unit of a column."""
        if not amount:
            return
        row = self.columns.spending[week]
        row[column] = row.get(column, 0.0) + float(amount)
        self.model.costs[column] -= float(amount)

    def batches(self) -> None:
        """Whole batches, by week and way."""
        for kettle in self.problem.kettles:
            for week in self.weeks:
                for way, spread in enumerate(kettle.ways):
                    minutes = sum(spread.minutes)
                    column = self.model.column(
                        worth=-float(self.problem.minute_cost) * minutes,
                        most=float(self._most_batches(kettle, week, way)),
                        is_whole=True,
                    )
                    self.columns.batches[kettle.key, week, way] = column
                    self._spend(week, column, kettle.other_cost)
                if kettle.least.get(week) or week in kettle.most:
                    self._wish(kettle, week)

    def _most_batches(self, kettle: Kettle, week: int, way: int) -> int:
        spread = kettle.ways[way]
        fits = [
            session.minutes // minutes
            for session, minutes in zip(
                self.problem.sessions[week], spread.minutes, strict=True
            )
            if minutes
        ]
        fits += [
            session.loads // loads
            for session, loads in zip(
                self.problem.sessions[week], spread.loads, strict=True
            )
            if loads
        ]
        return max(0, min(fits, default=50))

    def _wish(self, kettle: Kettle, week: int) -> None:
        terms = {
            self.columns.batches[kettle.key, week, way]: 1.0
            for way in range(len(kettle.ways))
        }
        self.model.row(
            terms,
            least=float(kettle.least.get(week, 0)),
            most=float(kettle.most.get(week, 1000)),
        )

    def fruit(self) -> None:
        """Bought fresh, used fresh, frozen, thawed; nothing older than it keeps."""
        for fruit in self.problem.fruits:
            for week in self.weeks:
                self._fruit_columns(fruit, week)
            for week in self.weeks:
                self._fresh_rows(fruit, week)
                self._frozen_rows(fruit, week)
                self._use_row(fruit, week)

    def _fruit_columns(self, fruit: Fruit, week: int) -> None:
        key = (fruit.key, week)
        columns, model = self.columns, self.model
        price = fruit.prices[week]
        size = float(fruit.pack_kg or 1)
        if price is not None:
            limit = fruit.most_kg[week] if fruit.most_kg else None
            most = float("inf") if limit is None else float(limit) / size
            column = model.column(is_whole=fruit.pack_kg is not None)
            columns.bought[key] = column
            self._spend(week, column, float(price) * size)
            if limit is not None:
                row = model.row({column: 1.0}, most=float(int(most)) if fruit.pack_kg else most)  # fmt: skip
                columns.limits[row] = Limit(
                    what=say("{key} on offer", key=fruit.key),
                    week=week,
                    unit="kg",
                    unit_size=1 / size,
                )
        columns.used_fresh[key] = model.column()
        columns.fresh[key] = model.column()
        if fruit.frozen_weeks:
            end = float(fruit.end_value) if week == self.problem.weeks - 1 else 0.0
            columns.frozen[key] = model.column()
            self._spend(week, columns.frozen[key], fruit.freeze_cost)
            columns.thawed[key] = model.column()
            columns.freezer[key] = model.column(worth=end)

    def _fresh_rows(self, fruit: Fruit, week: int) -> None:
        columns = self.columns
        terms = {columns.used_fresh[fruit.key, week]: -1.0}
        terms[columns.fresh[fruit.key, week]] = -1.0
        if (fruit.key, week) in columns.bought:
            terms[columns.bought[fruit.key, week]] = float(fruit.pack_kg or 1)
        terms |= self._cooked(fruit, week)
        if week:
            terms[columns.fresh[fruit.key, week - 1]] = 1.0
        if fruit.frozen_weeks:
            terms[columns.frozen[fruit.key, week]] = -1.0
        self.model.row(terms, least=0.0)
        kept = {columns.fresh[fruit.key, week]: -1.0}
        for earlier in range(max(0, week - fruit.fresh_weeks + 1), week + 1):
            if fruit.fresh_weeks and (fruit.key, earlier) in columns.bought:
                kept[columns.bought[fruit.key, earlier]] = float(fruit.pack_kg or 1)
            if fruit.fresh_weeks:
                kept |= self._cooked(fruit, earlier)
        self.model.row(kept, least=0.0)

    def _cooked(self, fruit: Fruit, week: int) -> dict[int, float]:
        """Batches that make it in a week, with the kg of each."""
        return {
            self.columns.batches[kettle.key, week, way]: float(kettle.makes_kg)
            for kettle in self.problem.makers(fruit.key)
            for way in range(len(kettle.ways))
        }

    def _frozen_rows(self, fruit: Fruit, week: int) -> None:
        if not fruit.frozen_weeks:
            return
        columns, key = self.columns, fruit.key
        terms = {
            columns.freezer[key, week]: -1.0,
            columns.thawed[key, week]: -1.0,
        }
        opening = float(fruit.opening_frozen_kg) if not week else 0.0
        if week:
            terms[columns.freezer[key, week - 1]] = 1.0
        terms[columns.frozen[key, week]] = 1.0
        self.model.row(terms, least=-opening)
        if not week:
            self.model.upper[columns.thawed[key, week]] = opening
        else:
            before = {
                columns.freezer[key, week - 1]: 1.0,
                columns.thawed[key, week]: -1.0,
            }
            self.model.row(before, least=0.0)
        kept = {columns.freezer[key, week]: -1.0}
        for earlier in range(max(0, week - fruit.frozen_weeks + 1), week + 1):
            kept[columns.frozen[key, earlier]] = 1.0
        still = float(fruit.opening_frozen_kg) if week < fruit.frozen_weeks else 0.0
        self.model.row(kept, least=-still)

    def _use_row(self, fruit: Fruit, week: int) -> None:
        terms = {self.columns.used_fresh[fruit.key, week]: 1.0}
        if fruit.frozen_weeks:
            terms[self.columns.thawed[fruit.key, week]] = 1.0
        for kettle in self.problem.kettles:
            need = float(kettle.needs.get(fruit.key, 0))
            for way in range(len(kettle.ways)):
                if need:
                    terms[self.columns.batches[kettle.key, week, way]] = -need
        self.model.row(terms, least=0.0, most=0.0)

    def sales(self) -> None:
        """Jars offered by segment; what is expected to sell brings money."""
        for sale in self.problem.sales:
            wanted = sum(
                (segment.jars * segment.probability for segment in sale.segments),
                Decimal(0),
            )
            self.model.constant -= float(sale.penalty * wanted)
            for segment in sale.segments:
                chance = float(segment.probability)
                column = self.model.column(
                    worth=float(sale.net + sale.penalty) * chance,
                    most=float(segment.jars),
                )
                parts = self.columns.sold.setdefault((sale.key, sale.week), [])
                parts.append((column, chance))
                self.columns.takings[sale.week][column] = float(sale.net) * chance
                self.columns.gross[sale.week][column] = float(sale.price) * chance

    def stock(self) -> None:
        """Jars made, offered, kept and past their life."""
        for kettle in self.problem.kettles:
            for week in self.weeks:
                self.columns.stock[kettle.key, week] = self.model.column()
                ages = kettle.life_weeks < self.problem.weeks
                self.columns.scrapped[kettle.key, week] = self.model.column(
                    most=float("inf") if ages else 0.0
                )
            self._end_value(kettle)
            for week in self.weeks:
                self._stock_rows(kettle, week)

    def _end_value(self, kettle: Kettle) -> None:
        """What is left at the end is worth something, up to a limit."""
        worth = float(self.problem.end_values.get(kettle.key, 0))
        left = self.columns.stock[kettle.key, self.problem.weeks - 1]
        most = float(self.problem.end_limits.get(kettle.key, float("inf")))
        valued = self.model.column(worth=worth, most=most)
        self.model.row({left: 1.0, valued: -1.0}, least=0.0)

    def _made(self, kettle: Kettle, week: int) -> Iterator[tuple[int, float]]:
        for way in range(len(kettle.ways)):
            yield self.columns.batches[kettle.key, week, way], float(kettle.jars)

    def _stock_rows(self, kettle: Kettle, week: int) -> None:
        columns, key = self.columns, kettle.key
        opening, life = self.problem.opening_stock.get(key, (0, 0))
        here = {columns.stock[key, week]: -1.0, columns.scrapped[key, week]: -1.0}
        offered = {}
        for column, chance in columns.sold.get((key, week), []):
            here[column] = -chance
            offered[column] = -1.0
        for column, jars in self._made(kettle, week):
            here[column] = jars
            offered[column] = jars
        if week:
            here[columns.stock[key, week - 1]] = 1.0
            offered[columns.stock[key, week - 1]] = 1.0
        first = 0.0 if week else float(opening)
        self.model.row(here, least=-first, most=-first)
        if len(offered) > 1 or not week:
            self.model.row(offered, least=-first)
        if kettle.life_weeks < self.problem.weeks:
            young = {columns.stock[key, week]: -1.0}
            for earlier in range(max(0, week - kettle.life_weeks + 1), week + 1):
                young |= dict(self._made(kettle, earlier))
            still = float(opening) if week < life else 0.0
            self.model.row(young, least=-still)

    def empties(self) -> None:
        """Empty jars, bought by the case."""
        for kind in self.problem.jars:
            for week in self.weeks:
                case = self.model.column(is_whole=True)
                self.columns.cases[kind.key, week] = case
                self._spend(week, case, kind.case_price)
                last = week == self.problem.weeks - 1
                worth = float(kind.end_value) if last else 0.0
                left = self.model.column(worth=worth)
                self.columns.empties[kind.key, week] = left
                terms = {case: float(kind.case), left: -1.0}
                if week:
                    terms[self.columns.empties[kind.key, week - 1]] = 1.0
                for kettle in self.problem.kettles:
                    if kettle.jar_kind == kind.key:
                        for column, jars in self._made(kettle, week):
                            terms[column] = -jars
                first = 0.0 if week else float(kind.opening)
                self.model.row(terms, least=-first, most=-first)

    def kitchen(self) -> None:
        """Minutes and canner loads of every session."""
        for week in self.weeks:
            for number, session in enumerate(self.problem.sessions[week]):
                minutes: dict[int, float] = {}
                loads: dict[int, float] = {}
                for kettle in self.problem.kettles:
                    for way, spread in enumerate(kettle.ways):
                        column = self.columns.batches[kettle.key, week, way]
                        minutes[column] = float(spread.minutes[number])
                        loads[column] = float(spread.loads[number])
                row = self.model.row(minutes, most=float(session.minutes))
                self.columns.limits[row] = Limit(
                    what=say("kitchen hours"),
                    week=week,
                    unit=say("hour"),
                    unit_size=MINUTES_PER_HOUR,
                )
                row = self.model.row(loads, most=float(session.loads))
                self.columns.limits[row] = Limit(
                    what=say("canner loads"), week=week, unit=say("load")
                )

    def space(self) -> None:
        """Shelf after the market, freezer at the end of the week."""
        for week in self.weeks:
            if self.problem.shelf_jars is not None:
                terms = {
                    column: 1.0
                    for (_, when), column in self.columns.stock.items()
                    if when == week
                }
                row = self.model.row(terms, most=float(self.problem.shelf_jars))
                self.columns.limits[row] = Limit(
                    what=say("shelf space"), week=week, unit=say("jar")
                )
            if self.problem.freezer_kg is not None and self.columns.freezer:
                terms = {
                    column: 1.0
                    for (_, when), column in self.columns.freezer.items()
                    if when == week
                }
                row = self.model.row(terms, most=float(self.problem.freezer_kg))
                self.columns.limits[row] = Limit(
                    what=say("freezer space"), week=week, unit="kg"
                )

    def cash(self) -> None:
        """Takings are worth money; spending is limited by what is there."""
        fees = self.problem.fees or (Decimal(0),) * self.problem.weeks
        self.model.constant -= float(sum(fees, Decimal(0)))
        if self.problem.opening_cash is None:
            return
        self.columns.cash = [self.model.column() for _ in self.weeks]
        for week in self.weeks:
            spending = self.columns.spending[week]
            takings = self.columns.takings[week]
            opening = float(self.problem.opening_cash) if not week else 0.0
            fee = float(fees[week])
            terms = {column: -money for column, money in spending.items()}
            if week:
                terms[self.columns.cash[week - 1]] = 1.0
            row = self.model.row(terms, least=fee - opening)
            self.columns.limits[row] = Limit(
                what=say("cash"), week=week, unit=say("of money")
            )
            terms = {column: -money for column, money in spending.items()}
            for column, money in takings.items():
                terms[column] = terms.get(column, 0.0) + money
            terms[self.columns.cash[week]] = -1.0
            if week:
                terms[self.columns.cash[week - 1]] = 1.0
            self.model.row(terms, least=fee - opening, most=fee - opening)

    def caps(self) -> None:
        """Gross sales of a year under the place's cap."""
        for first, last, most in self.problem.caps:
            terms: dict[int, float] = {}
            for week in range(first, last + 1):
                terms |= self.columns.gross[week]
            row = self.model.row(terms, most=float(most))
            self.columns.limits[row] = Limit(
                what=say("the year's sales cap"), week=None, unit=say("of money")
            )
