"""Check characters against published schemes, and against what they must find.

Sources:
- python-stdnum 2.2 (reference implementation of ISO/IEC 7064 with the worked
  examples of its documentation), used here as a second reader.
- Crockford, D.: Base 32 (alphabet and the value of each character).
- The values of the 32-element field were computed for this project by hand walk:
  start 0; for each character: times alpha (x^5 + x^2 + 1), exclusive-or its value.
"""

from datetime import date, timedelta

import pytest
from stdnum import luhn, verhoeff
from stdnum.iso7064 import mod_11_2, mod_11_10, mod_37_2, mod_37_36, mod_97_10

from production.batch_codes import (
    ALPHABET,
    BATCH_LETTERS,
    check_letter,
    checks_out,
    make_code,
    near_codes,
    near_texts,
    normalise,
    read_code,
)

DAYS_OF_2026 = [date(2026, 1, 1) + timedelta(days=n) for n in range(365)]


def slips(text, alphabet):
    """Every single wrong character and every swap of different neighbours."""
    for at, right in enumerate(text):
        for wrong in alphabet:
            if wrong != right:
                yield text[:at] + wrong + text[at + 1 :]
    for at in range(len(text) - 1):
        if text[at] != text[at + 1]:
            yield text[:at] + text[at + 1] + text[at] + text[at + 2 :]


def test_alphabet_is_crockfords():
    """Crockford base 32: digits, then letters without I, L, O and U."""
    letters = [c for c in "ABCDEFGHIJKLMNOPQRSTUVWXYZ" if c not in "ILOU"]
    assert "0123456789" + "".join(letters) == ALPHABET
    assert len(ALPHABET) == 32


def test_crockfords_worked_number_in_our_alphabet():
    """Published example: 1650553701 is written 1H62WV5 (dcode.fr, Crockford)."""
    number, digits = 1650553701, ""
    while number:
        number, rest = divmod(number, 32)
        digits = ALPHABET[rest] + digits
    assert digits == "1H62WV5"


def test_reading_rules_are_crockfords():
    """Crockford: lower = upper, i and l are 1, o is 0, hyphens are ignored."""
    assert normalise("26l96-am") == "26196AM"
    assert normalise("26I96AM") == "26196AM"
    assert normalise("o-U") == "0U"


@pytest.mark.parametrize(
    ("body", "letter"),
    [
        ("26196A", "M"),
        ("26196B", "P"),
        ("26197A", "G"),
        ("26001A", "T"),
        ("27015C", "B"),
    ],
)
def test_hand_walked_check_letters(body, letter):
    assert check_letter(body) == letter


def test_no_slip_in_any_code_of_2026_passes():
    """Exhaustive: 365 days, first four letters; count computed beforehand."""
    tried = 0
    for on in DAYS_OF_2026:
        for letter in BATCH_LETTERS[:4]:
            for wrong in slips(make_code(on, letter), ALPHABET):
                tried += 1
                assert not checks_out(wrong), wrong
    assert tried == 325_238


def test_finds_what_iso_7064_mod_37_2_finds():
    """MOD 37-2 (stdnum) sees the same slips; it is the standard's yardstick."""
    for on in DAYS_OF_2026[::30]:
        ours = make_code(on, "A")
        iso = ours[:-1] + mod_37_2.calc_check_digit(ours[:-1])
        for wrong in slips(ours, ALPHABET):
            assert not checks_out(wrong)
        for wrong in slips(iso, "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"):
            assert not mod_37_2.is_valid(wrong)


def test_why_not_mod_37_36():
    """ISO/IEC 7064 MOD 37,36 lets some neighbour swaps through; ours does not."""
    assert mod_37_36.is_valid("26YZ4")
    assert mod_37_36.is_valid("26ZY4")
    assert check_letter("26YZ") != check_letter("26ZY")


def test_why_not_mod_37_2():
    """Its check may be one of * I L O U, which a sticky jar cannot tell from 1, 0."""
    checks = {mod_37_2.calc_check_digit(make_code(on, "A")[:-1]) for on in DAYS_OF_2026}
    assert checks & set("*ILOU")
    assert {make_code(on, "A")[-1] for on in DAYS_OF_2026} <= set(ALPHABET)


@pytest.mark.parametrize(
    ("typed", "count"), [("26198AM", 7), ("26916AM", 8)], ids=["wrong", "swapped"]
)
def test_number_of_texts_one_slip_away(typed, count):
    """One substitution per place, and swaps by chance; counted exhaustively."""
    near = near_texts(typed)
    assert len(near) == count
    assert "26196AM" in [text for text, _slip, _place in near]
    assert "26196AM" in [near.code.text for near in near_codes(typed)]


@pytest.mark.parametrize(
    ("on", "ordinal"),
    [
        (date(2026, 7, 15), "26196"),
        (date(2024, 12, 31), "24366"),
        (date(2024, 2, 29), "24060"),
        (date(2024, 3, 1), "24061"),
        (date(2025, 3, 1), "25060"),
    ],
)
def test_ordinal_dates(on, ordinal):
    """ISO 8601 ordinal dates, checked with the calendar's own %j."""
    code = make_code(on, "A")
    assert code[:5] == ordinal == on.strftime("%y%j")
    assert read_code(code).cooked_on == on


def test_yardstick_is_the_published_one():
    """stdnum's documented ISO 7064, Verhoeff and Luhn examples, so that a changed
    library cannot quietly weaken the comparison above."""
    assert mod_11_2.calc_check_digit("079") == "X"
    assert mod_11_10.calc_check_digit("00200667308") == "5"
    assert mod_37_2.calc_check_digit("G123489654321") == "Y"
    assert mod_37_2.calc_check_digit("G123498654321") == "H"
    assert mod_37_36.calc_check_digit("A12425GABC1234002") == "M"
    assert mod_97_10.calc_check_digits("99991234567890121414") == "90"
    assert verhoeff.calc_check_digit("1234") == "0"
    assert luhn.calc_check_digit("7894") == "9"
