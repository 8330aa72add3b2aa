"""Weights and counts written for people."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.measure_setting import figures_in
from inventory.quantities import (
    MaterialMeasures,
    MeasureSystem,
    format_amount,
    format_kitchen,
    format_mass,
    format_pieces,
    read_quantity,
    to_grams,
)


@pytest.mark.parametrize(
    ("grams", "metric", "us"),
    [
        ("4.25", "4.3 g", "4.3 g"),
        ("250", "250 g", "8.8 oz"),
        ("999.6", "1 kg", "2 lb 3.3 oz"),
        ("1250", "1.25 kg", "2 lb 12.1 oz"),
        ("453.59237", "454 g", "1 lb"),
        ("-250", "\u2212250 g", "\u22128.8 oz"),
    ],
)
def test_a_weight_reads_well_in_both_systems(grams, metric, us):
    assert format_mass(Decimal(grams), system=MeasureSystem.METRIC) == metric
    assert format_mass(Decimal(grams), system=MeasureSystem.US) == us


def test_a_weight_follows_the_setting_where_none_is_named():
    with figures_in("metric", "fr_FR"):
        assert format_mass(Decimal(1250)) == "1,25 kg"
    assert format_mass(Decimal(1250)) == "2 lb 12.1 oz"


def test_the_decimal_sign_is_the_locales():
    metric = MeasureSystem.METRIC
    assert format_mass(Decimal(1250), system=metric, locale="de_DE") == "1,25 kg"


def test_pieces_are_grouped_and_whole():
    assert format_pieces(Decimal("1200.000")) == "1,200"


@pytest.mark.parametrize(
    ("grams", "text"),
    [
        ("200", "1 cup"),
        ("350", "1 ¾ cups"),
        ("66.7", "⅓ cup"),
        ("25", "2 tbsp"),
        ("19", "1 ½ tbsp"),
        ("2.1", "½ tsp"),
        ("0.1", "⅛ tsp"),
    ],
)
def test_sugar_goes_back_into_the_nearest_measure(grams, text):
    sugar = Decimal(200) / Decimal("236.5882365")
    assert format_kitchen(Decimal(grams), density_g_per_ml=sugar).text == text


@given(
    st.decimals("0.5", "5000", places=1),
    st.decimals("0.3", "1.5", places=2),
)
def test_the_measure_read_back_weighs_what_it_says(grams, density):
    measure = format_kitchen(grams, density_g_per_ml=density)
    measures = MaterialMeasures(name="Anything", density_g_per_ml=density)
    again = to_grams(read_quantity(measure.text), measures=measures)
    assert abs(again - measure.grams) <= Decimal("0.0005")
    assert measure.off_fraction == ((measure.grams - grams) / grams).quantize(
        Decimal("0.0001")
    )


def test_nothing_has_no_measure():
    with pytest.raises(ValueError, match="not more than nothing"):
        format_kitchen(Decimal(0), density_g_per_ml=Decimal(1))


@pytest.mark.parametrize(
    ("quantity", "unit", "text"),
    [
        ("1250", "g", "1.25 kg"),
        ("24", "jars", "24 jars"),
        ("-3", "jars", "\u22123 jars"),
        ("-1", "jars", "\u22121 jar"),
    ],
)
def test_stock_is_written_with_its_unit(quantity, unit, text):
    with figures_in("metric"):
        assert format_amount(Decimal(quantity), unit) == text


@pytest.mark.parametrize("grams", ["-0.04", "-0.0001", "0"])
def test_what_rounds_to_nothing_has_no_sign(grams):
    with figures_in("metric"):
        assert format_amount(Decimal(grams), "g") == "0 g"
