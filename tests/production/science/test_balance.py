"""The soluble-solids balance: what must hold whatever is in the pot."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from production.science.balance import (
    BalanceError,
    Finish,
    FinishKind,
    PotLine,
    Role,
    TargetTooLowError,
    balance,
)
from production.science.span import Span

FINISHES = [
    Finish(
        kind=FinishKind.SOLIDS,
        solids=Span.about(Decimal("0.66"), Decimal("0.02")),
        strict=False,
    ),
    Finish(kind=FinishKind.TIME),
    Finish(kind=FinishKind.NONE),
]


def line(grams, solids, *, insoluble="0", role=Role.FRUIT, doubt="0.05"):
    return PotLine(
        name="fruit",
        grams=Span.about(Decimal(grams), Decimal(doubt)),
        solids=Span.exactly(Decimal(solids)),
        insoluble=Decimal(insoluble),
        role=role,
    )


@st.composite
def pots(draw):
    fruit = st.builds(
        line,
        st.integers(min_value=50, max_value=5000),
        st.sampled_from(["0.05", "0.10", "0.18"]),
        insoluble=st.sampled_from(["0", "0.02", "0.06"]),
    )
    sugar = st.builds(
        line, st.integers(min_value=0, max_value=4000), st.just("1"), doubt=st.just("0")
    )
    return [*draw(st.lists(fruit, min_size=1, max_size=4)), draw(sugar)]


@given(lines=pots(), finish=st.sampled_from(FINISHES))
@settings(max_examples=100)
def test_mass_is_conserved(lines, finish):
    found = balance(lines, finish)
    out = found.finished_g.likely + found.boiled_off_g + found.lost_g
    assert abs(out - sum(each.grams.likely for each in lines)) < Decimal("0.000001")


@given(lines=pots(), finish=st.sampled_from(FINISHES))
@settings(max_examples=60)
def test_never_more_comes_out_than_went_in(lines, finish):
    found = balance(lines, finish)
    assert found.finished_g.high <= sum(each.grams.high for each in lines)
    assert found.boiled_off_g >= 0


@given(lines=pots(), factor=st.sampled_from(["0.5", "0.25", "0.1"]))
@settings(max_examples=60)
def test_half_the_pot_gives_half_the_product(lines, factor):
    scale = Decimal(factor)
    smaller = [
        PotLine(
            name=each.name,
            grams=each.grams.scaled(scale),
            solids=each.solids,
            insoluble=each.insoluble,
        )
        for each in lines
    ]
    whole, part = (
        balance(pot, FINISHES[0]).finished_g.likely for pot in (lines, smaller)
    )
    assert abs(whole * scale - part) < Decimal("0.000001")


@given(lines=pots())
@settings(max_examples=40)
def test_the_order_of_the_ingredients_changes_nothing(lines):
    there, back = (balance(pot, FINISHES[0]).finished_g for pot in (lines, lines[::-1]))
    assert abs(there.likely - back.likely) < Decimal("0.000001")


def test_cooking_further_leaves_less():
    lines = [line(1000, "0.1"), line(1000, "1")]
    masses = [
        balance(
            lines, Finish(kind=FinishKind.SOLIDS, solids=Span.exactly(Decimal(n) / 100))
        ).finished_g.likely
        for n in (60, 65, 70)
    ]
    assert masses == sorted(masses, reverse=True)


def test_the_maker_s_own_target_below_the_mix_is_refused_with_both_figures():
    lines = [line(500, "0.1"), line(1500, "1")]
    strict = Finish(kind=FinishKind.SOLIDS, solids=Span.exactly(Decimal("0.65")))
    with pytest.raises(
        TargetTooLowError, match=r"already holds 77\.5 %.*asks for 65 %"
    ):
        balance(lines, strict)


def test_an_assumed_target_gives_way_with_a_note():
    lines = [line(500, "0.1"), line(1500, "1")]
    found = balance(lines, FINISHES[0])
    assert found.finish.kind is FinishKind.TIME
    assert "short boil" in found.notes[0]


def test_a_mix_just_beyond_the_usual_is_cooked_to_the_upper_end():
    usual = Finish(
        kind=FinishKind.SOLIDS,
        solids=Span(low=Decimal("0.4"), likely=Decimal("0.43"), high=Decimal("0.48")),
        strict=False,
    )
    found = balance([line(1000, "0.11"), line(600, "1", doubt="0")], usual)
    assert found.finished_solids.likely == Decimal("0.48")
    assert found.notes


def test_nuts_add_mass_and_no_solids():
    plain_pot = [line(1000, "0.1"), line(900, "1")]
    with_nuts = [*plain_pot, line(100, "0", insoluble="1", role=Role.OTHER, doubt="0")]
    without, with_ = (
        balance(pot, FINISHES[0]).finished_g.likely for pot in (plain_pot, with_nuts)
    )
    assert abs(with_ - without - 97) < Decimal("0.01")


def test_fruit_and_sweetener_are_told_apart():
    found = balance(
        [line(900, "0.1"), line(1000, "1", role=Role.SWEETENER)], FINISHES[0]
    )
    assert (found.fruit_g, found.sweetener_solids_g) == (900, 1000)
    assert found.fruit_share == 900 / found.finished_g.likely


@pytest.mark.parametrize("solids", ["1.1", "-0.1"])
def test_solids_over_100_percent_are_refused(solids):
    with pytest.raises(BalanceError, match="enter 0 to 100 %"):
        line(100, solids)


def test_other_impossible_figures_are_refused():
    with pytest.raises(BalanceError, match="0 g or more"):
        line(-1, "0.1", doubt="0")
    with pytest.raises(BalanceError, match="insoluble"):
        line(1, "0.1", insoluble="1.5")
    with pytest.raises(BalanceError, match="the pot is empty"):
        balance([], FINISHES[0])


@pytest.mark.parametrize(
    ("more", "match"),
    [
        ({"kind": FinishKind.SOLIDS}, "needs the soluble solids"),
        (
            {"kind": FinishKind.SOLIDS, "solids": Span.exactly(Decimal("1.2"))},
            "at most 100 %",
        ),
        (
            {"kind": FinishKind.SOLIDS, "solids": Span.exactly(Decimal(0))},
            "more than 0",
        ),
        (
            {"kind": FinishKind.TIME, "boil_off": Span.exactly(Decimal("0.95"))},
            "0 to 90 %",
        ),
    ],
)
def test_an_impossible_finish_is_refused(more, match):
    with pytest.raises(BalanceError, match=match):
        Finish(**more)


def test_every_sum_is_shown():
    figures = [
        working.figure for working in balance([line(1, "0.5")], FINISHES[1]).workings
    ]
    assert figures == [
        "in the pot before cooking",
        "in the pot when done",
        "left on pot, spoon and skimmer",
    ]
    assert (
        "not cooked down" in balance([line(1, "0.5")], FINISHES[2]).workings[1].formula
    )
