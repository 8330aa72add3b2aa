"""The check of a label from the book: every rule, with the year's sales."""

import datetime
from decimal import Decimal

from django.db.models import F, Sum

from inventory.models import Movement
from labels.models import ProductLabel
from labels.rules.check import Report, check_label
from labels.rules.rule import LabelToCheck
from labels.selectors.label_texts import built_label
from production.models import Batch

__all__ = ["report_of"]


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
        LabelToCheck(built=built, on=on, sales_this_year=_sales_of_year(on))
    )


def _sales_of_year(on: datetime.date) -> Decimal:
    """Return what was taken this calendar year, returns taken off."""
    Reason = Movement.Reason  # noqa: N806 - a class
    taken = Movement.objects.filter(
        reason__in=[Reason.SOLD, Reason.RETURNED],
        unit_price__isnull=False,
        on__gte=datetime.date(on.year, 1, 1),
        on__lte=on,
    ).aggregate(total=Sum(F("quantity") * F("unit_price")))["total"]
    return -(taken or Decimal(0))
