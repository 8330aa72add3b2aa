"""Figures in the seller's units, and figures read back as they were typed."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.forms.measured import with_unit
from inventory.measure_reader import MeasureError, read_measure
from inventory.measure_setting import figures_in, setting
from inventory.measures import (
    Measure,
    figure,
    format_headspace,
    format_measure,
    format_temperature,
    format_volume,
    rate,
    rate_stored,
    rate_text,
    scale_of,
    scale_text,
)

SYSTEMS = st.sampled_from(["us", "metric"])
MEASURES = st.sampled_from(list(Measure))


@pytest.mark.parametrize(
    ("stored", "measure", "us", "metric"),
    [
        ("104.4", Measure.TEMPERATURE, "219.9 °F", "104.4 °C"),
        ("-18", Measure.TEMPERATURE, "−0.4 °F", "−18 °C"),
        ("5", Measure.DEGREES, "9 °F", "5 °C"),
        ("1609", Measure.ALTITUDE, "5,279 ft", "1,609 m"),
        ("25.4", Measure.LENGTH, "1 in", "25.4 mm"),
        ("66.675", Measure.LENGTH, "2.625 in", "66.68 mm"),
        ("250", Measure.VOLUME, "8.5 fl oz", "250 ml"),
        ("120", Measure.SPACE, "127 qt", "120 l"),
        ("40", Measure.DISTANCE, "24.9 mi", "40 km"),
        ("10", Measure.GOODS, "22 lb", "10 kg"),
    ],
)
def test_a_figure_stands_in_the_sellers_unit(stored, measure, us, metric):
    with figures_in("us"):
        assert format_measure(Decimal(stored), measure) == us
    with figures_in("metric"):
        assert format_measure(Decimal(stored), measure) == metric


def test_what_can_burn_is_told_on_both_scales():
    with figures_in("us"):
        assert format_temperature(Decimal("104.4")) == "219.9 °F (104.4 °C)"
    with figures_in("metric"):
        assert format_temperature(Decimal("104.4")) == "104.4 °C (219.9 °F)"


@pytest.mark.parametrize(
    ("millimetres", "us", "metric"),
    [
        ("6.35", "1/4 in", "6.4 mm"),
        ("6", "1/4 in", "6 mm"),
        ("12.7", "1/2 in", "12.7 mm"),
        ("31.75", "1 1/4 in", "31.8 mm"),
        ("4.7", "0.19 in", "4.7 mm"),
        ("0", "0 in", "0 mm"),
    ],
)
def test_a_headspace_is_an_eighth_where_it_is_near_one(millimetres, us, metric):
    with figures_in("us"):
        assert format_headspace(Decimal(millimetres)) == us
    with figures_in("metric"):
        assert format_headspace(Decimal(millimetres)) == metric


def test_a_jar_is_told_in_the_words_it_is_sold_by():
    with figures_in("us"):
        assert format_volume(Decimal("236.6")) == "8 fl oz"
        assert format_volume(Decimal("946.4")) == "1 qt"
    with figures_in("metric"):
        assert format_volume(Decimal("236.6")) == "237 ml"
        assert format_volume(Decimal(1500)) == "1.5 l"


def test_a_price_of_a_kilogram_becomes_a_price_of_a_pound():
    with figures_in("us"):
        assert rate(Decimal(10), Measure.GOODS) == Decimal("4.5359237")
    with figures_in("metric"):
        assert rate(Decimal(10), Measure.GOODS) == Decimal(10)


@given(price=st.decimals("0", "999", places=2), measure=MEASURES, system=SYSTEMS)
def test_a_price_sent_back_unchanged_is_the_same_price(price, measure, system):
    with figures_in(system):
        text = rate_text(price, measure, places=2)
        again = rate_stored(Decimal(text), measure)
    assert again.quantize(Decimal("0.01"), "ROUND_HALF_UP") == price


def test_decimals_are_written_as_the_sellers_country_does():
    with figures_in("metric", "de_DE"):
        assert figure(Decimal("1234.56"), 2) == "1.234,56"
        assert format_temperature(Decimal("104.4")) == "104,4 °C (219,9 °F)"
    assert figure(Decimal("1234.56"), 2) == "1,234.56"


def test_the_setting_ends_with_its_block():
    with figures_in("metric"), figures_in("us"):
        assert not setting().is_metric
    assert not setting().is_metric


@pytest.mark.parametrize(
    ("text", "measure", "stored"),
    [
        ("220 F", Measure.TEMPERATURE, "104.444"),
        ("220°F", Measure.TEMPERATURE, "104.444"),
        ("104.5 C", Measure.TEMPERATURE, "104.5"),
        ("104,5 °C", Measure.TEMPERATURE, "104.5"),
        ("-18 c", Measure.TEMPERATURE, "-18"),
        ("−0.4 °F", Measure.TEMPERATURE, "-18"),
        ("1/4 in", Measure.LENGTH, "6.35"),
        ('¼"', Measure.LENGTH, "6.35"),
        ("1 1/8 inches", Measure.LENGTH, "28.575"),
        ("2.5 cm", Measure.LENGTH, "25"),
        ("5280 ft", Measure.ALTITUDE, "1609.344"),
        ("8 fl oz", Measure.VOLUME, "236.588"),
        ("5 cu ft", Measure.SPACE, "141.584"),
        ("2 lb", Measure.WEIGHT, "907.185"),
        ("2 lb 4 oz", Measure.WEIGHT, "1020.583"),
        ("1 oz/cup", Measure.DENSITY, "0.12"),
        ("25 lb", Measure.GOODS, "11.34"),
        ("3 miles", Measure.DISTANCE, "4.828"),
    ],
)
@pytest.mark.parametrize("system", ["us", "metric"])
def test_a_unit_typed_counts_whatever_the_setting(text, measure, stored, system):
    with figures_in(system):
        assert round(read_measure(text, measure), 3) == Decimal(stored)


def test_a_number_alone_is_in_the_sellers_unit():
    with figures_in("us"):
        assert read_measure("212", Measure.TEMPERATURE) == 100
    with figures_in("metric"):
        assert read_measure("212", Measure.TEMPERATURE) == 212


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "enter a number"),
        ("hot", "enter a number"),
        ("220 kg", "°C, °F"),
        ("1,200", "without a comma"),
        ("1/0", "divides by nothing"),
        ("3 4", "two numbers"),
        ("9" * 40, "enter a number"),
    ],
)
def test_what_is_no_figure_is_refused_with_what_to_write(text, says):
    with pytest.raises(MeasureError, match=says):
        read_measure(text, Measure.TEMPERATURE)


@given(
    value=st.decimals("-400", "9000", places=1),
    measure=MEASURES,
    system=SYSTEMS,
    places=st.sampled_from([1, 2]),
)
def test_an_input_reads_back_to_the_figure_it_was_made_from(
    value, measure, system, places
):
    with figures_in(system):
        text = scale_text(value, measure, places=places)
        again = read_measure(text, measure)
    step = Decimal(1).scaleb(-places)
    assert again.quantize(step, "ROUND_HALF_UP") == value.quantize(step)


@given(value=st.decimals("-400", "9000", places=2), measure=MEASURES, system=SYSTEMS)
def test_a_shown_figure_read_back_is_near_to_its_last_place(value, measure, system):
    with figures_in(system):
        scale = scale_of(measure)
        shown = format_measure(value, measure).replace(",", "")
        again = read_measure(shown, measure)
    step = Fraction(1, 10**scale.places) * scale.size
    assert abs(Fraction(again) - Fraction(value)) <= step / 2 + Fraction(1, 10**12)


@given(value=st.fractions(-400, 9000), measure=MEASURES, system=SYSTEMS)
def test_to_a_scale_and_back_is_exact(value, measure, system):
    with figures_in(system):
        scale = scale_of(measure)
    assert scale.stored(scale.shown(value)) == value


@pytest.mark.parametrize(
    ("label", "shown"),
    [
        ("altitude (m)", "altitude (ft)"),
        ("lid diameter mm", "lid diameter (ft)"),
        ("headspace", "headspace (ft)"),
        ("usual price (a kg)", "usual price (ft)"),
    ],
)
def test_a_label_carries_one_unit(label, shown):
    assert with_unit(label, "ft") == shown
