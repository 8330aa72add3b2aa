"""Units against their definitions.

NIST Special Publication 811, Guide for the Use of the International System of Units
(2008), appendix B.8 and B.9: factors in bold there are exact.
"""

from decimal import Decimal
from fractions import Fraction

import pytest

from inventory.measure_reader import read_measure
from inventory.measure_setting import MeasureSystem
from inventory.measures import Measure, scale_of

US = MeasureSystem.US


@pytest.mark.parametrize(
    ("measure", "in_the_stored_unit"),
    [
        (Measure.LENGTH, "25.4"),  # inch, mm
        (Measure.ALTITUDE, "0.3048"),  # foot, m
        (Measure.DISTANCE, "1.609344"),  # mile, km
        (Measure.GOODS, "0.45359237"),  # pound, kg
    ],
)
def test_a_unit_is_exactly_what_its_definition_says(measure, in_the_stored_unit):
    assert scale_of(measure, US).size == Fraction(in_the_stored_unit)


def test_an_ounce_is_a_sixteenth_of_a_pound():
    assert scale_of(Measure.WEIGHT, US).size == Fraction("453.59237") / 16


@pytest.mark.parametrize(
    ("measure", "litres"),
    # B.8: fluid ounce 2.957 353 E-02 l, quart (liquid) 9.463 529 E-01 l.
    [(Measure.VOLUME, "0.02957353"), (Measure.SPACE, "0.9463529")],
)
def test_a_volume_is_the_published_figure_to_its_last_digit(measure, litres):
    size = scale_of(measure, US).size
    in_litres = size / 1000 if measure is Measure.VOLUME else size
    last = Fraction(1, 10 ** len(litres.partition(".")[2]))
    assert abs(in_litres - Fraction(litres)) <= last / 2


@pytest.mark.parametrize(
    ("celsius", "fahrenheit"),
    # B.9: t/°C = (t/°F - 32)/1.8; ice and steam points, and where the scales meet.
    [("0", "32"), ("100", "212"), ("-40", "-40"), ("37", "98.6")],
)
def test_the_scales_of_temperature_meet_where_they_are_defined(celsius, fahrenheit):
    scale = scale_of(Measure.TEMPERATURE, US)
    assert scale.shown(Decimal(celsius)) == Fraction(fahrenheit)
    assert scale.stored(Decimal(fahrenheit)) == Fraction(celsius)


def test_a_difference_of_temperatures_has_no_zero():
    assert scale_of(Measure.DEGREES, US).shown(Decimal(5)) == 9
    assert scale_of(Measure.DEGREES, US).shown(Decimal(0)) == 0


def test_a_cubic_foot_is_its_published_litres():
    # B.8: cubic foot 2.831 685 E-02 m3.
    assert round(read_measure("1 cu ft", Measure.SPACE), 5) == Decimal("28.31685")
