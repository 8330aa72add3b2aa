"""Fields that choose a lot, a batch, a recipe or an offered product by typing."""

import datetime
from collections.abc import Iterable
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.db.models import QuerySet
from django.http import QueryDict
from django.urls import reverse, reverse_lazy
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from inventory.forms.choosing import ChosenField
from inventory.models import Lot, Product
from inventory.selectors.choosing import Products
from production.models import Batch, Recipe
from production.selectors.choosing import Batches, Lots, Recipes

__all__ = [
    "BatchForm",
    "StopForm",
    "address_of",
    "any_lots",
    "batch_field",
    "lot_field",
    "offered_products",
    "recalled_lots",
    "recipe_field",
    "usable_lots",
]


def address_of(what: str, **of: Any) -> Promise | str:
    """Where the rows are asked for; `of` narrows them."""
    if not of:
        return reverse_lazy("production:choose", args=[what])
    return f"{reverse('production:choose', args=[what])}?{urlencode(of, doseq=True)}"


def offered_products(on: datetime.date) -> Products:
    """Products that a recipe fills and that are still offered."""
    rows = Product.objects.offered(on=on).filter(filling__isnull=False)
    return Products(rows)


def usable_lots(materials: Iterable[int], on: datetime.date) -> Lots:
    """Lots of some materials that may be cooked with, oldest best-by first."""
    rows = Lot.objects.filter(material__in=list(materials)).usable(on=on)
    return Lots(rows)


def recalled_lots(stop_sale: int) -> Lots:
    """The jars of one stop-sale."""
    stopped = Lot.objects.filter(stop_sales=stop_sale, product__isnull=False)
    return Lots(stopped.order_by("code"))


def any_lots() -> Lots:
    """Every lot, the newest first."""
    rows: QuerySet[Lot] = Lot.objects.all()
    return Lots(rows)


def lot_field(
    shelf: Lots, address: Promise | str, *, listed_by: str = "", **kwargs: Any
) -> ChosenField:
    """A lot of a shelf; fields of one line share the list of the first of them."""
    field = ChosenField(shelf=shelf, address=address, **kwargs)
    field.widget.listed_by = listed_by
    return field


def batch_field(**kwargs: Any) -> ChosenField:
    """Any batch that was begun."""
    shelf = Batches(Batch.objects.all())
    return ChosenField(shelf=shelf, address=address_of("batch"), **kwargs)


class BatchForm(forms.Form):
    """Which batch a page is about."""

    batch = batch_field(label=_("Batch"))


class StopForm(forms.Form):
    """A batch or a lot whose sale is stopped, found from where one stands."""

    batch = batch_field(label=_("Batch"), required=False)
    lot = lot_field(any_lots(), address_of("lot"), label=_("Or a lot"), required=False)


def recipe_field(**kwargs: Any) -> ChosenField:
    """A recipe that is still cooked."""
    shelf = Recipes(Recipe.objects.filter(retired_on=None))
    return ChosenField(shelf=shelf, address=address_of("recipe"), **kwargs)


def asked_lots(asked: QueryDict, on: datetime.date) -> Lots:
    """The lots an address narrows itself to: of materials, of a stop-sale, or all."""
    numbers = [int(each) for each in asked.getlist("material") if each.isdecimal()]
    stopped = asked.get("stop_sale", "")
    if numbers:
        return usable_lots(numbers, on)
    return recalled_lots(int(stopped)) if stopped.isdecimal() else any_lots()
