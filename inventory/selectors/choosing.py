"""What somebody may mean who types a part of a name: rows to choose from, best first.

A `Shelf` is the rows of one kind a form lets somebody choose among. It finds the few
that answer what was typed, reads back the one whose own words were typed, and says
what tells one row from its neighbours. Names are folded here rather than in the
database, which has no fold that both engines share: a maker has hundreds of materials
and products, not millions. What grows without end, lots and batches, is found by
indexed codes (`begins`).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Generic, TypeVar

from django.db import connection, models
from django.db.models import Q, QuerySet, Sum

from inventory.folding import best_fits, fold
from inventory.models import Material, Movement, Product
from inventory.quantities import format_amount
from inventory.words import say, say_count

__all__ = ["Answer", "Choice", "Materials", "Products", "Shelf", "begins", "by_key"]

MOST = 20
LISTED = 100
LAST_SIGN = "\U0010ffff"

Row = TypeVar("Row", bound=models.Model)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One row as it is offered.

    Attributes:
        value: the words that stand in the field when it is chosen.
        detail: what tells it from its neighbours.
    """

    value: str
    detail: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What answers a text, and the sentence that says how many."""

    choices: Sequence[Choice]
    is_all: bool

    @property
    def sentence(self) -> str:
        """How many match, for who cannot see the list."""
        number = len(self.choices)
        if not number:
            return say("Nothing matches; take a letter away.")
        if not self.is_all:
            return say("The first {number} of more; type on to narrow.", number=number)
        return say_count("{count} match.", "{count} matches.", number)


class Shelf(Generic[Row]):
    """Rows of one kind that have a name; kinds found otherwise override `find`."""

    listed = LISTED

    def __init__(self, rows: QuerySet[Row]) -> None:
        self._rows = rows

    @property
    def rows(self) -> Any:
        """The rows, asked afresh."""
        return self._rows.all()

    def names(self) -> Iterable[tuple[int, str]]:
        """Key and name of every row; a row may have several names."""
        return self.rows.values_list("pk", "name")  # type: ignore[no-any-return]

    def text(self, row: Row) -> str:
        """The words that stand for a row in a field."""
        return str(row)

    def details(self, rows: Sequence[Row]) -> dict[int, str]:
        """What tells each row from its neighbours, by key."""
        return {}

    def find(self, typed: str, *, most: int = MOST) -> list[Row]:
        """Rows that answer what was typed, the best first; nothing typed: the first."""
        if not typed.strip():
            return list(self.rows[:most])
        return by_key(self.rows, best_fits(typed, self.names(), most=most))

    def guesses(self, typed: str) -> list[Row]:
        """Rows that may be meant though they do not answer; never taken unasked."""
        return []

    def named(self, typed: str) -> list[Row]:
        """Rows whose own words were typed."""
        wanted = fold(typed)
        return by_key(
            self.rows,
            list({key: None for key, name in self.names() if fold(name) == wanted}),
        )

    def answer(self, typed: str) -> Answer:
        """At most `MOST` choices, with what tells them apart."""
        found = self.find(typed, most=MOST + 1)
        if not found:
            found = self.guesses(typed)[:MOST]
        shown = found[:MOST]
        return Answer(choices=self.choices(shown), is_all=len(found) == len(shown))

    def choices(self, rows: Sequence[Row]) -> list[Choice]:
        """Rows as they are offered."""
        details = self.details(rows)
        return [
            Choice(value=self.text(row), detail=details.get(row.pk, "")) for row in rows
        ]


class Materials(Shelf[Material]):
    """Materials, by their name or the name on the label."""

    def names(self) -> Iterable[tuple[int, str]]:
        """Key and every name it is known by."""
        for key, name, label in self.rows.values_list("pk", "name", "label_name"):
            yield key, name
            if label:
                yield key, label

    def details(self, rows: Sequence[Material]) -> dict[int, str]:
        """What is left, and what tells it apart."""
        here = _at_home("lot__material", rows)
        return {
            row.pk: say(
                "{kind}, {amount} at home",
                kind=row.get_kind_display(),
                amount=format_amount(here.get(row.pk, Decimal(0)), row.unit),
            )
            for row in rows
        }


class Products(Shelf[Product]):
    """Products, by name and jar, or by the code in addresses."""

    def __init__(self, rows: QuerySet[Product]) -> None:
        super().__init__(rows.select_related("jar_size"))

    def names(self) -> Iterable[tuple[int, str]]:
        """Key and every name it is known by."""
        values = self.rows.values_list("pk", "name", "jar_size__name", "code")
        for key, name, jar, code in values:
            yield key, f"{name}, {jar}"
            yield key, code

    def details(self, rows: Sequence[Product]) -> dict[int, str]:
        """What is left, and what tells it apart."""
        here = _at_home("lot__product", rows)
        return {
            row.pk: say(
                "{amount} at home",
                amount=format_amount(here.get(row.pk, Decimal(0)), "jars"),
            )
            for row in rows
        }


def begins(field: str, text: str) -> Q:
    """Rows whose field begins with a text, found along the field's index.

    SQLite never takes an index for LIKE on such a column; a range it does.
    """
    if connection.vendor == "sqlite":
        return Q(**{f"{field}__gte": text, f"{field}__lt": text + LAST_SIGN})
    return Q(**{f"{field}__startswith": text})


def by_key(rows: QuerySet[Row], keys: Sequence[int]) -> list[Row]:
    """Rows in the order of their keys."""
    found = {row.pk: row for row in rows.filter(pk__in=keys)} if keys else {}
    return [found[key] for key in keys if key in found]


def _at_home(what: str, rows: Sequence[models.Model]) -> dict[int, Decimal]:
    sums = (
        Movement.objects.filter(**{f"{what}__in": rows}, place=None)
        .order_by()
        .values_list(what)
        .annotate(Sum("quantity"))
    )
    return dict(sums)
