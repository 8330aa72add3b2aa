"""Batch codes: made for a lid, read back from a sticky jar.

A code has seven characters, ``YYDDD`` + batch letter + check letter: year and
ordinal day of cooking, one of 22 letters for the batch of that day, and a
character that makes every wrong character and every swap of two different
characters visible. ``26196AM`` is the first batch of 15 July 2026.

The alphabet is Crockford's base 32 (digits and letters without I, L, O and U);
the check is a weighted sum over the field of 32 elements built on the primitive
polynomial x^5 + x^2 + 1, whose root has order 31: two places of a code up to
31 characters long never carry the same weight, so every swap is found.

Source: Crockford, D.: Base 32 (alphabet, and which characters are read as which);
ordinal dates after ISO 8601. The check is the usual single-check linear code over
a finite field, as in textbooks of coding theory.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from enum import IntEnum
from itertools import combinations

from inventory.words import say

__all__ = [
    "ALPHABET",
    "BATCH_LETTERS",
    "CODE_LENGTH",
    "BatchCode",
    "BatchCodeError",
    "MistypedCodeError",
    "NearCode",
    "NoLetterLeftError",
    "ShortCodeError",
    "Slip",
    "check_letter",
    "checks_out",
    "codes_two_apart",
    "make_code",
    "near_codes",
    "near_texts",
    "next_letter",
    "normalise",
    "read_code",
    "read_fragment",
]

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
BATCH_LETTERS = ALPHABET[10:]
CODE_LENGTH = 7
SHORTEST_FRAGMENT = 3
CENTURY = 2000

_VALUE = {character: value for value, character in enumerate(ALPHABET)}
_READ_AS = str.maketrans({"I": "1", "L": "1", "O": "0"})
_FIELD_POLYNOMIAL = 0b100101
_LOOK_ALIKES = frozenset(
    frozenset(pair)
    for pair in (
        *("0D", "0Q", "17", "2Z", "5S", "6G", "8B", "CG", "DQ", "EF", "MN"),
        *("KX", "PR", "UV", "VY", "VW", "38", "49", "69", "1J", "4A", "6B"),
    )
)


class BatchCodeError(ValueError):
    """A batch code cannot be made or read."""


class MistypedCodeError(BatchCodeError):
    """A text as long as a batch code that cannot be one."""

    def __init__(self, text: str) -> None:
        self.text = text
        super().__init__(
            say(
                '"{text}": that code has a typing mistake; compare it with the '
                "jar, character by character",
                text=text,
            )
        )


class ShortCodeError(BatchCodeError):
    """Too little of a code to look for, or characters no code has."""

    def __init__(self, text: str) -> None:
        self.text = text
        super().__init__(
            say(
                '"{text}" is not part of a batch code; give at least '
                "{shortest_fragment} of its {code_length} digits and letters",
                text=text,
                shortest_fragment=SHORTEST_FRAGMENT,
                code_length=CODE_LENGTH,
            )
        )


class NoLetterLeftError(BatchCodeError):
    """A day already has as many batches as there are batch letters."""

    def __init__(self) -> None:
        super().__init__(
            say(
                "a day has at most {batch_letters} batches, and all their letters "
                "are taken; give the batch another cook day",
                batch_letters=len(BATCH_LETTERS),
            )
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchCode:
    """A batch code that was read and checks out."""

    cooked_on: date
    letter: str

    @property
    def text(self) -> str:
        """The seven characters."""
        return make_code(self.cooked_on, self.letter)

    def __str__(self) -> str:
        return self.text


class Slip(IntEnum):
    """How a text differs from a code, likeliest first."""

    LOOK_ALIKE = 0
    SWAP = 1
    WRONG_CHARACTER = 2
    MISSING_CHARACTER = 3
    EXTRA_CHARACTER = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class NearCode:
    """A code one slip away from what was typed.

    Attributes:
        code: the code that may have been meant.
        slip: what would have gone wrong.
        place: position of the slip in the code, counted from 1.
    """

    code: BatchCode
    slip: Slip
    place: int


def normalise(text: str) -> str:
    """Strip what people add and read look-alikes as what they stand for.

    Spaces, hyphens, dots and slashes go; letters become upper case; I and L
    become 1, O becomes 0. U stays, because no code holds it.

    Args:
        text: a code as typed.

    Returns:
        The text in the code's own characters as far as it can be.
    """
    kept = "".join(
        c for c in text.upper() if c not in "-./_\u2013\u2014" and not c.isspace()
    )
    return kept.translate(_READ_AS)


def check_letter(body: str) -> str:
    """Return the character that, put behind ``body``, makes it check out.

    Args:
        body: characters of ``ALPHABET``, at most 30.

    Raises:
        KeyError: a character is not of the alphabet.
    """
    return ALPHABET[_times_alpha(_walk(body))]


def checks_out(text: str) -> bool:
    """Tell whether the last character of a text is its check letter."""
    return len(text) > 1 and all(c in _VALUE for c in text) and _walk(text) == 0


def make_code(on: date, letter: str) -> str:
    """Make the code of one batch.

    Args:
        on: the cook day.
        letter: the batch letter, one of ``BATCH_LETTERS``.

    Returns:
        Seven characters.

    Raises:
        BatchCodeError: the letter cannot stand in a code, or the year is not of
            this century.
    """
    if len(letter) != 1 or letter not in BATCH_LETTERS:
        raise BatchCodeError(
            say(
                '"{letter}" is not a batch letter; take one of {batch_letters}',
                letter=letter,
                batch_letters=BATCH_LETTERS,
            )
        )
    if on.year // 100 * 100 != CENTURY:
        raise BatchCodeError(
            say(
                "a batch code holds cook days from {century} to {last}, not {on}",
                century=CENTURY,
                last=CENTURY + 99,
                on=on.isoformat(),
            )
        )
    body = f"{on.year % 100:02d}{on.timetuple().tm_yday:03d}{letter}"
    return body + check_letter(body)


def next_letter(taken: Iterable[str]) -> str:
    """Return the first batch letter a day has not used.

    Args:
        taken: letters already given on that day, in any order.

    Raises:
        NoLetterLeftError: all 22 are taken.
    """
    used = set(taken)
    for letter in BATCH_LETTERS:
        if letter not in used:
            return letter
    raise NoLetterLeftError


def read_code(text: str) -> BatchCode:
    """Read a whole code, forgivingly.

    Args:
        text: a code as typed: any case, with or without hyphens and spaces.

    Returns:
        The code; it checks out, which does not say that such a batch exists.

    Raises:
        ShortCodeError: the text is not as long as a code.
        MistypedCodeError: the check letter or the date says that a character
            is wrong.
    """
    plain = normalise(text)
    if len(plain) != CODE_LENGTH:
        raise ShortCodeError(text.strip())
    code = _code_of(plain)
    if code is None:
        raise MistypedCodeError(text.strip())
    return code


def read_fragment(text: str) -> str:
    """Read the part of a code that is still legible, to look for inside codes.

    Args:
        text: three to six characters of a code, in order and without gaps.

    Returns:
        The normalised part.

    Raises:
        ShortCodeError: fewer than three characters, more than a code has, or a
            character that no code holds.
    """
    plain = normalise(text)
    known = all(c in _VALUE for c in plain)
    if not known or not SHORTEST_FRAGMENT <= len(plain) <= CODE_LENGTH:
        raise ShortCodeError(text.strip())
    return plain


def near_texts(text: str) -> tuple[tuple[str, Slip, int], ...]:
    """List every text one slip away whose check letter fits.

    Each place allows exactly one substitution, because the field has exactly one
    solution per place; swaps of neighbours fit only by chance. A text one
    character short or long is completed or shortened instead. An unreadable
    character may be given as ``?``.

    Args:
        text: what was typed.

    Returns:
        Text, slip and place (from 1), best first: look-alikes, then swaps, then
        any other wrong character; within one kind from the left.
    """
    plain = normalise(text)
    if len(plain) == CODE_LENGTH:
        found = [*_substitutions(plain), *_swaps(plain)]
    elif len(plain) == CODE_LENGTH - 1:
        found = _insertions(plain)
    elif len(plain) == CODE_LENGTH + 1:
        found = _deletions(plain)
    else:
        return ()
    best: dict[str, tuple[Slip, int]] = {}
    for near, slip, place in sorted(found, key=lambda item: (item[1], item[2])):
        best.setdefault(near, (slip, place))
    return tuple((near, slip, place) for near, (slip, place) in best.items())


def near_codes(text: str) -> tuple[NearCode, ...]:
    """List the codes one slip away from a mistyped one, likeliest first.

    Args:
        text: what was typed.

    Returns:
        Codes with a real cook day and a batch letter; the caller keeps those
        that exist and were sold. Empty when nothing is one slip away.
    """
    read = ((_code_of(near), slip, place) for near, slip, place in near_texts(text))
    return tuple(
        NearCode(code=code, slip=slip, place=place)
        for code, slip, place in read
        if code is not None
    )


def codes_two_apart(code: BatchCode) -> tuple[BatchCode, ...]:
    """List the codes that differ from a valid one in exactly two characters.

    A code that checks out and yet is no batch was misread in at least two places;
    the caller keeps those that exist.

    Args:
        code: a code that checks out.
    """
    text = code.text
    found = []
    for first, second in combinations(range(CODE_LENGTH), 2):
        for character in ALPHABET:
            if character == text[first]:
                continue
            changed = text[:first] + character + text[first + 1 :]
            near = _mended(changed, second)
            read = _code_of(near)
            if read is not None and near[second] != text[second]:
                found.append(read)
    return tuple(found)


def _mended(text: str, at: int) -> str:
    """The one text that checks out and differs from another only in one place."""
    every = (text[:at] + right + text[at + 1 :] for right in ALPHABET)
    return next(near for near in every if checks_out(near))


def _times_alpha(value: int) -> int:
    doubled = value << 1
    return doubled ^ _FIELD_POLYNOMIAL if doubled & 0b100000 else doubled


def _walk(text: str) -> int:
    state = 0
    for character in text:
        state = _times_alpha(state) ^ _VALUE[character]
    return state


def _code_of(plain: str) -> BatchCode | None:
    year, day, letter = plain[:2], plain[2:5], plain[5]
    if not checks_out(plain) or letter not in BATCH_LETTERS:
        return None
    if not (year + day).isdecimal() or int(day) == 0:
        return None
    cooked_on = date(CENTURY + int(year), 1, 1) + timedelta(days=int(day) - 1)
    if cooked_on.year != CENTURY + int(year):
        return None
    return BatchCode(cooked_on=cooked_on, letter=letter)


def _substitutions(plain: str) -> list[tuple[str, Slip, int]]:
    found = []
    for at, wrong in enumerate(plain):
        for right in ALPHABET:
            near = plain[:at] + right + plain[at + 1 :]
            if right != wrong and checks_out(near):
                alike = frozenset((right, wrong)) in _LOOK_ALIKES
                slip = Slip.LOOK_ALIKE if alike else Slip.WRONG_CHARACTER
                found.append((near, slip, at + 1))
    return found


def _swaps(plain: str) -> list[tuple[str, Slip, int]]:
    found = []
    for at in range(len(plain) - 1):
        near = plain[:at] + plain[at + 1] + plain[at] + plain[at + 2 :]
        if near != plain and checks_out(near):
            found.append((near, Slip.SWAP, at + 1))
    return found


def _insertions(plain: str) -> list[tuple[str, Slip, int]]:
    found = []
    for at in range(len(plain) + 1):
        for character in ALPHABET:
            near = plain[:at] + character + plain[at:]
            if checks_out(near):
                found.append((near, Slip.MISSING_CHARACTER, at + 1))
    return found


def _deletions(plain: str) -> list[tuple[str, Slip, int]]:
    found = []
    for at in range(len(plain)):
        near = plain[:at] + plain[at + 1 :]
        if checks_out(near):
            found.append((near, Slip.EXTRA_CHARACTER, at + 1))
    return found
