"""Names under 21 CFR 150 and the FDA marmalade guide, by the paragraph."""

from dataclasses import replace
from decimal import Decimal

import pytest

from inventory.measure_setting import figures_in
from production.science.balance import Finish, FinishKind, Role, balance
from production.science.batch_lines import line_of_grams
from production.science.identity import IdentityInput, NameVerdict, identity_input
from production.science.identity_us import us_names
from production.science.kinds import ProductKind
from production.science.span import Span

EARNED, NOT, ASK = NameVerdict.EARNED, NameVerdict.NOT_EARNED, NameVerdict.ASK


def product(kind, fruits, *, sugar=1000, solids="66", others=(), measured=True):
    """A product of fruits in grams and sugar in grams, solids as read."""
    lines = [line_of_grams(name, Decimal(str(grams))) for name, grams in fruits]
    lines += [line_of_grams("sugar", Decimal(str(sugar)))]
    lines += [line_of_grams(name, Decimal(grams)) for name, grams in others]
    pot = [line.pot for line in lines]
    found = balance(pot, Finish(kind=FinishKind.NONE), loss=Span.exactly(Decimal(0)))
    asked = identity_input(kind, lines, found)
    return IdentityInput(
        kind=kind,
        parts=asked.parts,
        sweetener_g=asked.sweetener_g,
        finished_g=asked.finished_g,
        solids=Span.exactly(Decimal(solids) / 100),
        others=asked.others,
        unknown=asked.unknown,
        measured_solids=measured,
    )


def jam(*fruits, **more):
    return us_names(product(ProductKind.JAM, fruits, **more))[0]


JAMS = [
    # Section 150.160(d)(1)(i): group I needs 47 parts to 55 (854.5 g to 1,000).
    ([("strawberry", 1000)], EARNED),
    ([("strawberry", 854.6)], EARNED),
    ([("strawberry", 854.5)], NOT),
    ([("strawberry", 830)], NOT),
    ([("strawberry", 800)], NOT),
    # Section 150.160(d)(1)(ii): 45 to 55 as soon as another fruit is in it (818.2 g).
    ([("peach", 830)], EARNED),
    ([("peach", 818)], NOT),
    ([("peach", 500), ("raspberry", 330)], EARNED),
    # Section 150.160(b)(2)(i): each fruit a fifth, pineapple a tenth, at most five.
    ([("strawberry", 850), ("rhubarb", 150)], NOT),
    ([("strawberry", 800), ("rhubarb", 200)], EARNED),
    ([("strawberry", 900), ("pineapple", 100)], EARNED),
    ([("strawberry", 910), ("pineapple", 90)], NOT),
    # Section 150.160(b)(2)(ii): apple at most half, never alone.
    ([("apple", 500), ("blackberry", 500)], EARNED),
    ([("apple", 510), ("blackberry", 490)], NOT),
    ([("apple", 1000)], ASK),
    # Not listed: no standard.
    ([("mango", 1000)], ASK),
    ([("black currant", 1000)], ASK),
    # Section 150.160(b)(1): dried fruit is outside the standard.
    ([("dried apricot", 1000)], ASK),
]


@pytest.mark.parametrize(("fruits", "verdict"), JAMS)
def test_parts_and_fruits_of_jam(fruits, verdict):
    assert jam(*fruits).verdict is verdict


def test_six_fruits_are_no_combination():
    names = ["strawberry", "raspberry", "blackberry", "blueberry", "cherry", "grape"]
    assert jam(*((name, 170) for name in names)).verdict is NOT


@pytest.mark.parametrize(("solids", "verdict"), [("64.9", NOT), ("65.0", EARNED)])
def test_jam_holds_65_percent(solids, verdict):
    # Section 150.160(d)(5)
    assert jam(("strawberry", 1000), solids=solids).verdict is verdict


def test_an_estimate_about_65_percent_asks_for_a_reading():
    asked = product(ProductKind.JAM, [("strawberry", 1000)], measured=False)
    doubtful = IdentityInput(
        kind=asked.kind,
        parts=asked.parts,
        sweetener_g=asked.sweetener_g,
        finished_g=asked.finished_g,
        solids=Span(
            low=Decimal("0.635"), likely=Decimal("0.65"), high=Decimal("0.665")
        ),
    )
    found = us_names(doubtful)[0]
    assert found.verdict is NameVerdict.MEASURE
    assert found.is_likely
    assert "refractometer" in found.missing[0]


def test_honey_counts_by_its_solids():
    # Section 150.160(d)(4): 1,000 g of honey at 82 % is 820 g; 700.7 g of strawberries are needed.
    found = jam(("strawberry", 720), sugar="0.001", others=[("honey", 1000)])
    assert found.verdict is EARNED
    assert (
        jam(("strawberry", 700), sugar="0.001", others=[("honey", 1000)]).verdict is NOT
    )


def test_two_fruits_are_named_in_order_of_weight():
    # Section 150.160(e)(1)(ii)
    assert jam(("raspberry", 400), ("peach", 500)).name == "Peach Raspberry Jam"


@pytest.mark.parametrize(
    "other", ["butter", "vanilla extract", "bourbon", "walnut", "salt", "basil"]
)
def test_what_the_standard_does_not_list_costs_the_name(other):
    # Section 150.160(c); butter against foam is animal fat, 150.160(c)(7).
    found = jam(("strawberry", 1000), others=[(other, 5)])
    assert found.verdict is NOT
    assert found.missing[-1].startswith("no ")


def test_spice_and_lemon_juice_are_allowed():
    # Section 150.160(c)(2), (3)
    others = [("cinnamon", 5), ("lemon juice", 30), ("powdered pectin", 50)]
    assert jam(("strawberry", 1000), others=others).verdict is EARNED


def test_what_is_missing_is_told_in_parts_and_grams():
    with figures_in("metric"):
        found = jam(("strawberry", 800))
    assert "3 more parts of fruit (55 g in this batch)" in found.missing[0]
    assert "64 g less sugar (6.4 % of it)" in found.missing[0]


def test_the_free_name_stands_beside_one_not_earned():
    names = us_names(product(ProductKind.JAM, [("strawberry", 800)]))
    assert [name.name for name in names] == ["Strawberry Jam", "Strawberry Spread"]
    assert names[1].verdict is EARNED


JELLIES = [
    # Section 150.140(d)(1), (2): juice = its solids x factor; strawberry 12.5 at 8 %.
    ("strawberry", 1000, 1222, EARNED),
    ("strawberry", 1000, 1223, NOT),
    # Apple 7.5 at 10.0 %: 1,000 g count as 750; 916 g of sugar at most.
    ("apple", 1000, 916, EARNED),
    ("apple", 1000, 917, NOT),
    # Red raspberry 9.5 at 9.5 %.
    ("raspberry", 1000, 1103, EARNED),
    # Rhubarb and elderberry have no factor: no standard.
    ("rhubarb", 1000, 500, ASK),
]


@pytest.mark.parametrize(("fruit", "juice_g", "sugar", "verdict"), JELLIES)
def test_jelly_counts_juice_by_its_solids(fruit, juice_g, sugar, verdict):
    asked = product(ProductKind.JELLY, [(f"{fruit} juice", juice_g)], sugar=sugar)
    found = us_names(asked)[0]
    low = asked.parts[0].solids_g.low * (asked.parts[0].fruit.jelly_factor or 0)
    if verdict is EARNED and low < asked.sweetener_g * 45 / 55:
        assert found.is_likely
        assert "juice before sugar" in found.missing[-1]
    else:
        assert found.verdict is verdict


def test_fruit_butter_is_five_to_two_and_43_percent():
    # Section 150.110(d): apple pulp 2,000 g at 11.5 % x 7.5 = 1,725 g; at most 690 g of sugar.
    def butter(sugar, solids):
        asked = product(
            ProductKind.BUTTER, [("apple", 2049.2)], sugar=sugar, solids=solids
        )
        return us_names(asked)[0].verdict

    assert butter(680, "43.0") is EARNED
    assert butter(700, "43.0") is NOT
    assert butter(680, "42.9") is NOT


def test_pumpkin_butter_has_no_standard():
    asked = product(ProductKind.BUTTER, [("pumpkin", 2000)])
    assert us_names(asked)[0].verdict is ASK


MARMALADES = [
    # FDA CPG 550.575: sweet orange 30 to 70; sour orange, lemon and lime 25 to 75.
    ([("orange", 600)], 1400, EARNED),
    ([("orange", 600)], 1401, NOT),
    ([("bitter orange", 600)], 1800, EARNED),
    ([("bitter orange", 600)], 1801, NOT),
    ([("lime", 600)], 1800, EARNED),
    # Kept for citrus: other fruit is asked about.
    ([("peach", 1000)], 1000, ASK),
    ([("peach", 800), ("orange", 200)], 1000, ASK),
]


@pytest.mark.parametrize(("fruits", "sugar", "verdict"), MARMALADES)
def test_marmalade_by_the_agency_s_guide(fruits, sugar, verdict):
    found = us_names(product(ProductKind.MARMALADE, fruits, sugar=sugar))[0]
    assert found.verdict is verdict


def test_several_citrus_are_named_together():
    fruits = [("orange", 500), ("grapefruit", 400), ("lemon", 300)]
    found = us_names(product(ProductKind.MARMALADE, fruits))[0]
    assert found.name == "Orange, Grapefruit and Lemon Marmalade"


@pytest.mark.parametrize(
    ("kind", "fruits", "name"),
    [
        (ProductKind.PEPPER_JELLY, [("bell pepper", 300)], "Pepper Jelly"),
        (
            ProductKind.CHUTNEY,
            [("cranberry", 300), ("orange", 100)],
            "Cranberry Orange Chutney",
        ),
        (ProductKind.CONSERVE, [("plum", 300)], "Plum Conserve"),
    ],
)
def test_products_without_a_standard_are_named_freely(kind, fruits, name):
    # Section 101.3(b): common or usual, or descriptive, name.
    found = us_names(product(kind, fruits))[0]
    assert (found.name, found.verdict) == (name, EARNED)


def test_peppers_are_no_fruit_of_the_standard():
    lines = [line_of_grams("bell pepper", Decimal(100))]
    assert lines[0].pot.role is Role.VEGETABLE


def test_juice_rich_enough_at_its_leanest_asks_for_nothing():
    asked = product(ProductKind.JELLY, [("grape juice", 2000)], sugar=900)
    assert us_names(asked)[0].verdict is EARNED


def test_without_sweetener_there_is_no_proportion_to_miss():
    asked = replace(
        product(ProductKind.JAM, [("strawberry", 1000)]), sweetener_g=Decimal(0)
    )
    assert "no sweetener" in us_names(asked)[0].reasons[0]


def test_salt_is_allowed_in_fruit_butter():
    # Section 150.110(c)
    asked = product(ProductKind.BUTTER, [("apple", 3000)], others=[("salt", 5)])
    assert asked.others == ()


def test_nuts_and_raisins_are_told_beside_the_name():
    # Section 101.3(b), and common practice: what characterises the food is named.
    fruits = [("plum", 900), ("raisins", 100)]
    found = us_names(product(ProductKind.CONSERVE, fruits, others=[("almonds", 60)]))[0]
    assert found.name == "Plum Conserve"
    assert "nuts and dried fruit" in found.reasons[-1]


def test_a_spoon_of_ginger_is_a_seasoning_and_half_ginger_is_not():
    seasoned = product(ProductKind.JAM, [("peach", 1000), ("ginger root", 10)])
    assert [part.fruit.label for part in seasoned.parts] == ["Peach"]
    both = product(ProductKind.JAM, [("peach", 500), ("ginger root", 500)])
    assert us_names(both)[0].verdict is ASK


def test_peel_and_pulp_of_one_fruit_stay_apart():
    fruits = [("orange", 400), ("orange peel", 200), ("orange", 100)]
    asked = product(ProductKind.MARMALADE, fruits)
    assert [(part.grams, part.is_peel) for part in asked.parts] == [
        (500, False),
        (200, True),
    ]
    assert us_names(asked)[0].name == "Orange Marmalade"
