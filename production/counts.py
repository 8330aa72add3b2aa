"""Reads counts pasted from a note: "strawberry jam 3", one product a line.

Pure: text in, numbers out.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from inventory.words import say

__all__ = ["CountError", "CountLine", "read_counts"]

LINE = re.compile(r"^\s*(?:[-*•]\s*)?(?P<name>.*?)[\s:;,=x×\t]*\b(?P<jars>\d{1,4})\s*(?:jars?)?\s*$", re.IGNORECASE)  # fmt: skip
LEADING = re.compile(r"^\s*(?:[-*•]\s*)?(?P<jars>\d{1,4})\s*(?:x|×|jars?(?: of)?)?\s+(?P<name>\D.*?)\s*$", re.IGNORECASE)  # fmt: skip


class CountError(ValueError):
    """A pasted line that cannot be read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CountLine:
    """One line: whose jars, and how many.

    Attributes:
        key: what the caller knows the product by.
        jars: brought back.
    """

    key: str
    jars: int


def read_counts(text: str, *, names: Mapping[str, Sequence[str]]) -> list[CountLine]:
    """Read pasted counts.

    Args:
        text: one product a line; empty lines are passed over.
        names: what each key may be called, the key itself included.

    Returns:
        One entry a line, in order.

    Raises:
        CountError: a line without a number, an unknown or doubtful name, or a
            product counted twice; the sentence names the line.
    """
    known: dict[str, set[str]] = {}
    for key, called in names.items():
        for name in called:
            known.setdefault(_loose(name), set()).add(key)
    lines: list[CountLine] = []
    for number, raw in enumerate(text.splitlines(), 1):
        if not raw.strip():
            continue
        match = LEADING.match(raw) or LINE.match(raw)
        if match is None:
            raise CountError(
                say(
                    'line {number}, "{raw}", has no number of jars; write it like '
                    "strawberry jam 3",
                    number=number,
                    raw=raw.strip(),
                )
            )
        key = _find(known, match["name"], number)
        if any(line.key == key for line in lines):
            raise CountError(
                say(
                    'line {number}: "{name}" was counted already; add the jars up',
                    number=number,
                    name=match["name"],
                )
            )
        lines.append(CountLine(key=key, jars=int(match["jars"])))
    return lines


def _find(known: Mapping[str, set[str]], name: str, number: int) -> str:
    wanted = _loose(name)
    found = known.get(wanted) or {
        key
        for called, keys in known.items()
        if wanted and wanted in called
        for key in keys
    }
    if len(found) == 1:
        return next(iter(found))
    if not found:
        raise CountError(
            say(
                'line {number}: "{name}" was not taken to this market; use its '
                "name or code",
                number=number,
                name=name,
            )
        )
    raise CountError(
        say(
            'line {number}: "{name}" may be {found}; write the code',
            number=number,
            name=name,
            found=" or ".join(sorted(found)),
        )
    )


def _loose(name: str) -> str:
    return re.sub(r"[^a-z0-9à-ÿ]+", " ", name.casefold()).strip()
