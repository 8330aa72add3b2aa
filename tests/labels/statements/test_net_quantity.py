"""Net quantities: derived figures never overstate."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels.statements import net_quantity as net
from labels.statements.net_quantity import (
    GRAMS_PER_OUNCE,
    ML_PER_FLUID_OUNCE,
    DeclaredQuantity,
    NetQuantityError,
    QuantityUnit,
)

amounts = st.decimals(Decimal(1), Decimal(3000), places=1)


def weight(amount, unit="g"):
    return DeclaredQuantity(amount=Decimal(amount), unit=QuantityUnit(unit))


# 16 CFR 500.19(a): the legal chart, to its six digits.
def test_exact_factors_agree_with_the_legal_chart():
    assert round(GRAMS_PER_OUNCE, 4) == Decimal("28.3495")
    assert round(ML_PER_FLUID_OUNCE, 4) == Decimal("29.5735")
    assert Decimal("29.5735295625") == ML_PER_FLUID_OUNCE
    assert round(1 / GRAMS_PER_OUNCE, 7) == Decimal("0.0352740")


# Computed from the exact factors, rounded toward zero (NIST Handbook 133, 2.3.3).
@pytest.mark.parametrize(
    ("ounces", "grams"),
    [("8", 226), ("12", 340), ("1.5", 42), ("2", 56), ("4", 113), ("16", 453)],
)
def test_grams_are_cut_not_rounded(ounces, grams):
    assert net.metric_figure(weight(ounces, "oz")) == grams


@pytest.mark.parametrize(
    ("grams", "ounces"),
    [("250", "8.81"), ("190", "6.70"), ("340", "11.9"), ("454", "16.0")],
)
def test_ounces_are_cut_not_rounded(grams, ounces):
    found = net.ounces_rounded_down(weight(grams).exact_ounces)
    assert found == Decimal(ounces)


@pytest.mark.parametrize(
    ("ounces", "grams", "larger"), [(8, 227, "227"), (12, 340, "340.194277500")]
)
def test_the_larger_declaration_counts(ounces, grams, larger):
    found = net.larger_declaration_g(Decimal(ounces), Decimal(grams))
    assert found == Decimal(larger)


@given(amount=amounts)
def test_neither_derived_figure_ever_overstates(amount):
    as_grams, as_ounces = weight(amount), weight(amount, "oz")
    assert net.ounces_rounded_down(as_grams.exact_ounces) * GRAMS_PER_OUNCE <= amount
    assert net.metric_figure(as_ounces) <= as_ounces.exact_metric


@pytest.mark.parametrize(
    ("amount", "unit", "words"), [("0", "g", "above 0"), ("-1", "oz", "above 0")]
)
def test_no_quantity_is_refused(amount, unit, words):
    with pytest.raises(NetQuantityError, match=words):
        weight(amount, unit)


def test_a_volume_is_no_net_weight():
    with pytest.raises(NetQuantityError, match="by weight"):
        net.us_weight(weight("237", "ml"))


def test_three_decimals_are_refused():
    with pytest.raises(NetQuantityError, match="two decimals"):
        net.us_weight(weight("8.125", "oz"))


@pytest.mark.parametrize(
    ("amount", "unit", "text"),
    [
        ("340", "g", "340 g"),
        ("1200", "g", "1.2 kg"),
        ("1500", "ml", "1.5 l"),
        ("12", "oz", "340 g"),
    ],
)
def test_metric_words(amount, unit, text):
    assert net.metric(weight(amount, unit)) == text


def test_ounces_only_follow_where_asked():
    assert net.uk_weight(weight("340")) == "340 g"
    assert net.uk_weight(weight("12", "oz"), with_ounces=True) == "340 g (12 oz)"


@pytest.mark.parametrize(
    ("ounces", "text"), [(8, "Net 8 fl oz"), (320, "Net contents 2 gal 2 qt")]
)
def test_fluid_words(ounces, text):
    """21 CFR 101.7(m)(6): two and a half gallons."""
    assert net.us_fluid(Decimal(ounces)) == text


def test_thirds_of_a_pound_have_fewer_forms():
    assert net.us_weight_forms(Decimal(20)) == {
        "Net Wt 20 oz (1 lb 4 oz)",
        "Net Wt 20 oz (1 1/4 lb)",
        "Net Wt 20 oz (1.25 lb)",
    }
    assert net.us_weight_forms(Decimal("20.3")) == {"Net Wt 20.3 oz (1 lb 4.3 oz)"}
