"""Net contents against the handbook's own figures and worked decisions.

Sources:
- HB 133: NIST Handbook 133, "Checking the Net Contents of Packaged Goods",
  2026 edition, chapter 2; each case names its section.
- 16 CFR 500.19(a): the six-digit conversion chart.
- 76/211/EEC: Council Directive 76/211/EEC, Annex I 2.4 and Annex II 2.3.
- "worked": decisions computed by hand from those rules on data of our own.
"""

from decimal import Decimal
from itertools import permutations

import pytest
from scipy import stats

from inventory.units import GRAMS_PER_OUNCE, GRAMS_PER_POUND
from production.average_quantity import check_average_quantity, tolerable_error_g
from production.declared import Declaration, grams_from_ounces, ounces_from_grams
from production.net_contents import (
    check_jars,
    correction_factor,
    judge_errors,
    maximum_allowable_variation_g,
    sampling_plan,
    tables,
)
from production.scales import (
    ScaleClass,
    acceptance_divisions,
    largest_division_g,
    scale_class,
)


def decimals(text):
    return [Decimal(each) for each in text.split()]


def pounds(text):
    return Declaration(ounces=Decimal(text) * 16)


TWELVE_OZ = Declaration(ounces=Decimal(12), grams=Decimal(340))
EIGHT_OZ = Declaration(ounces=Decimal(8))


# --- figures of HB 133 itself -------------------------------------------------


def test_quarter_pound_has_an_allowable_variation_of_7_2_g():
    """HB 133, 2.2.1: 113 g (0.25 lb) has 7.2 g (0.016 lb)."""
    label = Declaration(ounces=Decimal(4), grams=Decimal(113))
    assert maximum_allowable_variation_g(label) == Decimal("7.2")


def test_its_scale_may_step_by_one_gram():
    """HB 133, 2.2.1: a sixth of 7.2 g is 1.2 g; the next usable step is 1 g."""
    assert largest_division_g(Decimal("7.2")) == 1


def test_a_scale_of_50000_divisions_is_class_two_and_may_be_off_by_one():
    """HB 133, 2.2.3: 5,000 g in 0.1 g is class II; 1,500 g may be off one step."""
    kind = scale_class(capacity_g=Decimal(5000), division_g=Decimal("0.1"))
    assert kind is ScaleClass.II
    assert acceptance_divisions(kind, Decimal(15_000)) == 1


def test_the_larger_of_two_declarations_is_checked():
    """HB 133, 2.3.3: "1 lb (454 g)" is held to 454 g; 1 lb is 453.592 g."""
    label = Declaration(ounces=Decimal(16), grams=Decimal(454))
    assert round(GRAMS_PER_POUND.value, 3) == Decimal("453.592")
    assert label.larger_g == 454


def test_two_pounds_have_an_allowable_variation_of_31_7_g():
    """HB 133, 2.3.8.2: 907 g (2 lb) has 31.7 g (0.07 lb)."""
    assert maximum_allowable_variation_g(pounds("2")) == Decimal("31.7")


def test_a_moisture_allowance_widens_both_limits_once():
    """HB 133, 2.3.8.2: 31.7 g + 27 g = 58.7 g; a limit of 0.023 + 0.06 = 0.083."""
    errors = [Decimal("-58.7"), Decimal("58.7")]
    kept = judge_errors(
        errors, declaration=pounds("2"), lot_size=2, allowance_g=Decimal(27)
    )
    assert kept.passes_single
    assert kept.limit_g == kept.spread_g * kept.factor + 27
    dry = judge_errors(errors, declaration=pounds("2"), lot_size=2)
    assert not dry.passes_single


# --- worked decisions ---------------------------------------------------------

K20 = "2.1 1.4 -0.6 3.0 0.8 -1.2 2.4 1.1 0.3 -0.4 1.9 0.7"
K21 = "-2.0 1.5 -3.1 0.4 -1.8 2.2 -0.9 -2.6 1.0 -1.4 0.6 -0.5"
K22 = "-3.0 -2.4 -3.6 -2.8 -3.2 -2.9 -3.5 -2.6 -3.1 -3.3 -2.7 -3.0"
K23 = "4.0 3.5 5.1 2.8 4.4 3.9 -17.0 4.6 3.2 5.0 4.1 3.7"
K24 = "-1.0 -0.5 -0.8 -0.2 -0.9"
K25 = "-6.0 4.0 -7.5 3.0 -5.0"


@pytest.mark.parametrize(
    ("errors", "label", "average", "limit", "mav", "passes"),
    [
        (K20, TWELVE_OZ, "0.958", None, "16.3", True),
        (K21, TWELVE_OZ, "-0.550", "1.076", "16.3", True),
        (K22, TWELVE_OZ, "-3.008", "0.227", "16.3", False),
        (K23, TWELVE_OZ, "2.275", None, "16.3", False),
        (K24, EIGHT_OZ, "-0.680", "0.406", "12.7", False),
        (K25, EIGHT_OZ, "-2.300", "6.677", "12.7", True),
        ("-1 -2", EIGHT_OZ, "-1.5", "6.353", "12.7", True),
    ],
    ids=["K20", "K21", "K22", "K23", "K24", "K25", "K26"],
)
def test_worked_decisions(errors, label, average, limit, mav, passes):
    """Worked by HB 133, 2.3.7: average test and test of single shortages."""
    values = decimals(errors)
    result = judge_errors(values, declaration=label, lot_size=len(values))
    assert round(result.average_g, 3) == Decimal(average)
    assert result.mav_g == Decimal(mav)
    if limit is not None:
        assert result.limit_g == pytest.approx(Decimal(limit), abs=Decimal("0.0011"))
    assert result.passes is passes


TARES = decimals("186.2 186.6")
GROSS = decimals(
    "524.6 528.1 523.5 527.0 524.8 528.8 525.7 524.0 527.6 525.2 527.2 526.1"
)


def test_a_full_sheet_of_twelve_jars():
    """Worked by HB 133, 2.3.5 to 2.3.7, from tares and gross weights."""
    result = check_jars(GROSS, TARES, declaration=TWELVE_OZ, lot_size=12)
    assert round(result.labelled_g, 3) == Decimal("340.194")
    assert [round(each, 3) for each in result.errors_g] == decimals(
        "-1.994 1.506 -3.094 0.406 -1.794 2.206 -0.894 -2.594 1.006 -1.394 0.606 -0.494"
    )
    assert round(result.average_g, 3) == Decimal("-0.544")
    assert round(result.spread_g, 3) == Decimal("1.695")
    assert round(result.limit_g, 3) == Decimal("1.076")
    assert result.passes


def test_every_jar_lighter_by_one_and_a_half_grams_fails():
    """Worked: average -2.044 against a limit of 1.076."""
    lighter = [each - Decimal("1.5") for each in GROSS]
    result = check_jars(lighter, TARES, declaration=TWELVE_OZ, lot_size=12)
    assert round(result.average_g, 3) == Decimal("-2.044")
    assert not result.passes


def test_the_wrong_declaration_costs_two_tenths_of_a_gram():
    """Worked: held to 340 g instead of 340.194 g the average is -0.350."""
    grams_only = Declaration(grams=Decimal(340))
    result = check_jars(GROSS, TARES, declaration=grams_only, lot_size=12)
    assert round(result.average_g, 3) == Decimal("-0.350")


def test_order_of_the_jars_never_matters():
    for errors in permutations(decimals(K24)):
        result = judge_errors(errors, declaration=EIGHT_OZ, lot_size=5)
        assert not result.passes


# --- sampling plan, factors, allowable variation -------------------------------


@pytest.mark.parametrize(
    ("lot", "sample", "beyond"),
    [
        (1, 1, 0),
        (11, 11, 0),
        (12, 12, 0),
        (250, 12, 0),
        (251, 24, 0),
        (3200, 24, 0),
        (3201, 48, 1),
    ],
)
def test_sampling_plan(lot, sample, beyond):
    """HB 133, Appendix A, table 2-1 (from memory)."""
    plan = sampling_plan(lot)
    assert (plan.sample, plan.beyond_mav) == (sample, beyond)


@pytest.mark.parametrize("jars", [2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 17, 24, 30, 48])
def test_correction_factors_follow_students_t(jars):
    """Independent: t(0.975; n-1)/sqrt(n) by scipy.stats, within 0.001."""
    formula = stats.t.ppf(0.975, jars - 1) / jars**0.5
    assert float(correction_factor(jars)) == pytest.approx(formula, abs=0.0011)


@pytest.mark.parametrize(
    ("label", "mav"),
    [
        (pounds("0.26"), "7.2"),
        (pounds("0.2601"), "9.0"),
        (pounds("0.08"), "3.6"),
        (Declaration(grams=Decimal(28)), "2.8"),
        (Declaration(grams=Decimal(190)), "10.8"),
        (Declaration(ounces=Decimal("1.5")), "3.6"),
        (EIGHT_OZ, "12.7"),
        (TWELVE_OZ, "16.3"),
        (Declaration(ounces=Decimal(16), grams=Decimal(453)), "19.9"),
    ],
)
def test_allowable_variation(label, mav):
    """HB 133, Appendix A, table 2-5 (from memory but for two rows)."""
    assert maximum_allowable_variation_g(label) == Decimal(mav)


def test_every_gram_figure_is_the_pound_figure_cut_off():
    """Cross-check of the two columns: pounds times 453.592, the rest cut off.

    Bounds of one kilogram and more are printed to 10 g and only checked to that.
    """
    for row in tables()["allowable_variation"]["rows"]:
        exact = row["mav_lb"] * GRAMS_PER_POUND.value
        assert Decimal(0) <= exact - row["mav_g"] < Decimal("0.1")
        bound = row["above_lb"] * GRAMS_PER_POUND.value
        step = 1 if row["above_g"] < 1000 else 10
        assert 0 <= bound - row["above_g"] < step


# --- conversion -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("ounces", "floor", "nearest"),
    [
        ("1", 28, 28),
        ("1.5", 42, 43),
        ("2", 56, 57),
        ("4", 113, 113),
        ("4.5", 127, 128),
        ("5", 141, 142),
        ("6", 170, 170),
        ("7", 198, 198),
        ("8", 226, 227),
        ("9", 255, 255),
        ("10", 283, 283),
        ("11", 311, 312),
        ("12", 340, 340),
        ("14", 396, 397),
        ("16", 453, 454),
        ("18", 510, 510),
        ("20", 566, 567),
        ("24", 680, 680),
        ("32", 907, 907),
    ],
)
def test_ounces_to_grams(ounces, floor, nearest):
    """16 CFR 500.19(b): three digits, two below 100 g; cut off, never overstated."""
    assert grams_from_ounces(Decimal(ounces)) == floor
    assert grams_from_ounces(Decimal(ounces), nearest=True) == nearest


@pytest.mark.parametrize(
    ("grams", "ounces"),
    [
        ("190", "6.70"),
        ("200", "7.05"),
        ("212", "7.47"),
        ("225", "7.93"),
        ("227", "8.00"),
        ("250", "8.81"),
        ("283", "9.98"),
        ("300", "10.5"),
        ("325", "11.4"),
        ("340", "11.9"),
        ("370", "13.0"),
        ("400", "14.1"),
        ("440", "15.5"),
        ("450", "15.8"),
        ("454", "16.0"),
        ("500", "17.6"),
    ],
)
def test_grams_to_ounces(grams, ounces):
    """16 CFR 500.19(b): three digits, the rest cut off."""
    assert ounces_from_grams(Decimal(grams)) == Decimal(ounces)


def test_the_legal_chart_to_its_six_digits():
    """16 CFR 500.19(a): 1 oz = 28.3495 g, 1 g = 0.0352740 oz, 1 lb = 453.592 g."""
    assert round(GRAMS_PER_OUNCE.value, 4) == Decimal("28.3495")
    assert round(1 / GRAMS_PER_OUNCE.value, 7) == Decimal("0.0352740")


@pytest.mark.parametrize(
    ("ounces", "grams", "larger"),
    [("8", "227", "227"), ("12", "340", "340.1942775"), ("16", "454", "454")],
)
def test_larger_of_two_declarations(ounces, grams, larger):
    label = Declaration(ounces=Decimal(ounces), grams=Decimal(grams))
    assert label.larger_g == Decimal(larger)


# --- the European three rules ---------------------------------------------------


@pytest.mark.parametrize(
    ("nominal", "error"),
    [
        ("42", "3.8"),
        ("113", "5.1"),
        ("190", "8.6"),
        ("227", "9"),
        ("283", "9"),
        ("340", "10.2"),
        ("454", "13.7"),
        ("500", "15"),
        ("907", "15"),
    ],
)
def test_tolerable_negative_error(nominal, error):
    """76/211/EEC, Annex I, 2.4 and the rounding up of 2.5."""
    assert tolerable_error_g(Decimal(nominal)) == Decimal(error)


def test_the_table_is_continuous_where_its_rows_meet():
    """Computed: 4.5 % of 200 g is 9 g, 3 % of 300 g is 9 g, of 500 g is 15 g."""
    for bound, error in ((200, 9), (300, 9), (500, 15)):
        at = tolerable_error_g(Decimal(bound))
        beyond = tolerable_error_g(Decimal(bound) + Decimal("0.001"))
        assert at == error
        assert beyond - at <= Decimal("0.1")


TWENTY = decimals(
    "341.2 339.1 340.6 338.2 342.0 340.4 339.8 341.5 337.9 340.9 "
    "339.4 341.1 340.2 338.8 341.8 340.0 339.2 340.7 341.3 338.5"
)


def test_twenty_jars_by_the_reference_test():
    """76/211/EEC, Annex II, 2.3: mean 340.13, s 1.226, limit 339.216: accepted."""
    result = check_average_quantity(TWENTY, nominal_g=Decimal(340), lot_size=200)
    assert round(result.mean_g, 2) == Decimal("340.13")
    assert round(result.spread_g, 3) == Decimal("1.226")
    assert round(result.mean_limit_g, 3) == Decimal("339.216")
    assert result.below_t1 == 0
    assert result.passes
