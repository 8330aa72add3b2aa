"""From a recipe's line to what goes into the pot."""

from decimal import Decimal

import pytest

from production.science.balance import Role
from production.science.batch_lines import (
    WrittenLine,
    batch_line,
    line_of_grams,
    measured_after_preparation,
)
from production.science.forms import Form, Preparation
from production.science.materials import Acidity, Material
from production.science.measuring import UNKNOWN_SOLIDS, pot_line
from production.science.span import Span
from production.science.working import ScienceError


def read(quantity, name, form="", **more):
    return batch_line(WrittenLine(quantity=quantity, name=name, form=form, **more))


def grams(*line):
    return read(*line).grams


def test_a_weight_of_fruit_is_trimmed_and_a_volume_is_not():
    assert grams("1000 g", "apples", "cored") == 900
    assert grams("1000 g", "apples", "peeled, cored") == 770
    assert grams("1000 g", "apples", "prepared") == 1000
    assert grams("1 cup", "apples", "chopped") == 125


def test_what_comes_from_a_can_or_a_freezer_is_not_trimmed_again():
    assert abs(grams("1 can (20 oz)", "pineapple", "crushed") - 567) < 1
    assert grams("1000 g", "mango", "frozen") == 1000
    assert grams("1 box (500 g)", "apples") == 500


def test_ounces_of_juice_are_fluid_ounces():
    can = grams("1 can (6 oz)", "frozen concentrated orange juice")
    assert abs(can - 213) < 1
    assert abs(grams("6 oz", "liquid pectin") - 170) < 1


def test_peeled_pieces_weigh_less():
    assert grams("7 medium", "apples", "peeled, cored") < grams(
        "7 medium", "apples", "cored"
    )


def test_trimming_leaves_room_for_what_was_weighed_already_trimmed():
    span = read("1000 g", "strawberries").pot.grams
    assert (span.low, span.likely, span.high) == (940, 940, 970)


def test_citrus_is_counted_with_its_peel_unless_it_says_otherwise():
    whole = grams("1 each", "lemon", "thinly sliced")
    assert whole > grams("1 each", "lemon", "peeled, sliced")
    assert grams("1 each", "lemon", "sections") == 84
    assert grams("1 kg", "oranges") == 960


def test_pressed_fruit_gives_only_its_juice():
    line = read("1 kg", "strawberries", "crushed, pressed for juice")
    assert line.is_juice
    assert line.pot.insoluble == 0
    assert line.grams < 700


def test_sieved_fruit_loses_some():
    assert grams("3 large", "bell pepper", "puréed, strained") < grams(
        "3 large", "bell pepper"
    )
    assert grams("4 cups", "blackberries", "seedless") < grams("4 cups", "blackberries")


def test_a_heaped_pint_widens_upwards():
    span = read("2 pints", "blueberries", "measured whole, then crushed").pot.grams
    assert span.high == span.likely * Decimal("1.25")
    assert grams("1 quart", "strawberries") == 2 * grams("1 pint", "strawberries")


def test_a_first_simmer_concentrates():
    cooked, raw = (
        read("3 cups", "tomatoes", form).pot for form in ("cooked", "chopped")
    )
    assert cooked.solids.likely > raw.solids.likely


def test_sizes_count():
    small, large = (grams(f"3 {size}", "apples") for size in ("small", "large"))
    assert small == 447
    assert large == 669
    assert grams("2 large", "kiwifruit") > grams("2", "kiwifruit")


def test_a_printed_range_is_carried():
    span = read("4 to 4 1/2 cups", "sugar").pot.grams
    assert (span.low, span.likely, span.high) == (800, 850, 900)


def test_what_is_taken_out_is_not_in_the_pot():
    assert read("2 each", "lemon", "thinly sliced, taken out before filling") is None
    assert read("3 quarts", "water", in_pot=False) is None


def test_an_unknown_material_is_listed_and_widens():
    by_weight = read("500 g", "yuzu").pot
    assert by_weight.grams.is_exact
    assert by_weight.solids == UNKNOWN_SOLIDS
    assert "yuzu is not in the material table" in by_weight.missing[0]
    by_cup = read("2 cups", "yuzu").pot
    assert by_cup.grams.low < by_cup.grams.likely < by_cup.grams.high
    by_piece = read("2 each", "yuzu").pot
    assert (by_piece.grams.likely, by_piece.grams.high) == (0, 200)
    assert len(by_piece.missing) == 2


@pytest.mark.parametrize("name", ["strawberries", "yuzu"])
def test_an_unreadable_amount_is_listed_and_hides_nothing(name):
    line = read("to taste", name)
    assert line.grams == 0
    assert any(f"how much {name}" in phrase for phrase in line.pot.missing)


def test_a_measure_the_material_does_not_have_is_listed():
    line = read("2 bunches", "strawberries")
    assert "bunch" in line.pot.missing[0]
    assert line.pot.grams.high == 200


def test_missing_solids_of_a_known_material_are_listed():
    bare = Material(name="thing")
    line = pot_line(bare, Span.exactly(Decimal(10)), Preparation(form=Form.WHOLE))
    assert line.missing == ("the soluble solids of thing",)


def test_the_book_s_own_figures_win():
    line = line_of_grams("Strawberries", Decimal(900), solids=Decimal("0.09"))
    assert line.pot.solids.likely == Decimal("0.09")
    assert line.pot.solids.low < line.pot.solids.likely < line.pot.solids.high
    assert (
        line_of_grams("Pine honey", Decimal(9), role=Role.SWEETENER).pot.role
        is Role.SWEETENER
    )


def test_a_material_only_the_book_knows():
    known = line_of_grams("Yuzu", Decimal(100), solids=Decimal("0.1"))
    assert known.pot.missing == ()
    assert known.pot.solids.is_exact
    unknown = line_of_grams("Yuzu", Decimal(100))
    assert unknown.pot.missing
    assert unknown.acidity is Acidity.UNKNOWN
    assert not unknown.is_peel


def test_only_the_measured_juice_goes_in_and_each_fruit_keeps_its_share():
    lines = tuple(
        read("1 lb", name, "ground, pressed for juice")
        for name in ("rhubarb", "strawberries")
    )
    sugar = read("6 cups", "sugar")
    found = measured_after_preparation(
        (*lines, sugar), quantity="3 1/2 cups", what="mixed juice"
    )
    assert found[2] is sugar
    juice = found[0].grams + found[1].grams
    assert 830 < juice < 880
    ratio = lines[0].grams / lines[1].grams
    assert abs(found[0].grams / found[1].grams - ratio) < Decimal("0.02")


def test_water_that_the_fruit_was_cooked_in_is_not_counted_twice():
    lines = (read("3 lb", "apples"), read("3 cups", "water"), read("3 cups", "sugar"))
    found = measured_after_preparation(lines, quantity="4 cups", what="juice")
    assert [line.pot.name for line in found] == ["apples", "sugar"]


def test_measured_pulp_replaces_the_fruit_but_not_the_rind():
    lines = (read("5 lb", "pears"), read("1 tsp", "orange rind", "grated"))
    found = measured_after_preparation(lines, quantity="2 quarts", what="pulp")
    assert found[1] is lines[1]
    assert 1700 < found[0].grams < 2100


def test_measured_fruit_of_no_said_form_is_a_full_cup():
    found = measured_after_preparation(
        (read("3 lb", "peaches"),), quantity="4 cups", what="prepared fruit"
    )
    assert found[0].grams == 900


@pytest.mark.parametrize(
    ("quantity", "lines", "match"),
    [("3 cups", [], "no fruit to prepare"), ("some", ["apples"], "how much")],
)
def test_an_impossible_measure_after_preparation_is_refused(quantity, lines, match):
    fruit = tuple(read("1 lb", name) for name in lines)
    with pytest.raises(ScienceError, match=match):
        measured_after_preparation(fruit, quantity=quantity, what="juice")
