"""The soluble-solids balance against worked examples of handbooks."""

from decimal import Decimal

import pytest

from production.science.balance import Finish, FinishKind, PotLine, Role, balance
from production.science.batch_lines import WrittenLine, batch_line
from production.science.density import density_g_per_ml
from production.science.span import Span

NO_LOSS = Span.exactly(Decimal(0))
PER_CUP = Decimal("236.588")


def pot(*lines):
    return [
        PotLine(
            name=f"line {number}",
            grams=Span.exactly(Decimal(str(grams))),
            solids=Span.exactly(Decimal(str(percent)) / 100),
            role=Role.FRUIT,
        )
        for number, (grams, percent) in enumerate(lines)
    ]


def cooked_to(percent, lines):
    finish = Finish(
        kind=FinishKind.SOLIDS, solids=Span.exactly(Decimal(str(percent)) / 100)
    )
    return balance(lines, finish, loss=NO_LOSS)


EXAMPLES = [
    # Practical Action, "Jams, jellies and marmalades" (KnO 100247), recipe 1: 10 kg
    # of fruit at 10 %, 10 kg of sugar, 60 g of pectin, 55 g of acid, to 68 %; printed 16.4 kg.
    ([(10000, 10), (10000, 100), (60, 100), (55, 100)], 68, 16350, 60),
    # Geankoplis, Transport Processes and Unit Operations, the jam problem (from
    # memory): 1,000 kg of fruit at 14 %, 1,220 of sugar, 2.5 of pectin, to 67 %.
    ([(1000, 14), (1220, 100), ("2.5", 100)], 67, "2033.6", "0.2"),
    # 45 parts of fruit to 55 of sugar (21 CFR 150.160), fruit at 8 %: computed by hand.
    ([(45, 8), (55, 100)], 65, "90.15", "0.01"),
    ([(45, 8), (55, 100)], 68, "86.18", "0.01"),
    # Toledo, Fundamentals of Food Process Engineering, example 3.21: 49.16 kg of fruit
    # at 10 %, 60.08 of sugar, 0.60 of pectin make 100 kg at 65 %.
    ([("49.16", 10), ("60.08", 100)], 65, 100, "0.02"),
    # Felder and Rousseau, Elementary Principles of Chemical Processes, problem 4.9:
    # 0.4858 lb of strawberries at 15 % and 55/45 of sugar make 1 lb at two thirds.
    ([("0.4858", 15), ("0.59376", 100)], "66.6667", 1, "0.001"),
]


@pytest.mark.parametrize(("lines", "percent", "finished", "tolerance"), EXAMPLES)
def test_worked_examples_come_out(lines, percent, finished, tolerance):
    found = cooked_to(percent, pot(*lines)).finished_g.likely
    assert abs(found - Decimal(str(finished))) <= Decimal(str(tolerance))


def test_the_water_of_the_jam_problem():
    # Geankoplis (from memory): 189 kg of water leave.
    found = cooked_to(67, pot((1000, 14), (1220, 100), ("2.5", 100)))
    assert abs(found.boiled_off_g - Decimal("188.9")) <= Decimal("0.2")


def test_apricot_jam_of_practical_action_implies_its_solids():
    # Practical Action KnO 100247: 1.5 kg of apricots and 1.5 kg of sugar give 2.4 kg.
    found = cooked_to("69.8", pot((1500, "11.7"), (1500, 100)))
    assert abs(found.finished_g.likely - 2400) <= 5


def test_peach_orange_marmalade_fills_six_to_seven_half_pints():
    # NCHFP, Peach-Orange Marmalade: 6 or 7 half-pints; recomputed 6.66 cups at 95 degC.
    found = cooked_to("66.5", pot((1125, "10.5"), (180, "11.8"), (30, 9), (1200, 100)))
    cup_g = density_g_per_ml(Decimal("0.665"), Decimal(95)) * PER_CUP
    assert abs(found.finished_g.likely / cup_g - Decimal("6.66")) <= Decimal("0.05")


def test_strawberry_jam_with_liquid_pectin_fills_eight_cups():
    # A household table for added pectin: 4 cups of berries, 7 of sugar, one pouch make
    # 4 pints; without boil-off 61.1 % and 7.89 cups at 20 degC.
    found = balance(
        pot((928, 8), (1400, 100), (85, 0)), Finish(kind=FinishKind.NONE), loss=NO_LOSS
    )
    assert abs(found.finished_solids.likely * 100 - Decimal("61.1")) <= Decimal("0.1")
    cup_g = density_g_per_ml(found.finished_solids.likely, Decimal(20)) * PER_CUP
    assert abs(found.finished_g.likely / cup_g - Decimal("7.89")) <= Decimal("0.05")


MEASURES = [
    # USDA National Nutrient Database SR28, household weights and refuse.
    ("7 cups", "sugar", "granulated", 1400),
    ("4 cups", "strawberries", "puréed", 928),
    ("1 cup", "honey", "", 339),
    ("2 Tbsp", "bottled lemon juice", "", "30.5"),
    ("3 each", "lemons", "juice", 144),
    ("1 cup", "raisins", "packed", 165),
    ("1 cup", "blueberries", "whole", 148),
    ("1 cup", "rhubarb", "diced", 122),
    ("1 pint", "strawberries", "", 357),
    ("2 each", "medium peaches", "", 300),
    # 77 % of apples peeled and cored, 51 % of a pineapple, 75 % of rhubarb is used.
    ("10 lb", "apples", "peeled and cored", "3492.7"),
    ("1000 g", "pineapple", "", 510),
    ("1333.3 g", "rhubarb", "", "1000"),
    # Net weights printed on retail packages of pectin.
    ("1 box", "powdered pectin", "", 50),
    ("1 pouch", "liquid pectin", "", 85),
]


@pytest.mark.parametrize(("quantity", "name", "form", "grams"), MEASURES)
def test_kitchen_measures_weigh_what_the_food_tables_say(quantity, name, form, grams):
    line = batch_line(WrittenLine(quantity=quantity, name=name, form=form))
    assert abs(line.grams - Decimal(str(grams))) <= Decimal("0.6")
