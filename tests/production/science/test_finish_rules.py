"""What a recipe's words say about the finish, and what its promise means."""

from decimal import Decimal

import pytest

from production.science.balance import Finish, FinishKind, PotLine, balance
from production.science.finish_rules import finish_at_solids, read_finish, usual_finish
from production.science.jars import fill_jar, jar_named
from production.science.kinds import ProductKind
from production.science.published import (
    PublishedYield,
    YieldVerdict,
    compare_yield,
    read_published_yield,
)
from production.science.span import Span
from production.science.working import ScienceError

JAM, JELLY = ProductKind.JAM, ProductKind.JELLY

WORDS = [
    (
        "8 F above the boiling point of water",
        JAM,
        False,
        FinishKind.ABOVE_BOILING,
        "0.651",
    ),
    ("9 °F above boiling", JELLY, False, FinishKind.ABOVE_BOILING, "0.665"),
    (
        "8 or 9 F above the boiling point of water",
        JAM,
        False,
        FinishKind.ABOVE_BOILING,
        "0.658",
    ),
    ("5 C above boiling water", JELLY, False, FinishKind.ABOVE_BOILING, "0.665"),
    (
        "220 F at sea level, by altitude table",
        JAM,
        False,
        FinishKind.ABOVE_BOILING,
        "0.651",
    ),
    ("105 °C", JAM, False, FinishKind.ABOVE_BOILING, "0.665"),
    ("68 % soluble solids", JAM, False, FinishKind.SOLIDS, "0.68"),
    ("to 65 Brix", JELLY, True, FinishKind.SOLIDS, "0.65"),
    ("gel point", JAM, False, FinishKind.ABOVE_BOILING, "0.665"),
    ("gel point", JELLY, False, FinishKind.ABOVE_BOILING, "0.651"),
    ("350 F oven", JAM, False, FinishKind.ABOVE_BOILING, "0.665"),
    ("mounds on a spoon", ProductKind.BUTTER, False, FinishKind.SOLIDS, "0.43"),
    ("until thick", ProductKind.CHUTNEY, False, FinishKind.SOLIDS, "0.47"),
    ("full rolling boil, 1 minute", JAM, True, FinishKind.TIME, None),
    ("purée simmered, then full rolling boil", JELLY, True, FinishKind.TIME, None),
    ("", JAM, True, FinishKind.TIME, None),
    ("uncooked", JAM, True, FinishKind.NONE, None),
    ("", ProductKind.INTERMEDIATE, False, FinishKind.NONE, None),
]


@pytest.mark.parametrize(("text", "kind", "pectin", "finish", "solids"), WORDS)
def test_the_words_of_a_finish(text, kind, pectin, finish, solids):
    found = read_finish(text, kind, pectin_added=pectin)
    assert found.kind is finish
    if solids:
        assert abs(found.solids.likely - Decimal(solids)) <= Decimal("0.001")


def test_a_simmer_drives_off_more():
    simmered = read_finish("simmered, then rolling boil", JAM, pectin_added=True)
    assert (
        simmered.boil_off.likely > usual_finish(JAM, pectin_added=True).boil_off.likely
    )


def test_only_the_maker_s_own_target_is_strict():
    assert finish_at_solids(Decimal("0.65")).strict
    assert not usual_finish(JAM, pectin_added=False).strict


def test_an_impossible_target_in_words_is_refused():
    with pytest.raises(ScienceError, match="at most 100 %"):
        read_finish("165 % soluble solids", JAM, pectin_added=False)


CUP = Decimal("236.5882365")


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("about 9 or 10 half-pint jars", 9, 10),
        ("5 to 6 half-pints", 5, 6),
        ("about 8 to 9 pints", 16, 18),
        ("7 cups", 7, 7),
        ("4 1/2 half-pints", "4.5", "4.5"),
        ("About 7 8-oz jars", 7, 7),
        ("6½ half pints", "6.5", "6.5"),
    ],
)
def test_a_printed_yield_is_read_in_cups(text, low, high):
    found = read_published_yield(text)
    assert found.low_ml == Decimal(low) * CUP
    assert found.high_ml == Decimal(high) * CUP


@pytest.mark.parametrize("text", ["", "a few jars", "some"])
def test_a_yield_without_a_number_is_none(text):
    assert read_published_yield(text) is None


def test_an_impossible_yield_is_refused():
    with pytest.raises(ScienceError, match="impossible"):
        PublishedYield(low_ml=Decimal(0), high_ml=Decimal(1), text="0 cups")


def compared(low, high):
    pot = [
        PotLine(
            name="mix",
            grams=Span.exactly(Decimal(2000)),
            solids=Span.exactly(Decimal("0.65")),
        )
    ]
    found = balance(pot, Finish(kind=FinishKind.NONE))
    half_pint = fill_jar(jar_named("8 fl oz"), solids=Decimal("0.65"))
    printed = PublishedYield(
        low_ml=low * CUP, high_ml=high * CUP, text=f"{low} to {high} cups"
    )
    return compare_yield(found, printed, half_pint=half_pint)


@pytest.mark.parametrize(
    ("low", "high", "verdict"),
    [
        (6, 7, YieldVerdict.AGREES),
        (7, 7, YieldVerdict.AGREES),
        (9, 10, YieldVerdict.HIGHER),
        (4, 5, YieldVerdict.LOWER),
    ],
)
def test_the_promise_beside_the_balance(low, high, verdict):
    found = compared(low, high)
    assert found.verdict is verdict
    assert f'"{low} to {high} cups"' in found.sentence


def test_what_a_promise_would_mean_is_told():
    assert compared(9, 10).implied_solids < Decimal("0.5")
    assert "only about" in compared(9, 10).sentence
    assert compared(4, 4).implied_solids is None
