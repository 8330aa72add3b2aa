"""When the week speaks up, and when it keeps quiet: each warning on and off."""

import datetime
from decimal import Decimal

import pytest

from production.place_state import PlaceState
from production.week_notices import (
    Closing,
    DueCheck,
    Keeping,
    cap_notices,
    check_notices,
    closing_notices,
    keeping_notices,
    place_notices,
    season_of,
    stop_notices,
)
from production.year import SalesCap

ON = datetime.date(2026, 6, 10)


def cap(amount="25000"):
    return SalesCap(
        amount=Decimal(amount),
        currency="USD",
        place="Testland",
        citation="Test Code 1",
        read_on=ON,
        words="sales must not exceed, per year",
    )


def place(**facts):
    given = {
        "place": "Testland",
        "address": "/labels/places/test/",
        "read_on": ON,
        "is_stale": False,
        "changed_on": None,
        "cap": None,
    }
    return PlaceState(**{**given, **facts})


def closing(ends_in, batches=0, before=0):
    return Closing(
        material="Plums",
        begins_on=ON - datetime.timedelta(days=30),
        ends_on=ON + datetime.timedelta(days=ends_in),
        batches=batches,
        batches_before=before,
    )


def lot(in_days, code="26100-1"):
    return Keeping(
        name="Plums", code=code, best_by=ON + datetime.timedelta(days=in_days)
    )


def about(found):
    return [notice.about for notice in found]


def test_a_stop_sale_in_force_is_grave():
    (found,) = stop_notices([("glass in a jar", "/complaints/stop-sales/1/")])
    assert found.is_grave
    assert "glass in a jar" in found.text
    assert about(stop_notices([])) == []


def test_a_profile_speaks_when_read_too_long_ago_or_changed():
    assert about(place_notices(place())) == []
    assert about(place_notices(None)) == []
    assert about(place_notices(place(is_stale=True))) == ["place-stale"]
    assert about(place_notices(place(changed_on=ON))) == ["place-changed"]


@pytest.mark.parametrize(
    ("sold", "expected"),
    [("19999.99", []), ("20000.00", ["cap"]), ("25000.00", ["cap"])],
)
def test_the_cap_speaks_from_four_fifths_on(sold, expected):
    found = list(cap_notices(place(cap=cap()), Decimal(sold), address="/year/"))
    assert about(found) == expected


def test_the_cap_shows_its_own_sum_and_is_grave_once_reached():
    (near,) = cap_notices(place(cap=cap()), Decimal(21000), address="/year/")
    assert "84.0 %" in near.text
    assert "21,000.00 ÷ 25,000.00" in near.text
    assert not near.is_grave
    (reached,) = cap_notices(place(cap=cap()), Decimal(25000), address="/year/")
    assert reached.is_grave


@pytest.mark.parametrize("facts", [{"cap": None}, {"cap": cap("0")}])
def test_without_an_amount_no_cap_speaks(facts):
    assert about(cap_notices(place(**facts), Decimal(9), address="/")) == []
    assert about(cap_notices(place(cap=cap()), None, address="/")) == []


@pytest.mark.parametrize(
    ("given", "speaks"),
    [
        (closing(21), True),
        (closing(22), False),
        (closing(5, batches=1), False),
        (closing(5, batches=1, before=3), True),
        (closing(5, batches=3, before=3), False),
    ],
)
def test_a_fruit_speaks_while_it_goes_and_too_little_is_cooked(given, speaks):
    found = list(closing_notices([given], on=ON, address="/kitchen/plan/"))
    assert about(found) == ["season"] * speaks


def test_a_best_by_speaks_when_near_or_past_and_names_the_first():
    assert about(keeping_notices([lot(22)], on=ON, address="/pantry/")) == []
    lots = [lot(20), lot(-3, "26099-1"), lot(40)]
    (found,) = keeping_notices(lots, on=ON, address="/pantry/")
    assert "2 lots" in found.text
    assert "26099-1" in found.text


def test_a_thermometer_speaks_by_how_its_check_stands():
    due = [DueCheck(name="Pot", address="/", standing=x) for x in ("never", "failed")]
    never, failed = check_notices(due)
    assert "never checked" in never.text
    assert "did not pass" in failed.text
    assert about(check_notices([])) == []


@pytest.mark.parametrize(
    ("start", "end", "on", "expected"),
    [
        (601, 715, "2026-06-10", ("2026-06-01", "2026-07-15")),
        (601, 715, "2026-07-16", None),
        (1115, 220, "2026-01-05", ("2025-11-15", "2026-02-20")),
        (1115, 220, "2026-12-05", ("2026-11-15", "2027-02-20")),
        (1115, 229, "2027-02-28", ("2026-11-15", "2027-02-28")),
    ],
)
def test_a_season_may_wrap_the_new_year(start, end, on, expected):
    found = season_of(start, end, on=datetime.date.fromisoformat(on))
    assert found == (expected and tuple(map(datetime.date.fromisoformat, expected)))
