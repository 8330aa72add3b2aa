"""Finishing point: degrees above boiling against soluble solids, both ways."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.measure_setting import figures_in
from production.science.boiling import Kitchen, boiling_point
from production.science.finishing import (
    ElevationError,
    SolidsError,
    elevation_c,
    finishing_point,
    finishing_point_at,
    rule_for,
    solids_fraction,
)
from production.science.kinds import ProductKind, read_kind

SOLIDS = st.integers(min_value=300, max_value=895).map(lambda n: Decimal(n) / 1000)


@given(solids=SOLIDS)
@settings(max_examples=60)
def test_more_solids_boil_hotter(solids):
    assert elevation_c(solids + Decimal("0.005")) > elevation_c(solids)


@given(solids=SOLIDS)
@settings(max_examples=60)
def test_the_way_there_and_back_agrees(solids):
    assert abs(solids_fraction(elevation_c(solids)) - solids) <= Decimal("0.002")


@given(altitude=st.integers(min_value=0, max_value=10000))
@settings(max_examples=40)
def test_the_finishing_point_falls_with_the_boiling_point(altitude):
    water = boiling_point(Kitchen(altitude_ft=Decimal(altitude)))
    finish = finishing_point(water, solids=Decimal("0.65"))
    assert finish.true_c - water.true_c == pytest.approx(
        Decimal("4.4"), abs=Decimal("0.01")
    )


def test_a_thermometer_that_reads_high_is_followed_and_shown():
    water = boiling_point(Kitchen(altitude_ft=Decimal(0), reading_c=Decimal("101.0")))
    finish = finishing_point_at(water, above_c=Decimal(5))
    assert finish.shown_c == Decimal("106.00")
    assert finish.true_c == Decimal("104.97")
    assert finish.workings[-1].figure == "on this thermometer that shows as"


def test_the_doubt_of_a_thermometer_is_carried():
    water = boiling_point(Kitchen(altitude_ft=Decimal(0)))
    finish = finishing_point(water, solids=Decimal("0.65"))
    assert (finish.solids_low, finish.solids_high) == (
        Decimal("0.635"),
        Decimal("0.665"),
    )
    assert finish.workings[1].estimate


@pytest.mark.parametrize("solids", ["0.29", "0.91", "1.2"])
def test_solids_outside_the_table_are_refused_with_its_limits(solids):
    with pytest.raises(SolidsError, match="30 to 90 %"):
        elevation_c(Decimal(solids))


@pytest.mark.parametrize("above", ["0.9", "28"])
def test_degrees_outside_the_table_are_refused(above):
    with figures_in("metric"), pytest.raises(ElevationError, match=r"1 °C to 27\.8 °C"):
        solids_fraction(Decimal(above))


def test_jelly_and_jam_have_their_own_rule():
    assert rule_for(ProductKind.JELLY).value < rule_for(ProductKind.JAM).value
    assert rule_for(ProductKind.PEPPER_JELLY) == rule_for(ProductKind.JELLY)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("Orange marmalade", ProductKind.MARMALADE),
        ("fruit butter", ProductKind.BUTTER),
        ("Golden pepper jelly", ProductKind.PEPPER_JELLY),
        ("pepper_jelly", ProductKind.PEPPER_JELLY),
        ("Figs in syrup", ProductKind.FRUIT_IN_SYRUP),
        ("Peach preserves", ProductKind.PRESERVES),
        ("pickle", None),
    ],
)
def test_the_kind_is_read_from_the_name(text, kind):
    assert read_kind(text) is kind


def test_only_what_sets_is_jellied():
    assert ProductKind.MARMALADE.is_jellied
    assert not ProductKind.CHUTNEY.is_jellied
    assert ProductKind.BUTTER.words == "fruit butter"
