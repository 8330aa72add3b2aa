"""Standard against actual cost, and one cost shared by several outputs."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.money import round_money
from production.costing.breakdown import CostingError, Part
from production.costing.jar import NoJarsError, Spread
from production.costing.joint import Output, SharingRule, share_cost
from production.costing.variance import ComparedLine, Jars, compare

POSITIVE = st.decimals("0.01", 5000, places=3)
LINES = st.lists(
    st.builds(
        ComparedLine,
        part=st.sampled_from(Part),
        name=st.just("line"),
        standard_quantity=POSITIVE,
        standard_price=POSITIVE,
        actual_quantity=POSITIVE,
        actual_price=POSITIVE,
        spread=st.sampled_from(Spread),
    ),
    min_size=1,
    max_size=5,
)


@st.composite
def jar_counts(draw):
    good = draw(st.integers(1, 40))
    return Jars(
        expected=Decimal(draw(st.integers(1, 40))),
        filled=Decimal(good + draw(st.integers(0, 3))),
        good=Decimal(good),
    )


def make_line(**overrides):
    fields = {
        "part": Part.INGREDIENTS,
        "name": "strawberries",
        "standard_quantity": Decimal(2000),
        "standard_price": Decimal("0.008"),
        "actual_quantity": Decimal(2000),
        "actual_price": Decimal("0.008"),
    } | overrides
    return ComparedLine(**fields)


def make_jars(expected=8, filled=8, good=8):
    return Jars(expected=Decimal(expected), filled=Decimal(filled), good=Decimal(good))


def reasons(line, jars):
    answer = compare([line], jars=jars).by_reason()
    return {name: value for name, value in answer.items() if value}


def test_a_batch_as_it_should_be_differs_by_nothing():
    assert reasons(make_line(), make_jars()) == {}


def test_more_fruit_is_judged_at_the_standard_price():
    line = make_line(actual_quantity=Decimal(2200))
    assert reasons(line, make_jars()) == {"amount used": Decimal("0.2")}


def test_a_dearer_flat_is_a_price():
    line = make_line(actual_price=Decimal("0.010"))
    assert reasons(line, make_jars()) == {"price": Decimal("0.5")}


def test_fewer_jars_filled_is_the_yield():
    # 16.00 over 7 jars, not over 8: 2.2857 - 2.00
    found = reasons(make_line(), make_jars(filled=7, good=7))
    assert {k: round(v, 4) for k, v in found.items()} == {
        "jars filled": Decimal("0.2857")
    }


def test_a_failed_seal_is_carried_by_the_good_jars():
    found = reasons(make_line(), make_jars(good=7))
    assert {k: round(v, 4) for k, v in found.items()} == {
        "failed seals": Decimal("0.2857")
    }


def test_glass_belongs_to_each_jar_and_not_to_the_yield():
    line = make_line(
        part=Part.PACKAGING,
        name="jar",
        standard_quantity=Decimal(1),
        standard_price=Decimal("0.75"),
        actual_quantity=Decimal(7),
        actual_price=Decimal("0.75"),
        spread=Spread.JAR,
    )
    assert reasons(line, make_jars(filled=7, good=7)) == {}


@settings(max_examples=80)
@given(lines=LINES, jars=jar_counts())
def test_reasons_lines_and_parts_are_the_whole_difference(lines, jars):
    answer = compare(lines, jars=jars)
    spent = sum(line.actual_quantity * line.actual_price for line in lines)
    close = Decimal("1e-15")
    assert abs(answer.actual_cost - spent / jars.good) < close * spent
    assert (
        abs(answer.standard_cost + answer.difference - answer.actual_cost)
        < close * spent
    )
    whole = answer.actual_cost - answer.standard_cost
    assert abs(sum(answer.by_reason().values()) - whole) < close * spent
    assert abs(sum(answer.by_part().values()) - whole) < close * spent


@settings(max_examples=80)
@given(lines=LINES, jars=jar_counts())
def test_shown_reasons_add_to_the_shown_difference(lines, jars):
    answer = compare(lines, jars=jars)
    shown = answer.shown_by_reason()
    assert sum(shown.values()) == round_money(sum(answer.by_reason().values()))


def test_a_batch_without_good_jars_has_no_cost_per_jar():
    with pytest.raises(NoJarsError):
        make_jars(good=0)
    with pytest.raises(CostingError, match="more than the 7 filled"):
        make_jars(filled=7, good=8)


JAM = Output(name="jam", weight_g=Decimal(2200), value=Decimal(72), pieces=Decimal(8))
JUICE = Output(
    name="juice",
    weight_g=Decimal(800),
    value=Decimal(8),
    pieces=Decimal(2),
    is_by_product=True,
)


@pytest.mark.parametrize(
    ("rule", "shares"),
    [
        (SharingRule.WEIGHT, ["14.67", "5.33"]),
        (SharingRule.VALUE, ["18.00", "2.00"]),
        (SharingRule.PIECES, ["16.00", "4.00"]),
        (SharingRule.BY_PRODUCT, ["12.00", "8"]),
    ],
)
def test_a_joint_cost_is_shared_by_the_stated_rule(rule, shares):
    shared = share_cost(Decimal("20.00"), [JAM, JUICE], rule=rule)
    assert [s.cost for s in shared.shares] == [Decimal(s) for s in shares]
    assert rule.sentence


def test_the_share_of_a_batch_is_a_fraction():
    shared = share_cost(Decimal("20.00"), [JAM, JUICE], rule=SharingRule.VALUE)
    assert shared.fraction_of("juice") == Decimal("0.1")
    free = share_cost(Decimal("0.00"), [JAM, JUICE], rule=SharingRule.VALUE)
    assert free.fraction_of("juice") == 0


@settings(max_examples=60)
@given(
    cents=st.integers(0, 100_000),
    weights=st.lists(st.integers(1, 5000), min_size=1, max_size=6),
)
def test_shares_never_lose_a_cent(cents, weights):
    cost = Decimal(cents).scaleb(-2)
    outputs = [Output(name=str(w), weight_g=Decimal(w)) for w in weights]
    shared = share_cost(cost, outputs, rule=SharingRule.WEIGHT)
    assert sum(s.cost for s in shared.shares) == cost


def test_nothing_to_share_by_is_refused():
    with pytest.raises(CostingError, match="needs that figure"):
        share_cost(Decimal(1), [Output(name="peel")], rule=SharingRule.WEIGHT)
    with pytest.raises(CostingError, match="more than the cost"):
        share_cost(Decimal(1), [JAM, JUICE], rule=SharingRule.BY_PRODUCT)
    with pytest.raises(CostingError, match="below nought"):
        Output(name="peel", weight_g=Decimal(-1))
