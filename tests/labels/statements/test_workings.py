"""The sums behind what a label states."""

from datetime import date
from decimal import Decimal

from labels.statements.net_quantity import DeclaredQuantity, QuantityUnit
from labels.statements.nutrition import NutrientAmounts
from labels.statements.workings import label_workings
from tests.labels.label_values import label_input


def sums(**overrides):
    return {w.figure: w.formula for w in label_workings(label_input(**overrides))}


def test_ounces_are_weighed_by_the_exact_pound():
    # NIST SP 811, appendix B: 1 oz (avoirdupois) = 28.34952 g.
    quantity = DeclaredQuantity(amount=Decimal(8), unit=QuantityUnit.OUNCE)
    assert "8 × 28.3495 = 226.8 g" in sums(quantity=quantity)["net quantity"]


def test_grams_are_told_in_ounces():
    quantity = DeclaredQuantity(amount=Decimal(227), unit=QuantityUnit.GRAM)
    assert "227 ÷ 28.3495 = 8.007 oz" in sums(quantity=quantity)["net quantity"]


def test_a_best_by_counts_months_from_the_day_in_the_code():
    days = {"made_on": date(2026, 6, 10), "best_before_on": date(2027, 6, 10)}
    assert sums(**days)["best by"] == "10 Jun 2026 + 12 months = 10 Jun 2027"
    days["best_before_on"] = date(2027, 6, 12)
    assert "from the day the jars were filled" in sums(**days)["best by"]


def test_nutrition_is_of_a_serving():
    given = NutrientAmounts(carbohydrate_g=Decimal(65), sugars_g=Decimal(60))
    found = sums(nutrition=given, serving_g=Decimal(20))["nutrition of a serving"]
    assert "carbohydrate: 65 × 20 ÷ 100 = 13 g" in found


def test_what_is_no_jam_states_no_fruit():
    assert "fruit" in sums()
    assert "fruit" not in sums(is_jam=False)
