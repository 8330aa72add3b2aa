"""The check of a label from the book: every rule, with the year's sales."""

import datetime
from decimal import Decimal
from functools import cached_property

from django.db.models import Count, F, Q, QuerySet, Sum

from inventory.models import Movement, Product
from inventory.models.outlets import OutletKind
from labels.models import ProductLabel
from labels.rules.check import Report, check_label
from labels.rules.rule import LabelToCheck
from labels.selectors.label_texts import built_label, cooked_for
from labels.selectors.names import names_of
from labels.statements.nutrition_us import YearOfSales
from production.models import Batch

__all__ = ["Sales", "report_of"]

THROUGH_SHOPS = (OutletKind.CONSIGNMENT, OutletKind.WHOLESALE)


class Sales:
    """A day's view of what was sold, read once for many labels."""

    def __init__(self, on: datetime.date) -> None:
        self.on = on

    @cached_property
    def of_this_year(self) -> Decimal:
        """Money taken in the calendar year, returns taken off."""
        return _taken(_sold(datetime.date(self.on.year, 1, 1), self.on))

    @cached_property
    def to_consumers(self) -> Decimal:
        """A year's sales to consumers, the mean of the last two years."""
        two_years = _sold(self.on - datetime.timedelta(days=730), self.on)
        first_sale = two_years.order_by("on").values_list("on", flat=True).first()
        years = Decimal((self.on - first_sale).days) / 365 if first_sale else Decimal(1)
        direct = two_years.exclude(place__kind__in=THROUGH_SHOPS)
        return _taken(direct) / min(Decimal(2), max(Decimal(1), years))

    def of(self, product: Product) -> YearOfSales:
        """Return what the US nutrition exemption is read from.

        Jars of every size of the same recipe count together, in twelve months.
        """
        sisters = Product.objects.filter(filling__recipe__fillings__product=product)
        sold = _sold(self.on - datetime.timedelta(days=365), self.on).filter(
            lot__product__in=sisters
        )
        units = sold.aggregate(
            total=Sum("quantity"),
            through_shops=Count("pk", filter=Q(place__kind__in=THROUGH_SHOPS)),
        )
        return YearOfSales(
            all_to_consumers=self.to_consumers,
            food_to_consumers=self.to_consumers,
            units_of_product=int(-(units["total"] or Decimal(0))),
            only_to_consumers=not units["through_shops"],
        )


def report_of(
    *,
    look: ProductLabel,
    on: datetime.date,
    batch: Batch | None = None,
    place_code: str | None = None,
    sales: Sales | None = None,
) -> Report:
    """Check the label of a batch, or of a product without one.

    Args:
        look: the product's label settings.
        on: the day of the check.
        batch: the batch; ``None`` previews the product.
        place_code: another place than the seller's own.
        sales: what was sold by that day, where it is read already.

    Raises:
        LabelSelectionError: the label cannot be written.
    """
    sales = sales or Sales(on)
    cooked = cooked_for(look.product, batch, on=on)
    built = built_label(
        look=look, on=on, batch=batch, place_code=place_code, cooked=cooked
    )
    return check_label(
        LabelToCheck(
            built=built,
            on=on,
            sales_this_year=sales.of_this_year,
            year_of_sales=sales.of(look.product),
            names=names_of(cooked),
        )
    )


def _sold(first: datetime.date, last: datetime.date) -> QuerySet[Movement]:
    """Return the rows of jars sold, and given back, between two days."""
    return Movement.objects.filter(
        reason__in=[Movement.Reason.SOLD, Movement.Reason.RETURNED],
        unit_price__isnull=False,
        on__gte=first,
        on__lte=last,
    )


def _taken(sold: QuerySet[Movement]) -> Decimal:
    total = sold.aggregate(total=Sum(F("quantity") * F("unit_price")))["total"]
    return -(total or Decimal(0))
