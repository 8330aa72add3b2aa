"""Outlets: where jars are sold or given, and the days they go there."""

import datetime
from decimal import Decimal
from typing import Any, Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models.functions import Coalesce
from django.urls import reverse
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from inventory.words import say

__all__ = [
    "ConsignmentLine",
    "ConsignmentVisit",
    "MarketDay",
    "MarketLine",
    "Outlet",
    "OutletKind",
    "SoldOutMark",
]

FRACTION = [MinValueValidator(Decimal(0)), MaxValueValidator(Decimal(1))]


class OutletKind(models.TextChoices):
    """Kinds of outlet; a place profile may allow only some."""

    MARKET = "market", _("market")
    CONSIGNMENT = "consignment", _("shop on consignment")
    WHOLESALE = "wholesale", _("shop that buys")
    GATE = "gate", _("gate")
    GIFTS = "gifts", _("gifts and own use")


class Outlet(models.Model):
    """A market, a shop, the gate, or the people jars are given to."""

    name = models.CharField(max_length=80, unique=True)
    kind = models.CharField(max_length=12, choices=OutletKind)
    weekday = models.PositiveSmallIntegerField(
        _("market weekday"),
        null=True,
        blank=True,
        help_text=_("0 is Monday."),
        validators=[MaxValueValidator(6)],
    )
    opens_at = models.TimeField(null=True, blank=True)
    closes_at = models.TimeField(null=True, blank=True)
    day_fee = models.DecimalField(
        _("stall fee of a day"), max_digits=8, decimal_places=2, default=Decimal(0)
    )
    commission = models.DecimalField(
        _("commission, share of the price"),
        max_digits=5,
        decimal_places=4,
        default=Decimal(0),
        validators=FRACTION,
    )
    sales_tax = models.DecimalField(
        _("sales tax, share of the price"),
        max_digits=6,
        decimal_places=5,
        default=Decimal(0),
        validators=FRACTION,
    )
    takes_cards = models.BooleanField(default=False)
    distance_km = models.DecimalField(
        _("drive there and back (km)"),
        max_digits=7,
        decimal_places=1,
        default=Decimal(0),
    )
    hours = models.DecimalField(
        _("hours of a day there, the drive included"),
        max_digits=4,
        decimal_places=1,
        default=Decimal(0),
    )
    table_jars = models.PositiveSmallIntegerField(
        _("jars the table or shelf holds"), default=120
    )
    min_life_fraction = models.DecimalField(
        _("least share of its life a jar must have left"),
        max_digits=4,
        decimal_places=3,
        default=Decimal("0.25"),
        validators=FRACTION,
    )
    contact = models.CharField(max_length=120, blank=True)
    phone = models.CharField(max_length=40, blank=True)
    address = models.CharField(max_length=160, blank=True)
    closed_on = models.DateField(_("given up on"), null=True, blank=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        """The outlet's page."""
        return reverse("inventory:outlet-detail", args=[self.pk])


def _of_each(
    lines: "models.QuerySet[MarketLine]",
    summed: "str | models.expressions.Combinable",
    field: "models.Field[Any, Any]",
) -> Coalesce:
    """A sum over a day's lines: a query of its own for each day that is shown."""
    total = models.Sum(summed, output_field=field)
    sums = lines.values("day").annotate(total=total).values("total")
    return Coalesce(models.Subquery(sums), models.Value(0), output_field=field)


class MarketDayQuerySet(models.QuerySet["MarketDay"]):
    """Questions asked of market days."""

    def between(self, first: datetime.date, last: datetime.date) -> Self:
        """Days from first to last, both included."""
        return self.filter(on__gte=first, on__lte=last)

    def with_sums(self) -> Self:
        """Adds ``taken``, ``sold`` and ``takings`` (without sales tax)."""
        lines = MarketLine.objects.filter(day=models.OuterRef("pk")).order_by()
        price = models.F("sold") * models.F("unit_price")
        money = models.DecimalField(max_digits=12, decimal_places=2)
        return self.annotate(
            taken=_of_each(lines, "taken", models.IntegerField()),
            sold=_of_each(lines, "sold", models.IntegerField()),
            takings=_of_each(lines, price, money),
        )

    def counted(self, *, on: datetime.date) -> Self:
        """Days whose jars were counted back, up to a day."""
        return self.filter(status=MarketDay.Status.COUNTED, on__lte=on)


class MarketDay(models.Model):
    """One day at one outlet."""

    class Status(models.TextChoices):
        PLANNED = "planned", _("planned")
        OUT = "out", _("jars are out")
        COUNTED = "counted", _("counted back")
        CANCELLED = "cancelled", _("cancelled")

    outlet = models.ForeignKey(Outlet, models.PROTECT, related_name="days")
    on = models.DateField()
    status = models.CharField(max_length=9, choices=Status, default=Status.PLANNED)
    day_fee = models.DecimalField(max_digits=8, decimal_places=2, default=Decimal(0))
    distance_km = models.DecimalField(
        max_digits=7, decimal_places=1, default=Decimal(0)
    )
    hours = models.DecimalField(max_digits=4, decimal_places=1, default=Decimal(0))
    weather = models.CharField(max_length=40, blank=True)
    float_in = models.DecimalField(
        max_digits=8, decimal_places=2, null=True, blank=True
    )
    cash_counted = models.DecimalField(
        max_digits=8, decimal_places=2, null=True, blank=True
    )
    card_total = models.DecimalField(
        max_digits=8, decimal_places=2, null=True, blank=True
    )
    cash_paid_out = models.DecimalField(
        _("paid out of the box"), max_digits=8, decimal_places=2, default=Decimal(0)
    )
    float_out = models.DecimalField(
        _("float kept for the next day"),
        max_digits=8,
        decimal_places=2,
        null=True,
        blank=True,
    )
    note = models.TextField(blank=True)

    objects = MarketDayQuerySet.as_manager()

    class Meta:
        ordering = ["-on", "outlet"]
        indexes = [models.Index(fields=["on"], name="inventory_marketday_on")]
        constraints = [
            models.UniqueConstraint(
                fields=["outlet", "on"], name="inventory_marketday_once"
            )
        ]

    def __str__(self) -> str:
        return say("{outlet}, {on:%a %d %b %Y}", outlet=self.outlet, on=self.on)

    def get_absolute_url(self) -> str:
        """The market day's page."""
        return reverse("inventory:marketday-detail", args=[self.pk])


class MarketLine(models.Model):
    """What happened to the jars of one lot on one market day.

    ``taken = sold + sampled + broken + given + brought_back + unaccounted``;
    the ledger rows of the day say the same.
    """

    day = models.ForeignKey(MarketDay, models.CASCADE, related_name="lines")
    lot = models.ForeignKey(
        "inventory.Lot", models.PROTECT, related_name="market_lines"
    )
    packed = models.PositiveIntegerField(_("to pack"), default=0)
    taken = models.PositiveIntegerField(default=0)
    sold = models.PositiveIntegerField(default=0)
    sampled = models.PositiveIntegerField(default=0)
    broken = models.PositiveIntegerField(default=0)
    given = models.PositiveIntegerField(default=0)
    brought_back = models.PositiveIntegerField(default=0)
    unit_price = models.DecimalField(max_digits=8, decimal_places=2, default=Decimal(0))

    class Meta:
        ordering = ["day", "lot"]
        constraints = [
            models.UniqueConstraint(
                fields=["day", "lot"], name="inventory_marketline_once"
            ),
            models.CheckConstraint(
                condition=models.Q(
                    taken__gte=models.F("sold")
                    + models.F("sampled")
                    + models.F("broken")
                    + models.F("given")
                    + models.F("brought_back")
                ),
                name="inventory_marketline_balance",
            ),
        ]

    def __str__(self) -> str:
        return say("{lot} on {day}", lot=self.lot, day=self.day)

    @property
    def unaccounted(self) -> int:
        """Jars taken that nothing explains."""
        return (
            self.taken
            - self.sold
            - self.sampled
            - self.broken
            - self.given
            - self.brought_back
        )


class SoldOutMark(models.Model):
    """A product that ran out on a market day, and when if it was noticed."""

    day = models.ForeignKey(MarketDay, models.CASCADE, related_name="sold_out_marks")
    product = models.ForeignKey(
        "inventory.Product", models.PROTECT, related_name="sold_out_marks"
    )
    at = models.TimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["day", "product"], name="inventory_soldoutmark_once"
            )
        ]

    def __str__(self) -> str:
        return say("{product} sold out on {day}", product=self.product, day=self.day)


class ConsignmentVisit(models.Model):
    """One visit to a shop that sells on consignment, or one delivery to a shop that buys."""

    outlet = models.ForeignKey(Outlet, models.PROTECT, related_name="visits")
    on = models.DateField()
    commission = models.DecimalField(
        max_digits=5, decimal_places=4, validators=FRACTION
    )
    paid_on = models.DateField(null=True, blank=True)
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["-on"]
        indexes = [models.Index(fields=["on"], name="inventory_visit_on")]

    def __str__(self) -> str:
        return f"{self.outlet}, {self.on}"

    def get_absolute_url(self) -> str:
        """The visit's statement."""
        return reverse("inventory:visit-detail", args=[self.pk])


class ConsignmentLine(models.Model):
    """What a visit found of one lot: of those that were there, and newly left."""

    visit = models.ForeignKey(ConsignmentVisit, models.CASCADE, related_name="lines")
    lot = models.ForeignKey("inventory.Lot", models.PROTECT, related_name="visit_lines")
    was_there = models.PositiveIntegerField(default=0)
    sold = models.PositiveIntegerField(default=0)
    returned = models.PositiveIntegerField(default=0)
    missing = models.PositiveIntegerField(default=0)
    left = models.PositiveIntegerField(_("newly left"), default=0)
    unit_price = models.DecimalField(_("shelf price"), max_digits=8, decimal_places=2)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["visit", "lot"], name="inventory_consignmentline_once"
            ),
            models.CheckConstraint(
                condition=models.Q(
                    was_there__gte=models.F("sold")
                    + models.F("returned")
                    + models.F("missing")
                ),
                name="inventory_consignmentline_balance",
            ),
        ]

    def __str__(self) -> str:
        return say("{lot} at {visit}", lot=self.lot, visit=self.visit)
