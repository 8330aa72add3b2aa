"""Which names a product may carry, and what is missing for the one wanted.

A name is earned by parts of fruit, soluble solids and a list of what may go in. The
answer is a reading of the standards for the maker's own check, not advice: where a
figure was not read in the law itself, or none exists, the answer is to ask.
"""

import tomllib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any

from inventory.words import to_say
from production.science.balance import Balance, Role
from production.science.batch_lines import BatchLine
from production.science.kinds import ProductKind
from production.science.span import Span, total

__all__ = [
    "Fruit",
    "FruitPart",
    "IdentityInput",
    "NameAnswer",
    "NameVerdict",
    "fruit_label",
    "fruits",
    "identity_input",
    "minimum",
]

TABLE = Path(__file__).with_name("identity.toml")
FLAVOURS = {
    "extract": to_say("flavouring or colour"),
    "spirit": to_say("spirits"),
    "wine": to_say("wine"),
    "beer": to_say("beer"),
    "herb": to_say("herbs as a flavour"),
    "flower petal": to_say("flowers"),
    "infusion": to_say("an infusion"),
    "salt": to_say("salt"),
    "butter": to_say("butter or fat against foam"),
    "gelatin": to_say("gelatin"),
    "starch": to_say("starch"),
    "intense sweetener": to_say("a sweetener that is not a sugar"),
    "coconut": to_say("coconut"),
    "candied ginger": to_say("candied ginger"),
    "candied peel": to_say("candied peel"),
    "compound sauce": to_say("a sauce"),
    "baking soda": to_say("baking soda"),
}
"""Materials that no plain standard lists, in words."""


SOURING = frozenset({"Lemon", "Lime"})
SEASONING = frozenset({"Ginger"})
SEASONING_SHARE = Decimal("0.05")
"""Below this share of the fruit a root is a seasoning, not a fruit (convention)."""
CITRUS = frozenset(
    {"Orange", "Bitter Orange", "Grapefruit", "Tangerine", "Kumquat", "Lemon", "Lime"}
)


class NameVerdict(StrEnum):
    """Whether a name is earned."""

    EARNED = to_say("earned")
    MEASURE = to_say("measure to know")
    NOT_EARNED = to_say("not earned")
    ASK = to_say("ask the authority")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fruit:
    """A fruit as the standards know it."""

    label: str
    group: str | None = None
    jelly_factor: Decimal | None = None
    butter_factor: Decimal | None = None
    eu: str = "general"
    codex: str = "general"


@dataclass(frozen=True, slots=True, kw_only=True)
class FruitPart:
    """One fruit of a product.

    Attributes:
        fruit: the fruit.
        grams: edible grams used.
        solids_g: soluble solids that they bring, g.
        is_juice: used as juice.
        is_dried: used dried.
        is_citrus: of the citrus family.
        is_peel: peel alone.
    """

    fruit: Fruit
    grams: Decimal
    solids_g: Span
    is_juice: bool = False
    is_dried: bool = False
    is_citrus: bool = False
    is_peel: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class IdentityInput:
    """What the standards ask about a product.

    Attributes:
        kind: kind of product.
        parts: its fruits, largest first, each fruit once.
        sweetener_g: solids of all sweeteners, g.
        finished_g: finished product, g.
        solids: soluble solids of the product, fraction.
        pectin_added: commercial pectin is in it.
        others: what no plain standard lists, in words.
        unknown: materials whose place in the standards is not known.
        measured_solids: the solids were read by refractometer.
    """

    kind: ProductKind
    parts: tuple[FruitPart, ...]
    sweetener_g: Decimal
    finished_g: Span
    solids: Span
    pectin_added: bool = False
    others: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    measured_solids: bool = False

    @property
    def fruit_g(self) -> Decimal:
        """All fruit, g."""
        return sum((part.grams for part in self.parts), Decimal(0))

    @property
    def fruit_share(self) -> Span:
        """Fruit used per gram of product."""
        grams = self.fruit_g
        return Span(
            low=grams / self.finished_g.high,
            likely=grams / self.finished_g.likely,
            high=grams / self.finished_g.low,
        )

    def shares(self) -> tuple[tuple[Fruit, Decimal], ...]:
        """Each fruit, in whatever form, with its share of all fruit."""
        weight = self.fruit_g or Decimal(1)
        grams: dict[str, Decimal] = {}
        for part in self.parts:
            label = part.fruit.label
            grams[label] = grams.get(label, Decimal(0)) + part.grams
        known = {part.fruit.label: part.fruit for part in reversed(self.parts)}
        return tuple((known[label], each / weight) for label, each in grams.items())


@dataclass(frozen=True, slots=True, kw_only=True)
class NameAnswer:
    """Whether the product may carry one name in one place.

    Attributes:
        place: whose standard.
        name: the name.
        verdict: earned, to be measured, not earned, or ask.
        reasons: what was found, one phrase each.
        missing: what would earn it, one phrase each; empty where it is earned.
        citation: the rule.
        is_likely: by the estimates it is earned; a reading may still be asked for.
    """

    place: str
    name: str
    verdict: NameVerdict
    reasons: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    citation: str = ""
    is_likely: bool = False


@cache
def _document() -> dict[str, Any]:
    return tomllib.loads(TABLE.read_text(encoding="utf-8"), parse_float=Decimal)


@cache
def fruits() -> Mapping[str, Fruit]:
    """Fruits of the standards by their name in the material table."""
    return {
        row["material"]: Fruit(
            label=row["label"],
            group=row.get("group"),
            jelly_factor=row.get("jelly_factor"),
            butter_factor=row.get("butter_factor"),
            eu=row.get("eu", "general"),
            codex=row.get("codex", "general"),
        )
        for row in _document()["fruit"]
    }


def minimum(
    table: str, product: IdentityInput, *, column: int, of: Callable[[Fruit], str]
) -> Decimal:
    """Minimum fruit content of a mixture: each fruit's own, by its share.

    Args:
        table: "eu_from_2026", "eu_until_2026" or "codex_percent".
        product: the product.
        column: 0 for jam (or set a), 1 for extra jam (or set b).
        of: which class of the table a fruit belongs to.

    Returns:
        The minimum in the table's own unit, unrounded.
    """
    rows = _document()[table]
    return sum(
        (Decimal(rows[of(fruit)][column]) * share for fruit, share in product.shares()),
        Decimal(0),
    )


def fruit_label(parts: Iterable[FruitPart]) -> str:
    """The fruits by name, in order of weight ("Peach Raspberry")."""
    return " ".join(dict.fromkeys(part.fruit.label for part in parts))


def identity_input(
    kind: ProductKind, lines: Iterable[BatchLine], balance: Balance
) -> IdentityInput:
    """What the standards ask, from the lines of a batch and their balance.

    Lemon and lime count as acid, not as fruit, unless the product is a marmalade or
    nothing else is in it.
    """
    lines = tuple(lines)
    parts = _parts(kind, lines)
    return IdentityInput(
        kind=kind,
        parts=parts,
        sweetener_g=balance.sweetener_solids_g,
        finished_g=balance.finished_g,
        solids=balance.finished_solids,
        pectin_added=any(line.pot.role is Role.PECTIN for line in lines),
        others=tuple(
            dict.fromkeys(word for line in lines if (word := _other(kind, line)))
        ),
        unknown=tuple(line.pot.name for line in lines if line.material is None),
    )


def _parts(kind: ProductKind, lines: tuple[BatchLine, ...]) -> tuple[FruitPart, ...]:
    """The fruits, each form of one apart, largest first."""
    found = [part for line in lines if (part := _part(line))]
    if kind is not ProductKind.MARMALADE:
        found = [part for part in found if not part.is_peel]
        found = [part for part in found if part.fruit.label not in SOURING] or found
    weight = sum((part.grams for part in found), Decimal(0))
    merged: dict[tuple[str, bool, bool, bool], FruitPart] = {}
    for part in found:
        if part.fruit.label in SEASONING and part.grams < SEASONING_SHARE * weight:
            continue
        key = (part.fruit.label, part.is_juice, part.is_dried, part.is_peel)
        merged[key] = _add(merged[key], part) if key in merged else part
    return tuple(sorted(merged.values(), key=lambda part: part.grams, reverse=True))


def _add(one: FruitPart, other: FruitPart) -> FruitPart:
    return replace(
        one,
        grams=one.grams + other.grams,
        solids_g=total((one.solids_g, other.solids_g)),
    )


def _part(line: BatchLine) -> FruitPart | None:
    """The line as a fruit of the standards; None where it is none."""
    material = line.material
    if material is None or line.pot.role not in {Role.FRUIT, Role.VEGETABLE}:
        return None
    name = material.name.split()[0] if line.is_peel else material.name
    fruit = fruits().get(name)
    if fruit is None:
        if line.pot.role is Role.VEGETABLE:
            return None
        fruit = Fruit(label=material.name.removeprefix("dried ").title())
    return FruitPart(
        fruit=fruit,
        grams=line.grams,
        solids_g=line.pot.soluble_g,
        is_juice=line.is_juice,
        is_dried=material.family == "dried",
        is_citrus=fruit.label in CITRUS,
        is_peel=line.is_peel,
    )


def _other(kind: ProductKind, line: BatchLine) -> str | None:
    """What this line is in words, where no plain standard lists it."""
    material = line.material
    if material is None:
        return None
    if material.family == "nut":
        return to_say("nuts")
    if line.pot.role is Role.VEGETABLE and material.name not in fruits():
        return material.name
    if kind is ProductKind.BUTTER and material.name == "salt":
        return None
    return FLAVOURS.get(material.name)
