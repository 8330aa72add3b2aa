"""What the net-contents check promises, beyond the published figures."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from production.average_quantity import (
    check_average_quantity,
    largest_nominal_g,
    tolerable_error_g,
)
from production.declared import Declaration, DeclarationError
from production.net_contents import (
    NetContentsError,
    check_jars,
    correction_factor,
    declare_instead,
    fill_target_g,
    judge_errors,
    maximum_allowable_variation_g,
    sampling_plan,
)
from production.scales import ScaleClass, acceptance_divisions, scale_class

TEN_OZ = Declaration.of_ounces(Decimal(10))
ERRORS = st.lists(st.decimals(-40, 20, places=1), min_size=2, max_size=12)


@settings(max_examples=60)
@given(ERRORS)
def test_what_to_declare_instead_is_carried_by_the_jars(errors):
    result = judge_errors(errors, declaration=TEN_OZ, lot_size=len(errors))
    instead = declare_instead(result)
    nets = [each + result.labelled_g for each in errors]
    again = check_jars(nets, [Decimal(0)], declaration=instead, lot_size=len(nets))
    assert again.average_g >= 0
    assert again.passes


@settings(max_examples=60)
@given(ERRORS, st.decimals("0.1", 30, places=1))
def test_a_heavier_batch_never_does_worse(errors, more):
    worse = judge_errors(errors, declaration=TEN_OZ, lot_size=12)
    better = judge_errors(
        [each + more for each in errors], declaration=TEN_OZ, lot_size=12
    )
    assert better.passes_single >= worse.passes_single
    assert better.passes_average >= worse.passes_average


def test_too_few_jars_are_no_pass():
    result = judge_errors([Decimal(1)] * 5, declaration=TEN_OZ, lot_size=40)
    assert result.still_to_weigh == 7
    assert not result.passes
    assert "weigh 7 more of the 40 jars" in result.verdict


def test_one_jar_has_no_average_test_beyond_its_sign():
    light = judge_errors([Decimal(-1)], declaration=TEN_OZ, lot_size=1)
    full = judge_errors([Decimal(0)], declaration=TEN_OZ, lot_size=1)
    assert not light.passes
    assert full.passes


@pytest.mark.parametrize(
    ("errors", "says"),
    [
        ("-20 30", "one jar is 20 g short"),
        ("-3 -3", "on average 3 g short"),
        ("1 1", "would pass the single-jar test"),
    ],
)
def test_the_verdict_says_which_test(errors, says):
    values = [Decimal(each) for each in errors.split()]
    result = judge_errors(values, declaration=TEN_OZ, lot_size=2)
    assert says in result.verdict
    assert "compliant" not in result.verdict


@pytest.mark.parametrize(
    ("gross", "tares", "says"),
    [
        ([], [Decimal(186)], "no jar was weighed"),
        ([Decimal(500)], [], "at least one empty jar"),
        ([Decimal(180)], [Decimal(186)], "lighter than an empty"),
        ([Decimal(500)] * 4, [Decimal(186)], "the lot holds 3"),
    ],
)
def test_what_cannot_be_weighed_is_refused(gross, tares, says):
    with pytest.raises(NetContentsError, match=says):
        check_jars(gross, tares, declaration=TEN_OZ, lot_size=3)


def test_an_empty_lot_and_a_package_off_the_table_are_refused():
    with pytest.raises(NetContentsError, match="no jars"):
        sampling_plan(0)
    with pytest.raises(NetContentsError, match="lb the table"):
        maximum_allowable_variation_g(Declaration(ounces=Decimal(100)))
    with pytest.raises(NetContentsError, match="too little"):
        declare_instead(
            judge_errors([Decimal("-283.4")], declaration=TEN_OZ, lot_size=1)
        )


def test_the_fill_target_leaves_room_for_the_scale_and_the_spread():
    for spread, target in (("0.2", 341), ("5", "341.25"), ("8", "349.3")):
        aimed = fill_target_g(
            labelled_g=Decimal(340),
            spread_g=Decimal(spread),
            mav_g=Decimal("16.3"),
            division_g=Decimal(1),
        )
        assert aimed == Decimal(target)


@pytest.mark.parametrize(
    ("ounces", "grams", "text"),
    [("10", "283", "10 oz (283 g)"), (None, "283", "283 g"), ("9.5", None, "9.5 oz")],
)
def test_the_words_of_a_declaration(ounces, grams, text):
    label = Declaration(
        ounces=ounces and Decimal(ounces), grams=grams and Decimal(grams)
    )
    assert label.text == text


def test_a_declaration_of_nothing_is_refused():
    with pytest.raises(DeclarationError):
        Declaration()
    with pytest.raises(DeclarationError):
        Declaration(grams=Decimal(0))


def test_a_declaration_derives_its_other_figure():
    assert Declaration.of_grams(Decimal(340)).text == "11.9 oz (340 g)"


def test_a_coarse_scale_is_refused_and_classes_are_told_apart():
    with pytest.raises(NetContentsError, match="at least 100"):
        scale_class(capacity_g=Decimal(500), division_g=Decimal(10))
    fine = scale_class(capacity_g=Decimal(200), division_g=Decimal("0.01"))
    assert fine is ScaleClass.II
    usual = scale_class(capacity_g=Decimal(5000), division_g=Decimal(1))
    assert usual is ScaleClass.III
    assert acceptance_divisions(usual, Decimal(600)) == 1


def test_the_three_european_rules_each_fail_alone():
    even = [Decimal(340)] * 20
    short = [Decimal(339)] * 20
    assert (
        "mean"
        in check_average_quantity(short, nominal_g=Decimal(340), lot_size=20).failures[
            0
        ]
    )
    few = [Decimal(345)] * 18 + [Decimal(329)] * 2
    said = check_average_quantity(few, nominal_g=Decimal(340), lot_size=20).failures
    assert said == ("2 jars are short by more than 10.2 g; 1 would be few",)
    one = [Decimal(345)] * 19 + [Decimal(319)]
    said = check_average_quantity(one, nominal_g=Decimal(340), lot_size=20).failures
    assert said == ("1 jars are short by more than 20.4 g",)
    assert check_average_quantity(even, nominal_g=Decimal(340), lot_size=20).passes


@settings(max_examples=30)
@given(st.lists(st.decimals(200, 400, places=1), min_size=1, max_size=12))
def test_the_largest_nominal_quantity_is_carried(nets):
    nominal = largest_nominal_g(nets)
    assert check_average_quantity(nets, nominal_g=nominal, lot_size=len(nets)).passes


def test_bad_input_to_the_european_rules_is_refused():
    for grams in ("4", "10001"):
        with pytest.raises(NetContentsError, match="the table"):
            tolerable_error_g(Decimal(grams))
    for nets, lot in (([], 3), ([Decimal(340)] * 4, 3)):
        with pytest.raises(NetContentsError):
            check_average_quantity(nets, nominal_g=Decimal(340), lot_size=lot)
    for nets in ([], [Decimal(3)]):
        with pytest.raises(NetContentsError):
            largest_nominal_g(nets)


def test_one_jar_has_no_correction_factor():
    with pytest.raises(NetContentsError, match="at least two jars"):
        correction_factor(1)
