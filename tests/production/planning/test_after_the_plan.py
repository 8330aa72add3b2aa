"""What is read off a plan: reasons, scarce things, shopping, sheets, calendar."""

import datetime as dt
from dataclasses import replace
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from production.planning.calendar_file import calendar_file
from production.planning.day_sheet import day_sheets
from production.planning.kitchen import Equipment, KitchenDay, Part, PlanningError, Task
from production.planning.shopping import shopping_list
from production.planning.week import solve
from production.planning.week_problem import (
    Candidate,
    Market,
    Material,
    Need,
    Offer,
    ProductWeek,
    Stock,
    WeekProblem,
    Wish,
)
from production.planning.why import Reason, binding, left_out, what_if

MONDAY = dt.date(2030, 6, 3)


def kettle(key, *, minutes=60, jars=6, needs=(), **facts):
    work = Task(label="cook", hands_min=minutes, pot=True, burner=True)
    return Candidate(
        key=key,
        product=key,
        jars=jars,
        parts=(Part(tasks=(work,)),),
        needs=needs,
        **facts,
    )


def one_evening(*candidates, worth="5.00", demand=6, minutes=70, **facts):
    facts.setdefault(
        "markets", (Market(key="stall", on=MONDAY + dt.timedelta(days=1)),)
    )
    return WeekProblem(
        days=(
            KitchenDay(on=MONDAY, opens_min=1080, closes_min=1080 + minutes),
            KitchenDay(on=MONDAY + dt.timedelta(days=1)),
        ),
        equipment=Equipment(),
        products=tuple(
            ProductWeek(key=c.key, worths={"stall": (Decimal(worth),) * demand})
            for c in candidates
        ),
        candidates=candidates,
        **facts,
    )


def reason_of(problem, product="plum"):
    rows = left_out(problem, solve(problem))
    return next(row for row in rows if row.product == product)


def test_out_of_season_is_said_with_its_season():
    need = Need(material="plums", amount=2000)
    fruit = Material(key="plums", season="10 Jul to 15 Sep")
    row = reason_of(one_evening(kettle("plum", needs=(need,)), materials=(fruit,)))
    assert (row.reason, row.detail) == (Reason.SEASON, "plums: 10 Jul to 15 Sep")


def test_fruit_short_is_said_with_what_is_missing():
    need = Need(material="plums", amount=2000)
    fruit = Material(key="plums", stocks=(Stock(amount=1500),))
    row = reason_of(one_evening(kettle("plum", needs=(need,)), materials=(fruit,)))
    assert row.reason is Reason.SHORT
    assert "500 missing" in row.detail


def test_hours_taken_are_said_with_the_minutes_that_lack():
    row = reason_of(one_evening(kettle("best", jars=6, most=1), kettle("plum", jars=5)))
    assert row.reason is Reason.HOURS
    assert row.detail == "Monday: 50 minutes too few"


def test_a_full_shelf_is_said():
    problem = one_evening(kettle("plum"))
    stocked = replace(problem.products[0], stock=30)
    row = reason_of(replace(problem, products=(stocked,)))
    assert (row.reason, row.worth) == (Reason.DEMAND, 0)


def test_a_full_table_is_said():
    market = Market(key="stall", on=MONDAY + dt.timedelta(days=1), places=6)
    problem = one_evening(
        kettle("best", most=1), kettle("plum", jars=5), minutes=200, markets=(market,)
    )
    assert reason_of(problem).reason is Reason.TABLE


def test_a_forbidden_batch_is_said():
    wish = Wish(product="plum", batches=0)
    row = reason_of(one_evening(kettle("plum"), wishes=(wish,)))
    assert row.reason is Reason.FORBIDDEN


def test_one_more_hour_is_worth_the_batch_it_allows():
    problem = one_evening(kettle("best", most=1), kettle("plum", jars=5, most=1))
    rows = binding(problem, solve(problem))
    assert [(r.resource, r.worth) for r in rows] == [("Monday in the kitchen", 25)]


def test_a_pin_tells_its_cost_and_what_gives_way():
    problem = one_evening(kettle("best", most=1), kettle("plum", jars=5, most=1))
    change = what_if(problem, solve(problem), Wish(product="plum", batches=1))
    assert (change.cost, change.added, change.dropped) == (5, {"plum": 1}, {"best": 1})


def test_a_wish_for_nothing_that_is_made_is_refused():
    problem = one_evening(kettle("plum"))
    with pytest.raises(PlanningError, match="nothing in this week makes quince"):
        what_if(problem, solve(problem), Wish(product="quince", batches=1))


def shopping_week():
    fruit = Material(
        key="plums",
        stocks=(Stock(amount=900, frozen=True),),
        offers=(Offer(supplier="farm", pack=1000, price=Decimal(3), days=(MONDAY,)),),
    )
    case = Offer(supplier="shop", pack=12, price=Decimal("9.60"), days=(MONDAY,))
    jars = Material(key="jar", stocks=(Stock(amount=2),), offers=(case,))
    needs = (Need(material="plums", amount=1500), Need(material="jar", amount=6))
    return one_evening(kettle("plum", needs=needs), materials=(fruit, jars))


def test_shopping_is_need_less_on_hand_in_whole_packs():
    problem = shopping_week()
    shopping = shopping_list(problem, solve(problem))
    assert {s: [r.packs for r in rows] for s, rows in shopping.by_supplier.items()} == {
        "farm": [1],
        "shop": [1],
    }
    assert shopping.cost == Decimal("12.60")
    assert [(f.material, f.amount) for f in shopping.freezer] == [("plums", 500)]
    assert shopping.labels == {"plum": 6}


def test_the_calendar_holds_cook_days_and_markets():
    from icalendar import Calendar

    problem = shopping_week()
    content = calendar_file(
        day_sheets(problem, solve(problem)),
        problem.markets,
        names={"plum": "Plum jam", "stall": "Green market"},
        zone=ZoneInfo("America/Chicago"),
        made_at=dt.datetime(2030, 6, 2, 20, tzinfo=dt.UTC),
    )
    events = Calendar.from_ical(content).walk("VEVENT")
    assert [str(e["SUMMARY"]) for e in events] == ["Plum jam: cook", "Green market"]
    begins = events[0].decoded("DTSTART")
    assert (begins.hour, begins.tzinfo.key) == (18, "America/Chicago")
    assert all(line.endswith("\r") for line in content.decode().split("\n")[:-1])


def test_pictures_carry_no_style_and_name_every_step():
    from inventory.pictures import as_svg
    from production.planning.pictures import draw_day

    problem = shopping_week()
    (sheet,) = day_sheets(problem, solve(problem))
    svg = as_svg(draw_day(sheet, {"plum": "Plum jam"}), title="t", description="d")
    assert "style=" not in svg
    assert "18:00 to 19:00 cook" in svg
