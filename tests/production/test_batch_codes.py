"""Batch codes: made, read back, and every slip seen."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from production.batch_codes import (
    ALPHABET,
    BATCH_LETTERS,
    BatchCode,
    BatchCodeError,
    MistypedCodeError,
    NoLetterLeftError,
    ShortCodeError,
    Slip,
    checks_out,
    codes_two_apart,
    make_code,
    near_codes,
    next_letter,
    read_code,
    read_fragment,
)

cook_days = st.dates(date(2000, 1, 1), date(2099, 12, 31))
letters = st.sampled_from(BATCH_LETTERS)


@given(cook_days, letters)
def test_reading_undoes_making(on, letter):
    assert read_code(make_code(on, letter)) == BatchCode(cooked_on=on, letter=letter)


@pytest.mark.parametrize(
    "typed", ["26196am", "26-196-AM", " 26 196 A M ", "26l96am", "26I96AM", "26.196/am"]
)
def test_reading_is_forgiving(typed):
    assert read_code(typed).text == "26196AM"


def test_letter_o_is_read_as_zero():
    code = make_code(date(2026, 1, 1), "A")
    assert code.startswith("26001")
    assert read_code(code.replace("0", "o")).text == code


def test_a_wrong_code_says_typing_mistake_not_missing():
    with pytest.raises(MistypedCodeError, match="that code has a typing mistake"):
        read_code("26198AM")


@pytest.mark.parametrize("body", ["26000A", "26366A", "27366A", "26400A", "261965"])
def test_a_fitting_check_letter_does_not_excuse_an_impossible_code(body):
    text = next(body + last for last in ALPHABET if checks_out(body + last))
    with pytest.raises(MistypedCodeError):
        read_code(text)


def test_the_last_day_of_a_leap_year_has_a_code():
    assert make_code(date(2028, 12, 31), "A").startswith("28366A")


@pytest.mark.parametrize("typed", ["", "26", "26196", "26196AMM2", "jam"])
def test_a_text_of_another_length_is_no_whole_code(typed):
    with pytest.raises(ShortCodeError):
        read_code(typed)


@pytest.mark.parametrize("letter", ["I", "L", "O", "U", "a", "5", "AB", ""])
def test_only_the_safe_letters_name_a_batch(letter):
    with pytest.raises(BatchCodeError, match="not a batch letter"):
        make_code(date(2026, 7, 15), letter)


def test_a_day_outside_the_century_has_no_code():
    with pytest.raises(BatchCodeError, match="2000 to 2099"):
        make_code(date(1999, 7, 15), "A")


def test_letters_are_given_in_order_and_run_out():
    assert next_letter([]) == "A"
    assert next_letter(["B", "A"]) == "C"
    with pytest.raises(NoLetterLeftError, match="at most 22"):
        next_letter(BATCH_LETTERS)


def test_fragments_are_normalised():
    assert read_fragment("96-am") == "96AM"


@pytest.mark.parametrize("typed", ["", "9a", "26U", "2?196", "26196AM5"])
def test_fragments_too_short_or_strange_are_refused(typed):
    with pytest.raises(ShortCodeError, match="at least 3"):
        read_fragment(typed)


@given(cook_days, letters, st.integers(0, 6), st.sampled_from(ALPHABET))
def test_the_right_code_is_among_those_near_a_wrong_one(on, letter, at, wrong):
    right = make_code(on, letter)
    typed = right[:at] + wrong + right[at + 1 :]
    if typed != right:
        assert right in [near.code.text for near in near_codes(typed)]


@given(cook_days, letters, st.integers(0, 5))
def test_the_right_code_is_among_those_near_a_swapped_one(on, letter, at):
    right = make_code(on, letter)
    typed = right[:at] + right[at + 1] + right[at] + right[at + 2 :]
    if typed != right:
        assert right in [near.code.text for near in near_codes(typed)]


@given(cook_days, letters, st.integers(0, 6))
def test_an_unreadable_character_is_worked_out(on, letter, at):
    right = make_code(on, letter)
    found = [near.code.text for near in near_codes(right[:at] + "?" + right[at + 1 :])]
    assert found == [right]


@given(cook_days, letters, st.integers(0, 6))
def test_a_character_left_out_or_doubled_is_mended(on, letter, at):
    right = make_code(on, letter)
    short = right[:at] + right[at + 1 :]
    doubled = right[:at] + right[at] + right[at:]
    assert right in [near.code.text for near in near_codes(short)]
    assert right in [near.code.text for near in near_codes(doubled)]


def test_look_alikes_come_first_and_name_their_place():
    first = near_codes("2G196AM")[0]
    assert (first.code.text, first.slip, first.place) == ("26196AM", Slip.LOOK_ALIKE, 2)


def test_nothing_is_near_a_text_of_quite_another_length():
    assert near_codes("261") == ()


def test_every_code_of_a_year_is_read_and_no_slip_of_it_passes():
    """All single wrong characters and neighbour swaps, every seventh day."""
    for on in (date(2026, 1, 1) + timedelta(days=n) for n in range(0, 365, 7)):
        code = make_code(on, BATCH_LETTERS[on.day % 22])
        for at in range(len(code)):
            wrong = (code[:at] + c + code[at + 1 :] for c in ALPHABET if c != code[at])
            assert not any(checks_out(text) for text in wrong)
        for at in range(len(code) - 1):
            swapped = code[:at] + code[at + 1] + code[at] + code[at + 2 :]
            assert swapped == code or not checks_out(swapped)


def test_codes_two_characters_apart_differ_in_two_and_check_out():
    code = read_code("26196AM")
    near = codes_two_apart(code)
    assert len({each.text for each in near}) == len(near)
    for each in near:
        assert sum(a != b for a, b in zip(each.text, code.text, strict=True)) == 2
        assert checks_out(each.text)
    # 26195A and 26196B are neighbours of the same week: day and check, letter and check
    assert make_code(date(2026, 7, 14), "A") in [each.text for each in near]
    assert make_code(date(2026, 7, 15), "B") in [each.text for each in near]
