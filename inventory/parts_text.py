"""The parts of a compound ingredient as text, the way a supplier's label nests them.

One part a line, in the label's order; two spaces deeper for a part of a part; a share
in per cent and allergens in square brackets where they are known::

    soy sauce 15% [soy, wheat]
      water
      wheat [wheat]
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal, InvalidOperation
from typing import Any, NotRequired, TypedDict

from inventory.words import say

__all__ = [
    "ALLERGENS",
    "Mark",
    "Part",
    "PartsTextError",
    "read_mark",
    "read_parts",
    "write_mark",
    "write_parts",
]

ALLERGENS = (
    *("milk", "egg", "fish", "crustacean", "mollusc", "tree_nut", "peanut"),
    *("wheat", "barley", "rye", "oats", "soy", "sesame", "sulphites"),
    *("celery", "mustard", "lupin"),
)
NAMED_BY_SPECIES = frozenset({"fish", "crustacean", "tree_nut"})
STEP = "  "
_LINE = re.compile(
    r"(?P<name>[^\[\]%]+?)"
    r"(?:\s+(?P<share>\d+(?:[.,]\d+)?)\s*%)?"
    r"(?:\s*\[(?P<marks>[^\[\]]*)\])?"
)


class Mark(TypedDict):
    """One allergen, with the species where the law wants it named."""

    kind: str
    species: NotRequired[str]


class Part(TypedDict):
    """One part of a compound ingredient; the share is a decimal of one, or unknown."""

    name: str
    share: str | None
    allergens: list[Mark]
    parts: "list[Part]"


class PartsTextError(ValueError):
    """A line that is not a part; the sentence says how to write it."""

    def __init__(self, line: str, why: str) -> None:
        self.line = line
        super().__init__(f'"{line.strip()}" {why}')


def read_mark(text: str) -> Mark:
    """Read one allergen: "milk", "tree_nut almond", "fish anchovy".

    Raises:
        PartsTextError: no such allergen, or its species is not named.
    """
    kind, _, species = text.strip().partition(" ")
    kind = kind.casefold().replace("-", "_")
    if kind not in ALLERGENS:
        raise PartsTextError(
            text,
            say(
                "is no allergen; use one of: {allergens}",
                allergens=", ".join(ALLERGENS),
            ),
        )
    if kind in NAMED_BY_SPECIES and not species.strip():
        example = {"fish": "anchovy", "crustacean": "shrimp"}.get(kind, "almond")
        raise PartsTextError(
            text,
            say(
                "needs its species; write it like {kind} {example}",
                kind=kind,
                example=example,
            ),
        )
    if species.strip():
        return {"kind": kind, "species": species.strip()}
    return {"kind": kind}


def write_mark(mark: Mark) -> str:
    """Write one allergen as ``read_mark`` reads it."""
    return f"{mark['kind']} {mark.get('species', '')}".strip()


def read_parts(text: str) -> list[Part]:
    """Read nested parts from indented lines.

    Raises:
        PartsTextError: a line that is no part, or is indented too far.
    """
    top: list[Part] = []
    levels = [top]
    for line in text.expandtabs(len(STEP)).splitlines():
        if not line.strip():
            continue
        depth = (len(line) - len(line.lstrip(" "))) // len(STEP)
        if depth >= len(levels):
            raise PartsTextError(
                line, say("is indented too far; two spaces for each level")
            )
        part = _read_part(line)
        levels[depth].append(part)
        levels = [*levels[: depth + 1], part["parts"]]
    return top


def write_parts(parts: Iterable[dict[str, Any] | Part]) -> str:
    """Write nested parts as ``read_parts`` reads them."""
    return "\n".join(_lines(parts, ""))


def _read_part(line: str) -> Part:
    match = _LINE.fullmatch(line.strip())
    if match is None:
        raise PartsTextError(
            line, say("is no part; write it like soy sauce 15% [soy, wheat]")
        )
    marks = [mark for mark in (match["marks"] or "").split(",") if mark.strip()]
    return {
        "name": match["name"].strip(),
        "share": _read_share(line, match["share"]),
        "allergens": [read_mark(mark) for mark in marks],
        "parts": [],
    }


def _read_share(line: str, per_cent: str | None) -> str | None:
    if per_cent is None:
        return None
    share = Decimal(per_cent.replace(",", ".")) / 100
    if not 0 < share <= 1:
        raise PartsTextError(line, say("has a share that is not between 0 and 100 %"))
    return f"{share.normalize():f}"


def _lines(parts: Iterable[dict[str, Any] | Part], indent: str) -> Iterator[str]:
    for part in parts:
        words = [str(part["name"])]
        if share := _share(part.get("share")):
            words.append(share)
        marks: Sequence[Mark] = part.get("allergens") or []
        if marks:
            words.append(f"[{', '.join(map(write_mark, marks))}]")
        yield indent + " ".join(words)
        yield from _lines(part.get("parts") or [], indent + STEP)


def _share(share: object) -> str:
    if share is None:
        return ""
    try:
        return f"{(Decimal(str(share)) * 100).normalize():f}%"
    except InvalidOperation:
        return ""
