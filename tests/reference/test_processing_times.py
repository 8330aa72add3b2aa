"""Processing minutes, cell by cell, against the published tables."""

from decimal import Decimal

import pytest

from production.science.processing import (
    Canner,
    ProcessQuestion,
    SteamTimeError,
    process_time,
    sterilise_min,
)

EDGES = [(0, 0), (800, 0), (1000, 0), (1001, 1), (6000, 1), (6001, 2), (9000, 2)]

# Row, sizes, minutes at the three altitude bands, jars sterilised beforehand.
PUBLISHED = [
    # National Center for Home Food Preservation / So Easy to Preserve, 6th ed.
    # 2020, and USDA AIB 539 rev. 1994: jelly, jam, preserves, marmalade.
    ("jam", ["half-pint", "pint"], (5, 10, 15)),
    # USDA AIB 539 rev. 1994: remaking soft jellies.
    ("remade-jelly", ["half-pint", "pint"], (5, 10, 15)),
    # USDA AIB 539 rev. 1994: apple butter, table 1.
    ("butter", ["half-pint", "pint"], (5, 10, 15)),
    ("butter", ["quart"], (10, 15, 20)),
    # USDA AIB 539 rev. 2009: cranberry-orange chutney, table 1; pints from a
    # summary of the Center's other chutneys.
    ("chutney", ["half-pint", "pint"], (10, 15, 20)),
]
CELLS = [
    (row, size, altitude, minutes[band])
    for row, sizes, minutes in PUBLISHED
    for size in sizes
    for altitude, band in EDGES
]


def ask(row, size, altitude, **more):
    return process_time(
        ProcessQuestion(row=row, size=size, altitude_ft=Decimal(altitude), **more)
    )


@pytest.mark.parametrize(("row", "size", "altitude", "minutes"), CELLS)
def test_every_cell_is_the_published_one(row, size, altitude, minutes):
    assert ask(row, size, altitude, jars_sterile=True).minutes == minutes


@pytest.mark.parametrize(("row", "size", "altitude", "minutes"), CELLS)
def test_steam_takes_the_same_minutes_as_boiling_water(row, size, altitude, minutes):
    # National Center for Home Food Preservation, "Using Atmospheric Steam Canners".
    found = ask(row, size, altitude, jars_sterile=True, canner=Canner.STEAM)
    assert found.minutes == minutes


def test_jars_not_sterilised_take_ten_minutes_near_sea_level():
    # Michigan State University Extension 01600946 and 01600966.
    assert ask("jam", "half-pint", 500).minutes == 10
    assert ask("jam", "half-pint", 500, jars_sterile=True).minutes == 5


@pytest.mark.parametrize(
    ("altitude", "minutes"),
    # The rule "10 minutes, 1 more per additional 1,000 ft" of MSU 01600946;
    # rounding up a begun thousand is our own cautious reading.
    [(0, 10), (1000, 10), (1001, 11), (4500, 14), (7000, 16)],
)
def test_empty_jars_are_boiled_longer_higher_up(altitude, minutes):
    assert sterilise_min(Decimal(altitude)) == minutes


def test_a_steam_canner_is_refused_beyond_45_minutes():
    # National Center for Home Food Preservation: total time at most 45 minutes,
    # altitude included.
    assert ask("tomatoes", "pint", 0, recipe_min=45, canner=Canner.STEAM).minutes == 45
    with pytest.raises(SteamTimeError, match="50 minutes are more than the 45"):
        ask("tomatoes", "pint", 1200, recipe_min=45, canner=Canner.STEAM)
