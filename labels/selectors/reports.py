"""The check of a label from the book: every rule, with the year's sales."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from django.db.models import Count, F, Min, Q, Sum

from inventory.models import Movement, Product
from inventory.models.outlets import OutletKind
from labels.models import ProductLabel
from labels.rules.check import Report, check_label
from labels.rules.rule import LabelToCheck
from labels.selectors.label_book import LabelBook
from labels.selectors.label_texts import book_for, built_label, cooked_for
from labels.selectors.names import names_of
from labels.statements.nutrition_us import YearOfSales
from production.models import Batch

__all__ = ["Sales", "report_of"]

THROUGH_SHOPS = (OutletKind.CONSIGNMENT, OutletKind.WHOLESALE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sold:
    """What was sold of one recipe in the last two years, returns taken off.

    Attributes:
        recipe: its number; ``None`` for what no recipe fills.
        this_year: money taken since the first of January.
        direct: money taken from consumers, in two years.
        first_on: the first sale of the two years.
        units: jars in twelve months.
        through_shops: rows of those that went through a shop.
    """

    recipe: int | None
    this_year: Decimal
    direct: Decimal
    first_on: datetime.date
    units: Decimal
    through_shops: int


class Sales:
    """A day's view of what was sold, read once for many labels."""

    def __init__(self, on: datetime.date) -> None:
        self.on = on

    @cached_property
    def _sold(self) -> Sequence[Sold]:
        return _read_sold(self.on)

    @cached_property
    def of_this_year(self) -> Decimal:
        """Money taken in the calendar year, returns taken off."""
        return sum((each.this_year for each in self._sold), Decimal(0))

    @cached_property
    def to_consumers(self) -> Decimal:
        """A year's sales to consumers, the mean of the last two years."""
        first = min((each.first_on for each in self._sold), default=None)
        years = Decimal((self.on - first).days) / 365 if first else Decimal(1)
        direct = sum((each.direct for each in self._sold), Decimal(0))
        return direct / min(Decimal(2), max(Decimal(1), years))

    def of(self, product: Product, book: LabelBook) -> YearOfSales:
        """Return what the US nutrition exemption is read from.

        Jars of every size of the same recipe count together, in twelve months.
        """
        recipe = book.recipe_of(product)
        sold = [each for each in self._sold if recipe and each.recipe == recipe.pk]
        return YearOfSales(
            all_to_consumers=self.to_consumers,
            food_to_consumers=self.to_consumers,
            units_of_product=int(sum((each.units for each in sold), Decimal(0))),
            only_to_consumers=not any(each.through_shops for each in sold),
        )


def _read_sold(on: datetime.date) -> Sequence[Sold]:
    """Read two years of sales in one query, by the recipe that filled the jars."""
    january = Q(on__gte=datetime.date(on.year, 1, 1))
    twelve_months = Q(on__gte=on - datetime.timedelta(days=365))
    through_shops = Q(place__kind__in=THROUGH_SHOPS)
    others = [kind for kind in OutletKind if kind not in THROUGH_SHOPS]
    direct = Q(place__isnull=True) | Q(place__kind__in=others)
    money = F("quantity") * F("unit_price")
    rows = (
        Movement.objects.filter(
            reason__in=[Movement.Reason.SOLD, Movement.Reason.RETURNED],
            unit_price__isnull=False,
            on__gte=on - datetime.timedelta(days=730),
            on__lte=on,
        )
        .order_by()
        .values(recipe=F("lot__product__filling__recipe"))
        .annotate(
            this_year=Sum(money, filter=january),
            direct=Sum(money, filter=direct),
            first_on=Min("on"),
            units=Sum("quantity", filter=twelve_months),
            through_shops=Count("pk", filter=twelve_months & through_shops),
        )
    )
    return [
        Sold(
            recipe=row["recipe"],
            this_year=-(row["this_year"] or Decimal(0)),
            direct=-(row["direct"] or Decimal(0)),
            first_on=row["first_on"],
            units=-(row["units"] or Decimal(0)),
            through_shops=row["through_shops"],
        )
        for row in rows
    ]


def report_of(
    *,
    look: ProductLabel,
    on: datetime.date,
    batch: Batch | None = None,
    place_code: str | None = None,
    sales: Sales | None = None,
    book: LabelBook | None = None,
) -> Report:
    """Check the label of a batch, or of a product without one.

    Args:
        look: the product's label settings.
        on: the day of the check.
        batch: the batch; ``None`` previews the product.
        place_code: another place than the seller's own.
        sales: what was sold by that day, where it is read already.
        book: what the labels of the page need, where it is read already.

    Raises:
        LabelSelectionError: the label cannot be written.
    """
    sales, book = sales or Sales(on), book or book_for(look.product, batch)
    cooked = cooked_for(book, look.product, batch, on=on)
    built = built_label(look=look, on=on, batch=batch, place_code=place_code, book=book)
    return check_label(
        LabelToCheck(
            built=built,
            on=on,
            sales_this_year=sales.of_this_year,
            year_of_sales=sales.of(look.product, book),
            names=names_of(cooked),
        )
    )
