"""The market week as an integer program for CP-SAT.

Variables: batches of each run, jars of each product for each market step by
step of their falling worth, jars kept, packs bought, fruit used by day.
Everything the minutes need is also here as sums per day (hands, pots,
burners, canner, loads, light work, vessels at night): true of every
timetable, and what makes the program quick. What the sums cannot see is
ruled out afterwards by ``forbid`` and the program solved again.

Money is counted in hundredths of a cent.
"""

from collections.abc import Sequence
from decimal import Decimal
from itertools import groupby
from typing import Any

from production.planning.kitchen import KitchenDay, Part
from production.planning.runs import LIGHT_DAYS, Run, runs_of
from production.planning.week_hull import write_hull
from production.planning.week_materials import write_material
from production.planning.week_problem import (
    Candidate,
    ProductWeek,
    WeekProblem,
    Wish,
)
from production.planning.week_values import MONEY, WeekModel, units

__all__ = ["OVERTIME_MIN", "write"]

OVERTIME_MIN = 30
MOST_OVERTIME = 8


def write(
    problem: WeekProblem, *, elastic: bool = False, light_days: int = LIGHT_DAYS
) -> WeekModel:
    """Return the program of a week.

    Args:
        problem: the week.
        elastic: wishes, begun batches and hours may be given up at a price
            (highest for a begun batch, then hours, then a pinned batch, then
            its day).
        light_days: how many of the earliest days for seal check and labels are
            offered. With one day the minutes of light work are left unlimited:
            earliest is best for everything but them, so that no plan is lost.
    """
    from ortools.sat.python import cp_model

    week = WeekModel(cp_model.CpModel(), problem, elastic, light_days)
    for candidate in problem.candidates:
        late = OVERTIME_MIN * MOST_OVERTIME if elastic and candidate.begun else 0
        for run in runs_of(problem, candidate, late_min=late, light_days=light_days):
            week.runs[run] = week.model.new_int_var(0, candidate.most, str(run))
    _batches(week)
    _hours(week)
    if light_days > 1:
        _light_hours(week)
    for product in problem.products:
        _jars(week, product)
    _tables(week)
    for material in problem.materials:
        write_material(week, material)
    for product in problem.products:
        write_hull(week, product)
    _wishes(week)
    _changes(week)
    _costs(week)
    price = sum(weight * variable for _, _, variable, weight in week.slack)
    week.model.maximize(sum(week.terms.values()) - price)
    return week


def _prices(problem: WeekProblem) -> tuple[int, int, int, int]:
    """Return what giving up costs: a day, a pin, half an hour, a begun batch.

    Each is more than everything the one before could ever be worth.
    """
    worth = sum(
        (sum(w) for p in problem.products for w in p.worths.values()), Decimal(0)
    )
    worth += sum((n * w for p in problem.products for n, w in p.later), Decimal(0))
    base = max(units(Decimal(worth)), MONEY)
    return base, 8 * base, 64 * base, 2048 * base


def _batches(week: WeekModel) -> None:
    """Keep each candidate to its most; finish what is begun."""
    for candidate in week.problem.candidates:
        made = week.batches(candidate.key)
        week.model.add(made <= candidate.most)
        if candidate.begun and week.elastic:
            lost = week.model.new_int_var(0, candidate.most, f"lost {candidate.key}")
            week.model.add(made + lost == candidate.most)
            price = _prices(week.problem)[3]
            week.slack.append(("begun", candidate.key, lost, price))
        elif candidate.begun:
            week.model.add(made == candidate.most)


def _hours(week: WeekModel) -> None:
    """Keep the day sums of every station, and vessels at night."""
    problem = week.problem
    begun = any(candidate.begun for candidate in problem.candidates)
    for number, day in enumerate(problem.days):
        extra: Any = 0
        if week.elastic and begun and day.minutes:
            halves = week.model.new_int_var(0, MOST_OVERTIME, f"overtime {number}")
            week.slack.append(("hours", number, halves, _prices(problem)[2]))
            week.overtime[number] = halves
            extra = halves * OVERTIME_MIN
        _day_sums(week, number, day, extra)
    for night in range(len(problem.days)):
        standing = [
            x
            for run, x in week.runs.items()
            for n in run.nights(problem.candidate(run.candidate).parts)
            if n == night
        ]
        if standing:
            week.model.add(sum(standing) <= problem.equipment.vessels)


def _day_sums(week: WeekModel, number: int, day: KitchenDay, extra: Any) -> None:
    """Keep one day's sums."""
    have = week.problem.equipment
    today = [
        (part, x)
        for run, x in week.runs.items()
        for part, on in zip(
            week.problem.candidate(run.candidate).parts, run.days, strict=True
        )
        if on == number
    ]
    stove = [(part, x) for part, x in today if not part.light]
    if not stove:
        return
    minutes = day.plan_min + extra
    week.model.add(sum(p.hands_min * x for p, x in stove) <= have.cooks * minutes)
    week.model.add(sum(p.pot_min * x for p, x in stove) <= have.pots * minutes)
    week.model.add(sum(p.burner_min * x for p, x in stove) <= have.burners * minutes)
    if day.loads is not None:
        week.model.add(sum(p.loads * x for p, x in stove) <= day.loads)
    _edges(week, stove, minutes)


def _light_hours(week: WeekModel) -> None:
    """Keep each day's minutes of seal checks and labels."""
    for number, day in enumerate(week.problem.days):
        light = sum(
            part.hands_min * x
            for run, x in week.runs.items()
            for part, on in zip(
                week.problem.candidate(run.candidate).parts, run.days, strict=True
            )
            if part.light and on == number
        )
        week.model.add(light <= day.light_min)


def _edges(week: WeekModel, stove: Sequence[tuple[Part, Any]], minutes: Any) -> None:
    """Keep what the beginning and the end of a day take away.

    Before the canner can run something must be filled, and after the last
    hands-on work the canner still runs: parts that share such a head or tail
    share what is left of the day.
    """
    have = week.problem.equipment
    for tail in sorted({part.tail_min for part, _ in stove} - {0}):
        early = [p.early_hands_min * x for p, x in stove if p.tail_min >= tail]
        week.model.add(sum(early) <= have.cooks * (minutes - tail))
    canned = [(part, x) for part, x in stove if part.loads]
    for head in sorted({part.head_min for part, _ in canned}):
        late = [(p, x) for p, x in canned if p.head_min >= head]
        after = min(part.after_canner_min for part, _ in late)
        used = sum(part.canner_min * x for part, x in late)
        week.model.add(used <= have.canners * (minutes - head - after))


def _jars(week: WeekModel, product: ProductWeek) -> None:
    """Share a product's jars between its markets and the weeks after."""
    problem, model = week.problem, week.model
    runs = [
        (run, x, problem.candidate(run.candidate))
        for run, x in week.runs.items()
        if problem.candidate(run.candidate).product == product.key
    ]
    made = sum(candidate.jars * x for _, x, candidate in runs)
    coming = sum(jars for _, jars in product.coming)
    most = product.stock + coming + sum(c.jars * c.most for c in _makers(week, product))
    given: Any = 0
    worth: Any = 0
    markets = sorted(problem.markets, key=lambda market: (market.on, market.key))
    for market in markets:
        jars, earned = _steps(
            week,
            f"{product.key}@{market.key}",
            product.worths.get(market.key, ()),
            most,
        )
        week.taken[product.key, market.key] = jars
        given, worth = given + jars, worth + earned
        last = problem.number(market.on)
        ready = sum(c.jars * x for run, x, c in runs if _ready(run, last))
        ready += product.stock + sum(n for on, n in product.coming if on < market.on)
        model.add(given <= ready)
    later = tuple(w for jars, each in product.later for w in [each] * jars)
    kept, stored = _steps(week, f"{product.key} later", later, most)
    model.add(given + kept <= product.stock + coming + made)
    week.kept[product.key] = product.stock + coming + made - given
    week.terms[f"sales {product.key}"] = worth
    week.earned[product.key] = worth + stored
    opening = sum(later[: product.stock + coming], Decimal(0))
    week.terms[f"kept {product.key}"] = stored - units(opening)


def _makers(week: WeekModel, product: ProductWeek) -> list[Candidate]:
    """Return the candidates that fill a product."""
    return [c for c in week.problem.candidates if c.product == product.key]


def _ready(run: Run, market_day: int) -> bool:
    """Return whether a run's jars are ready the day before a market."""
    return run.ready_day is not None and run.ready_day < market_day


def _steps(
    week: WeekModel, name: str, worths: Sequence[Decimal], most: int
) -> tuple[Any, Any]:
    """Return jars and their worth along a falling row of worths."""
    jars: Any = 0
    earned: Any = 0
    for n, (worth, group) in enumerate(groupby(worths[:most])):
        if worth <= 0:
            break
        step = week.model.new_int_var(0, len(list(group)), f"{name}{n}")
        week.loose.add(step.index)
        jars, earned = jars + step, earned + units(worth) * step
    return jars, earned


def _tables(week: WeekModel) -> None:
    """Keep each market's table to its places."""
    for market in week.problem.markets:
        if market.places is not None:
            jars = sum(x for (_, key), x in week.taken.items() if key == market.key)
            week.model.add(jars <= market.places)


def _wishes(week: WeekModel) -> None:
    """Keep what the maker pinned and forbade."""
    day_price, pin_price, _, _ = _prices(week.problem)
    for wish in week.problem.wishes:
        made = _wished(week, wish)
        if wish.forbids:
            week.model.add(made == 0)
            continue
        if not week.elastic:
            week.model.add(made >= wish.batches)
            continue
        missing = week.model.new_int_var(0, wish.batches, "missing")
        any_day = Wish(product=wish.product, batches=wish.batches)
        week.model.add(_wished(week, any_day) + missing >= wish.batches)
        week.slack.append(("pin", wish, missing, pin_price))
        if wish.on is not None:
            moved = week.model.new_int_var(0, wish.batches, "moved")
            week.model.add(made + moved >= wish.batches)
            week.slack.append(("day", wish, moved, day_price))


def _wished(week: WeekModel, wish: Wish) -> Any:
    """Return the batches a wish speaks of; what is begun is not wished."""
    number = None if wish.on is None else week.problem.number(wish.on)
    keys = {
        c.key
        for c in week.problem.candidates
        if c.product == wish.product and not c.begun
    }
    return sum(
        x
        for run, x in week.runs.items()
        if run.candidate in keys and number in {None, run.first_day}
    )


def _changes(week: WeekModel) -> None:
    """Price every departure from the plan kept so far."""
    problem = week.problem
    if not problem.before or not problem.change_cost:
        return
    away: list[Any] = []
    pairs = {(run.candidate, run.first_day) for run in week.runs}
    for key, day in sorted(pairs):
        kept = problem.before.get((key, problem.days[day].on), 0)
        made = sum(
            x
            for run, x in week.runs.items()
            if (run.candidate, run.first_day) == (key, day)
        )
        change = week.model.new_int_var(0, 100, f"change {key} {day}")
        week.loose.add(change.index)
        week.model.add(change >= made - kept)
        week.model.add(change >= kept - made)
        away.append(change)
    week.terms["changes"] = -units(problem.change_cost) * sum(away)


def _costs(week: WeekModel) -> None:
    """Price batches, hours of hands, and keep to the cash there is."""
    problem = week.problem
    minute = problem.hour_cost / 60
    costs: Any = 0
    hands: Any = 0
    for run, x in week.runs.items():
        candidate = problem.candidate(run.candidate)
        if not candidate.begun:
            costs += units(candidate.cost) * x
        hands += units(minute * candidate.hands_min) * x
    week.terms["batches"] = -costs
    week.terms["hours"] = -hands
    if problem.cash is not None:
        spent = [
            -term for name, term in week.terms.items() if name.startswith("bought")
        ]
        week.model.add(sum(spent) <= units(problem.cash))
