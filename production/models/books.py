"""Costs that belong to no single batch: overheads of years, expenses of days."""

import datetime
from decimal import Decimal
from typing import Self

from django.core.validators import MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from production.costing.overheads import OverheadItem, OverheadKey

__all__ = ["Expense", "Overhead"]


class OverheadQuerySet(models.QuerySet["Overhead"]):
    """Questions asked of overheads."""

    def in_force(self, *, on: datetime.date) -> Self:
        """Overheads that are being paid off on a day."""
        return self.filter(starts_on__lte=on).filter(
            models.Q(ends_on__isnull=True) | models.Q(ends_on__gte=on)
        )


class Overhead(models.Model):
    """Something paid for that every jar must help to carry."""

    class Key(models.TextChoices):
        JARS = OverheadKey.JARS.value, _("jars made")
        BATCHES = OverheadKey.BATCHES.value, _("batches cooked")
        MINUTES = OverheadKey.MINUTES.value, _("hands-on minutes")
        TAKINGS = OverheadKey.TAKINGS.value, _("takings")

    name = models.CharField(max_length=80, unique=True)
    amount = models.DecimalField(
        _("what was paid for it"),
        max_digits=10,
        decimal_places=2,
        validators=[MinValueValidator(Decimal(0))],
    )
    years = models.DecimalField(
        _("years it serves"),
        max_digits=4,
        decimal_places=1,
        default=Decimal(1),
        validators=[MinValueValidator(Decimal("0.1"))],
        help_text=_("1 for what is paid every year."),
    )
    key = models.CharField(_("spread by"), max_length=7, choices=Key, default=Key.JARS)
    starts_on = models.DateField(_("counts from"))
    ends_on = models.DateField(_("counts until"), null=True, blank=True)

    objects = OverheadQuerySet.as_manager()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(amount__gte=0, years__gt=0),
                name="production_overhead_amount_and_years",
            )
        ]

    def __str__(self) -> str:
        return self.name

    def as_item(self) -> OverheadItem:
        """The value the costing works with."""
        return OverheadItem(
            name=self.name,
            amount=self.amount,
            years=self.years,
            key=OverheadKey(self.key),
        )


class Expense(models.Model):
    """Money paid out on a day that is no purchase of stock."""

    class Kind(models.TextChoices):
        LABOUR = "labour", _("wages paid to others")
        SUPPLIES = "supplies", _("materials and supplies not kept in stock")
        OTHER = "other", _("other costs of the goods")
        SELLING = "selling", _("costs of selling and of the year")

    on = models.DateField()
    kind = models.CharField(max_length=8, choices=Kind)
    text = models.CharField(_("for what"), max_length=120)
    amount = models.DecimalField(
        max_digits=10, decimal_places=2, validators=[MinValueValidator(Decimal(0))]
    )

    class Meta:
        ordering = ["-on", "-pk"]
        indexes = [models.Index(fields=["on"], name="production_expense_on")]

    def __str__(self) -> str:
        return f"{self.text}, {self.on}"
