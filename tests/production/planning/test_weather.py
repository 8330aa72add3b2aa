"""Bad weather learnt from the notes of past days."""

import datetime as dt
import random
from decimal import Decimal

import pytest

from production.planning.demand import PastDay, censored_mean, expected_beyond
from production.planning.packing import BAD_WEATHER_SHARE
from production.planning.weather import PRIOR_DAYS, bad_weather, is_bad

FIRST = dt.date(2030, 6, 1)
USUAL = BAD_WEATHER_SHARE.value


def day(week, sold, *, product="plum", outlet="green", offered=99, share=None):
    return PastDay(
        product=product,
        outlet=outlet,
        on=FIRST + dt.timedelta(days=7 * week),
        offered=offered,
        sold=sold,
        open_share=share,
    )


def noted(days, bad):
    """Notes: rain in these weeks, sun in the others."""
    wet = {FIRST + dt.timedelta(days=7 * week) for week in bad}
    return {(d.outlet, d.on): "rain" if d.on in wet else "sun" for d in days}


@pytest.mark.parametrize(
    ("note", "bad"),
    [
        ("rain", True),
        ("Rainy, cold", True),
        ("hot", True),
        ("very hot afternoon", True),
        ("tormenta", True),
        ("mucho calor", True),
        ("Lluvia fuerte", True),
        ("sun", False),
        ("no rain", False),
        ("sin lluvia", False),
        ("cloudy, wind", False),
        ("brain freeze", False),
        ("wetland walk next door", False),
        ("", None),
        ("  ", None),
    ],
)
def test_a_note_tells_of_bad_weather_or_not(note, bad):
    assert is_bad(note) is bad


def test_without_wet_days_the_stated_share_holds():
    days = [day(week, 10) for week in range(5)]
    found = bad_weather(days, noted(days, []), ["green", "shop"])
    for outlet in ("green", "shop"):
        assert (found[outlet].share, found[outlet].seen) == (USUAL, None)
        assert found[outlet].days == 0
    assert bad_weather([], {}, ["green"])["green"].share == USUAL


def test_wet_days_count_beside_the_stated_share():
    # Fair 10; two wet days of 8: (4 x 0.5 + 2 x 0.8) / 6 = 0.6, then for the outlet
    # (4 x 0.6 + 2 x 0.8) / 6 = 0.67
    days = [day(week, 8 if week in {1, 3} else 10) for week in range(6)]
    found = bad_weather(days, noted(days, [1, 3]), ["green", "other"])
    assert (found["other"].share, found["other"].usual) == (Decimal("0.6"),) * 2
    assert found["green"].seen == Decimal("0.8")
    assert found["green"].share == Decimal("0.67")
    assert found["green"].days == 2


def test_many_wet_days_speak_for_themselves():
    rng = random.Random(3)
    days, wet = [], range(0, 360, 3)
    for week in range(360):
        mean = 20 * (0.75 if week in wet else 1)
        sold = sum(rng.random() < mean / 60 for _ in range(60))
        days.append(day(week, sold))
    share = bad_weather(days, noted(days, wet), ["green"])["green"].share
    assert share == pytest.approx(Decimal("0.75"), abs=Decimal("0.05"))


def test_sold_out_days_do_not_hide_what_rain_does():
    days = [day(week, 10, offered=10) for week in (0, 2, 4)]
    days += [day(week, 8) for week in (5, 6)]
    days.append(day(1, 5, offered=5))
    found = bad_weather(days, noted(days, [1]), ["green"])["green"]
    fair = censored_mean(days[:5])
    assert fair > 10
    asked = expected_beyond(fair / 2, 5)
    assert found.seen == pytest.approx(Decimal(asked / fair), abs=Decimal("0.006"))


def test_a_known_hour_of_selling_out_counts_as_it_stands():
    days = [day(week, 10) for week in (0, 2, 4)] + [day(1, 4, offered=4, share=0.5)]
    found = bad_weather(days, noted(days, [1]), ["green"])["green"]
    assert found.seen == Decimal("0.8")


def test_only_days_of_the_same_time_of_year_are_compared():
    winter = [day(week, 2) for week in (24, 25, 26, 27)]
    summer = [day(week, 20) for week in (0, 1, 2)]
    wet = [day(3, 10)]
    days = [*winter, *summer, *wet]
    assert bad_weather(days, noted(days, [3]), ["green"])["green"].seen == Decimal(
        "0.5"
    )
    lonely = [*winter, *wet]
    found = bad_weather(lonely, noted(lonely, [3]), ["green"])["green"]
    assert found.seen is None


def test_a_share_is_never_above_one_and_days_without_a_note_say_nothing():
    days = [day(week, 50 if week == 1 else 5) for week in range(5)]
    notes = noted(days, [1])
    assert bad_weather(days, notes, ["green"])["green"].share == 1
    assert bad_weather(days, {}, ["green"])["green"].days == 0
    unsold = [day(0, 0), day(2, 0), day(1, 3)]
    found = bad_weather(unsold, noted(unsold, [1]), ["green"])["green"]
    assert (found.days, PRIOR_DAYS) == (0, 4)
    nothing = [*days, day(1, 0, product="pear", offered=0)]
    assert bad_weather(nothing, notes, ["green"])["green"].days == 1
