"""The label text as a value."""

from decimal import Decimal

import pytest

from labels.statements.label_text import (
    LabelElement,
    LabelText,
    LabelTextError,
    MeasuredOn,
    Panel,
    Role,
    Run,
    SizeStep,
    TypeSize,
    TypeSizeRule,
    emphasised,
    plain,
)


def size(mm):
    return TypeSize(
        minimum_mm=Decimal(mm), measured_on=MeasuredOn.X_HEIGHT, citation="a law"
    )


def element(role=Role.IDENTITY, text="Jam", **more):
    return LabelElement(role=role, runs=plain(text), **more)


def test_an_element_without_words_is_refused():
    with pytest.raises(LabelTextError, match="identity"):
        element(text="  ")


def test_a_size_below_zero_is_refused():
    with pytest.raises(LabelTextError, match="below zero"):
        size("-1")


@pytest.mark.parametrize(
    "steps",
    [
        (),
        (SizeStep(up_to_cm2=Decimal(1), size=size(1)),),
        (
            SizeStep(up_to_cm2=Decimal(9), size=size(1)),
            SizeStep(up_to_cm2=Decimal(1), size=size(2)),
            SizeStep(up_to_cm2=None, size=size(3)),
        ),
    ],
)
def test_steps_rise_and_have_no_end(steps):
    with pytest.raises(LabelTextError):
        TypeSizeRule(steps=steps)


def test_a_step_holds_up_to_and_with_its_area():
    rule = TypeSizeRule(
        steps=(
            SizeStep(up_to_cm2=Decimal(10), size=size(1)),
            SizeStep(up_to_cm2=None, size=size(2)),
        )
    )
    assert rule.at(Decimal(10)).minimum_mm == 1
    assert rule.at(Decimal("10.1")).minimum_mm == 2
    assert rule.at().minimum_mm == 1


def test_a_text_finds_its_elements():
    text = LabelText(
        jurisdiction="US",
        language="en",
        elements=(
            element(panel=Panel.PRINCIPAL_DISPLAY),
            element(Role.CLAIM, "one"),
            element(Role.CLAIM, "two"),
        ),
    )
    assert [each.text for each in text.of(Role.CLAIM)] == ["one", "two"]
    assert text.first(Role.STORAGE) is None
    assert [each.role for each in text.on(Panel.PRINCIPAL_DISPLAY)] == [Role.IDENTITY]
    assert text.text == "Jam\none\ntwo"


def test_neighbours_of_one_emphasis_are_joined():
    pieces = [("a", False), ("", True), ("b", False), ("c", True)]
    assert emphasised(pieces) == (Run(text="ab"), Run(text="c", emphasis=True))
