"""The check of a label from the book: every rule, with the year's sales."""

import datetime
from decimal import Decimal

from django.db.models import F, QuerySet, Sum

from inventory.models import Movement, Product
from inventory.models.outlets import OutletKind
from labels.models import ProductLabel
from labels.rules.check import Report, check_label
from labels.rules.rule import LabelToCheck
from labels.selectors.label_texts import built_label, cooked_for
from labels.selectors.names import names_of
from labels.statements.nutrition_us import YearOfSales
from production.models import Batch

__all__ = ["report_of"]

THROUGH_SHOPS = (OutletKind.CONSIGNMENT, OutletKind.WHOLESALE)


def report_of(
    *,
    look: ProductLabel,
    on: datetime.date,
    batch: Batch | None = None,
    place_code: str | None = None,
) -> Report:
    """Check the label of a batch, or of a product without one.

    Raises:
        LabelSelectionError: the label cannot be written.
    """
    built = built_label(look=look, on=on, batch=batch, place_code=place_code)
    return check_label(
        LabelToCheck(
            built=built,
            on=on,
            sales_this_year=_taken(_sold(datetime.date(on.year, 1, 1), on)),
            year_of_sales=_year_of_sales(look.product, on),
            names=names_of(cooked_for(look.product, batch, on=on)),
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


def _year_of_sales(product: Product, on: datetime.date) -> YearOfSales:
    """Return what the US nutrition exemption is read from.

    Sales are a year's mean of the last two; jars of every size of the same
    recipe count together, in twelve months.
    """
    two_years = _sold(on - datetime.timedelta(days=730), on)
    direct = two_years.exclude(place__kind__in=THROUGH_SHOPS)
    first_sale = two_years.order_by("on").values_list("on", flat=True).first()
    years = Decimal((on - first_sale).days) / 365 if first_sale else Decimal(1)
    mean = _taken(direct) / min(Decimal(2), max(Decimal(1), years))
    sisters = Product.objects.filter(filling__recipe__fillings__product=product)
    of_product = _sold(on - datetime.timedelta(days=365), on).filter(
        lot__product__in=sisters
    )
    units = -(of_product.aggregate(total=Sum("quantity"))["total"] or Decimal(0))
    return YearOfSales(
        all_to_consumers=mean,
        food_to_consumers=mean,
        units_of_product=int(units),
        only_to_consumers=not of_product.filter(place__kind__in=THROUGH_SHOPS).exists(),
    )
