"""Lots, batches and recipes to choose from while somebody types.

Lots and batches grow without end, so they are found along the index of their codes,
read as forgivingly as a sticky lid needs (`production.batch_codes`), by the mark on a
supplier's crate, or through the few materials and products whose names answer.
"""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import TypeVar

from django.db import models
from django.db.models import Q, QuerySet, Sum
from django.db.models.functions import Upper

from inventory.folding import best_fits
from inventory.models import Lot, Material, Movement, Product
from inventory.quantities import format_amount
from inventory.selectors.choosing import (
    MOST,
    Materials,
    Products,
    Shelf,
    begins,
    by_key,
)
from inventory.words import say
from production.batch_codes import near_codes, normalise
from production.models import Batch, Recipe

__all__ = ["Batches", "KnownLots", "Lots", "Recipes", "code_readings"]

LOOK_ALIKE = str.maketrans({"I": "1", "L": "1", "O": "0"})
NAMES_LOOKED_THROUGH = 12

Row = TypeVar("Row", bound=models.Model)


def code_readings(typed: str) -> tuple[str, ...]:
    """What a code typed or read aloud may begin with, as the book writes codes.

    Args:
        typed: any case, with spaces for hyphens or hyphens too many, I and L for 1.

    Returns:
        The readings, each once; empty when nothing was typed.
    """
    upper = " ".join(typed.upper().split())
    alike = upper.translate(LOOK_ALIKE)
    ways = (
        upper,
        alike,
        alike.replace(" ", ""),
        alike.replace(" ", "-"),
        normalise(upper),
    )
    return tuple(dict.fromkeys(way for way in ways if way))


class Lots(Shelf[Lot]):
    """Lots by code, by the supplier's mark, or by what they are of."""

    listed = MOST

    def __init__(self, rows: QuerySet[Lot]) -> None:
        super().__init__(rows.select_related("material", "product__jar_size"))

    def find(self, typed: str, *, most: int = MOST) -> list[Lot]:
        """Rows that answer, by code first, then by name."""
        if not typed.strip():
            return list(self.rows[:most])
        coded = self.rows.filter(_by_code(typed)).order_by("code")
        ways = (coded, self._marked(typed), self._of(typed))
        return _first_of(self.rows, ways, most)

    def _marked(self, typed: str) -> QuerySet[Lot]:
        marked: QuerySet[Lot] = self.rows.alias(mark=Upper("supplier_mark")).filter(
            mark=typed.strip().upper()
        )
        return marked

    def _of(self, typed: str) -> QuerySet[Lot]:
        materials, products = (
            Materials(Material.objects.all()),
            Products(Product.objects.all()),
        )
        most = NAMES_LOOKED_THROUGH
        of_these = Q(material__in=best_fits(typed, materials.names(), most=most)) | Q(
            product__in=best_fits(typed, products.names(), most=most)
        )
        lots: QuerySet[Lot] = self.rows.filter(of_these)
        return lots

    def named(self, typed: str) -> list[Lot]:
        """The lot whose code is typed, alone or with what it is of behind it."""
        words = typed.upper().split()
        codes = [" ".join(words[:end]) for end in range(len(words), 0, -1)]
        found = {lot.code.upper(): lot for lot in self.rows.filter(code__in=codes)}
        for code in codes:
            lot = found.get(code)
            if lot is not None and typed.upper().strip() in {code, str(lot).upper()}:
                return [lot]
        return []

    def details(self, rows: Sequence[Lot]) -> dict[int, str]:
        """What is left, and what tells it apart."""
        here = _left("lot", [row.pk for row in rows])
        return {row.pk: _lot_words(row, here.get(row.pk, Decimal(0))) for row in rows}


class KnownLots(Lots):
    """Lots that were read already, with what is left of them, offered unasked."""

    def __init__(self, rows: QuerySet[Lot], known: Mapping[Lot, Decimal]) -> None:
        super().__init__(rows)
        self.known = known

    def find(self, typed: str, *, most: int = MOST) -> list[Lot]:
        """Nothing typed: the first of those known; else the book is asked."""
        if not typed.strip():
            return list(self.known)[:most]
        return super().find(typed, most=most)

    def details(self, rows: Sequence[Lot]) -> dict[int, str]:
        """What is left, and what tells it apart."""
        if any(row not in self.known for row in rows):
            return super().details(rows)
        return {row.pk: _lot_words(row, self.known[row]) for row in rows}


def _by_code(typed: str) -> Q:
    wanted = Q(pk__in=[])
    for reading in code_readings(typed):
        wanted |= begins("code", reading)
    return wanted


def _first_of(
    rows: QuerySet[Row], ways: Iterable[QuerySet[Row]], most: int
) -> list[Row]:
    """The first rows found, way by way; keys first, so that no long list is sorted."""
    keys: list[int] = []
    for way in ways:
        if len(keys) < most:
            found = way.values_list("pk", flat=True)[:most]
            keys += [key for key in found if key not in keys]
    return by_key(rows, keys[:most])


def _left(what: str, keys: Iterable[int]) -> dict[int, Decimal]:
    sums = (
        Movement.objects.filter(**{f"{what}__in": keys}, place=None)
        .order_by()
        .values_list(what)
        .annotate(Sum("quantity"))
    )
    return dict(sums)


def _lot_words(lot: Lot, left: Decimal) -> str:
    told = [say("{amount} left", amount=format_amount(left, lot.unit))]
    if lot.best_by:
        told.append(say("best by {day:%d %b %Y}", day=lot.best_by))
    if lot.is_frozen:
        told.append(say("frozen"))
    if lot.stopped_at:
        told.append(say("stopped"))
    return ", ".join(told)


class Batches(Shelf[Batch]):
    """Batches that have a code, by the code or by what was cooked."""

    listed = MOST

    def __init__(self, rows: QuerySet[Batch]) -> None:
        begun = rows.filter(code__isnull=False).order_by("-made_on", "-pk")
        super().__init__(begun.select_related("product__jar_size", "version__recipe"))

    def find(self, typed: str, *, most: int = MOST) -> list[Batch]:
        """Rows that answer, by code first, then by name."""
        if not typed.strip():
            return list(self.rows[:most])
        coded = self.rows.filter(_by_code(typed)).order_by("-code")
        return _first_of(self.rows, (coded, self._of(typed)), most)

    def _of(self, typed: str) -> QuerySet[Batch]:
        most = NAMES_LOOKED_THROUGH
        products = Products(Product.objects.all()).names()
        recipes = Recipes(Recipe.objects.all()).names()
        cooked: QuerySet[Batch] = self.rows.filter(
            Q(product__in=best_fits(typed, products, most=most))
            | Q(version__recipe__in=best_fits(typed, recipes, most=most))
        )
        return cooked

    def guesses(self, typed: str) -> list[Batch]:
        """Batches whose code is one slip away from a whole code."""
        codes = [near.code.text for near in near_codes(typed)]
        near = {each.code: each for each in self.rows.filter(code__in=codes)}
        return [near[code] for code in codes if code in near]

    def named(self, typed: str) -> list[Batch]:
        """The batch whose code is typed, alone or with what it is of behind it."""
        first = typed.split(maxsplit=1)[0] if typed.strip() else ""
        whole, word = normalise(typed), normalise(first)
        found = {each.code: each for each in self.rows.filter(code__in=[whole, word])}
        if whole in found:
            return [found[whole]]
        batch = found.get(word)
        is_meant = batch is not None and str(batch).upper() == typed.upper().strip()
        return [batch] if batch is not None and is_meant else []

    def details(self, rows: Sequence[Batch]) -> dict[int, str]:
        """What is left, and what tells it apart."""
        left = _left("lot__batch_output__batch", [row.pk for row in rows])
        return {row.pk: _batch_words(row, left.get(row.pk)) for row in rows}


def _batch_words(batch: Batch, left: Decimal | None) -> str:
    told = [
        say("cooked {day:%d %b %Y}", day=batch.made_on or batch.planned_on),
        batch.get_status_display(),
    ]
    if left is not None:
        unit = "jars" if batch.product_id else "g"
        told.append(say("{amount} at home", amount=format_amount(left, unit)))
    return ", ".join(told)


class Recipes(Shelf[Recipe]):
    """Recipes by name."""

    def details(self, rows: Sequence[Recipe]) -> dict[int, str]:
        """What is left, and what tells it apart."""
        return {row.pk: str(row.get_kind_display()) for row in rows}
