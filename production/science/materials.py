"""The built-in table of materials, and finding one by the name a cook writes.

The table stands in where the seller's own book has no figure: grams in a cup by
form, weight of one piece, edible share, soluble solids with their range, acidity.
"""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from inventory.words import say
from production.science.balance import Role
from production.science.forms import Form, words
from production.science.span import Span
from production.science.working import ScienceError

__all__ = ["Acidity", "Material", "MaterialError", "find", "table"]

TABLE = Path(__file__).with_name("materials.toml")
FROM_THE_FORM = frozenset(
    [
        "juice",
        "peel",
        "rind",
        "zest",
        "dried",
        "liquid",
        "powdered",
        "candied",
        "crystallized",
        "crystallised",
        "brown",
        "frozen",
        "concentrate",
        "bottled",
        "sweet",
        "sour",
        "tart",
        "hot",
        "green",
        "bell",
        "chile",
        "stick",
        "seed",
        "whole",
        "puree",
        "sauce",
        "asian",
    ]
)
"""Words of the form that may belong to the name ("ginger", "crystallized")."""
FULL_CUP_FORMS = (Form.CRUSHED, Form.PUREED, Form.PULP, Form.FINE, Form.COOKED)


class Acidity(StrEnum):
    """How a material stands to pH 4.6."""

    ACID = "acid"
    BORDER = "border"
    LOW = "low"
    UNKNOWN = ""


class MaterialError(ScienceError):
    """A row of the built-in table that is not one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """One material as far as measuring and balancing go.

    Attributes:
        name: its common name.
        aliases: other names that cooks write.
        role: what it does in the pot.
        family: which default cup weights stand in for a missing form.
        edible: used share of the bought weight.
        peeled: the same when it is peeled, if that differs.
        whole_use: the same when the peel is used too (citrus).
        solids: soluble solids, fraction; None where not known.
        juice_solids: of the juice as extracted for jelly, if that differs.
        insoluble: share that never dissolves.
        cup_g: grams in a US cup by form.
        each_g: edible grams of one piece by size.
        pack_g: grams in a retail unit of that name.
        ph: usual lowest and highest pH, if known.
        acidity: how it stands to pH 4.6.
    """

    name: str
    aliases: tuple[str, ...] = ()
    role: Role = Role.OTHER
    family: str = ""
    edible: Decimal = Decimal(1)
    peeled: Decimal | None = None
    whole_use: Decimal | None = None
    solids: Span | None = None
    juice_solids: Span | None = None
    insoluble: Decimal = Decimal(0)
    cup_g: Mapping[str, Decimal] = field(default_factory=dict)
    each_g: Mapping[str, Decimal] = field(default_factory=dict)
    pack_g: Mapping[str, Decimal] = field(default_factory=dict)
    ph: tuple[Decimal, Decimal] | None = None
    acidity: Acidity = Acidity.UNKNOWN

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise MaterialError(say("a material needs a name"))
        if not 0 < self.edible <= 1:
            raise MaterialError(
                say(
                    "the edible share of {name} is {edible}; enter more than 0, at "
                    "most 1",
                    name=self.name,
                    edible=self.edible,
                )
            )

    @property
    def is_juice(self) -> bool:
        """Bought or poured as juice."""
        return self.family == "juice"

    def grams_per_cup(self, form: Form | None) -> Decimal | None:
        """Grams in a US cup, by its own figure or its family's; None if unknown."""
        own, family = self.cup_g, _family_cups(self.family)
        for name in _form_chain(form):
            if name in own:
                return own[name]
            if name in family:
                return family[name]
        return next(iter(own.values()), None)

    def has_own_cup(self, form: Form | None) -> bool:
        """Whether the cup weight is this material's own, not its family's."""
        return (form or Form.WHOLE).value in self.cup_g


def _form_chain(form: Form | None) -> tuple[str, ...]:
    """The form, then what measures most like it."""
    if form is None:
        return (Form.WHOLE.value,)
    if form in FULL_CUP_FORMS:
        return (form.value, *(other.value for other in FULL_CUP_FORMS))
    if form in {Form.CHOPPED, Form.DICED}:
        return (form.value, Form.CHOPPED.value, Form.DICED.value, Form.SLICED.value)
    return (form.value, Form.WHOLE.value)


@cache
def _document() -> dict[str, Any]:
    return tomllib.loads(TABLE.read_text(encoding="utf-8"), parse_float=Decimal)


def _family_cups(family: str) -> Mapping[str, Decimal]:
    found: Mapping[str, Decimal] = _document()["form_cup_g"].get(family, {})
    return found


def _span(values: list[Decimal] | None) -> Span | None:
    if values is None:
        return None
    low, likely, high = values
    return Span(low=low, likely=likely, high=high)


@cache
def table() -> tuple[Material, ...]:
    """All built-in materials, in the order of the table."""
    return tuple(_material(row) for row in _document()["material"])


def _material(row: dict[str, Any]) -> Material:
    ph = row.get("ph")
    return Material(
        name=row["name"],
        aliases=tuple(row.get("aliases", ())),
        role=Role(row["role"]),
        family=row.get("family", ""),
        edible=row["edible"],
        peeled=row.get("peeled"),
        whole_use=row.get("whole_use"),
        solids=_span(row["solids"]),
        juice_solids=_span(row.get("juice_solids")),
        insoluble=row["insoluble"],
        cup_g=row.get("cup_g", {}),
        each_g=row.get("each_g", {}),
        pack_g=row.get("pack_g", {}),
        ph=(ph[0], ph[1]) if ph else None,
        acidity=Acidity(row.get("acidity", "")),
    )


def _tokens(text: str) -> list[str]:
    return [_singular(word) for word in re.findall(r"[a-z]+", words(text))]


def _singular(word: str) -> str:
    if word in {"leaves", "halves"}:
        return word[:-3] + "f"
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    if word.endswith(("oes", "ches", "shes", "xes")):
        return word[:-2]
    if word.endswith("s") and not word.endswith("ss"):
        return word[:-1]
    return word


@cache
def _index() -> tuple[tuple[tuple[str, ...], Material], ...]:
    return tuple(
        (tuple(_tokens(name)), material)
        for material in table()
        for name in (material.name, *material.aliases)
    )


@lru_cache(maxsize=2048)
def find(name: str, form: str = "") -> Material | None:
    """The material that a cook's words name.

    The longest known name among the words wins; of two equally long ones, the one
    whose words stand together, then the one that stands last ("cider vinegar").

    Args:
        name: "strawberries, crushed", "bottled lemon juice", "juice of lemons".
        form: the words of the form, which may complete the name.

    Returns:
        The built-in material, or None when no known name is among the words.
    """
    own = _tokens(name)
    allowed = set(own) | (set(_tokens(form)) & FROM_THE_FORM)
    best: tuple[tuple[int, bool, int], Material] | None = None
    for alias, material in _index():
        if not (set(alias) <= allowed and set(alias) & set(own)):
            continue
        last = max(own.index(token) for token in alias if token in own)
        rank = (len(alias), _stands_together(alias, own), last)
        if best is None or rank > best[0]:
            best = (rank, material)
    return best[1] if best else None


def _stands_together(alias: tuple[str, ...], own: list[str]) -> bool:
    size = len(alias)
    return any(tuple(own[i : i + size]) == alias for i in range(len(own) - size + 1))
