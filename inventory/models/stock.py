"""Lots and the append-only stock ledger."""

import datetime
from decimal import Decimal
from typing import Self

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.db.models.functions import Coalesce, Round, Upper
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from inventory.models.materials import Material, Supplier
from inventory.models.outlets import ConsignmentVisit, MarketDay, Outlet
from inventory.models.products import Product
from inventory.words import say

__all__ = ["Lot", "Movement", "Purchase", "StockCount"]


class Purchase(models.Model):
    """One receipt of one supplier; each of its lines is a lot."""

    supplier = models.ForeignKey(Supplier, models.PROTECT, related_name="purchases")
    bought_on = models.DateField()
    reference = models.CharField(_("receipt number"), max_length=60, blank=True)
    note = models.TextField(blank=True)
    receipt = models.FileField(upload_to="receipts/", blank=True)

    class Meta:
        ordering = ["-bought_on", "-pk"]
        indexes = [models.Index(fields=["bought_on"], name="inventory_purchase_on")]

    def __str__(self) -> str:
        return f"{self.supplier}, {self.bought_on}"

    def get_absolute_url(self) -> str:
        """The purchase's page."""
        return reverse("inventory:purchase-detail", args=[self.pk])


class SummedField(models.DecimalField):  # type: ignore[type-arg] # output only
    """A sum of ledger quantities, read back to their three decimals."""

    def from_db_value(self, value: Decimal | None, *_: object) -> Decimal | None:
        """SQLite adds in floats, and its sums come back with digits to spare."""
        return None if value is None else value.quantize(Decimal("0.001"))


QUANTITY = SummedField(max_digits=14, decimal_places=3)


def _summed(movements: models.QuerySet["Movement"]) -> Coalesce:
    """Sum of a lot's rows, to the ledger's three decimals: SQLite adds in floats."""
    total = (
        movements.filter(lot=models.OuterRef("pk"))
        .order_by()
        .values("lot")
        .annotate(total=Round(models.Sum("quantity"), precision=3))
        .values("total")
    )
    return Coalesce(models.Subquery(total), Decimal(0), output_field=QUANTITY)


class LotQuerySet(models.QuerySet["Lot"]):
    """Questions asked of lots."""

    def with_balance(self) -> Self:
        """Adds ``balance``: grams or pieces left, wherever they are."""
        return self.annotate(balance=_summed(Movement.objects.all()))

    def with_home_balance(self) -> Self:
        """Adds ``home_balance``: grams or pieces at home, not at an outlet."""
        return self.annotate(
            home_balance=_summed(Movement.objects.filter(place__isnull=True))
        )

    def with_balance_at(self, place: Outlet | None) -> Self:
        """Adds ``balance_here``: grams or pieces at one outlet, or at home (None)."""
        return self.annotate(balance_here=_summed(Movement.objects.filter(place=place)))

    def at(self, place: Outlet | None) -> Self:
        """Lots of which something is at one outlet, or at home (None)."""
        return self.with_balance_at(place).filter(balance_here__gt=0)

    def with_received(self) -> Self:
        """Adds ``received``: what came in at first, as corrected; the cost is its cost."""
        return self.annotate(received=_summed(Movement.objects.incoming()))

    def on_hand(self) -> Self:
        """Lots of which something is left at home."""
        return self.with_home_balance().filter(home_balance__gt=0)

    def usable(self, *, on: datetime.date) -> Self:
        """Lots at home, not stopped, not past best-by, oldest best-by first."""
        fresh = models.Q(best_by__isnull=True) | models.Q(best_by__gte=on)
        return (
            self.on_hand()
            .filter(fresh, stopped_at__isnull=True)
            .order_by(models.F("best_by").asc(nulls_last=True), "received_on", "pk")
        )

    def sellable(self, *, on: datetime.date) -> Self:
        """Jars released, at home, not stopped, not past best-by, oldest first."""
        return self.usable(on=on).filter(
            product__isnull=False, released_at__isnull=False
        )


class Lot(models.Model):
    """Anything that can be pointed at: fruit, jars, lids, frozen juice, a batch's jars.

    A lot is either of a material or of a product (filled jars). Jars can be
    sold only once ``released_at`` is set, and nothing of a lot moves out while
    ``stopped_at`` is set.
    """

    code = models.CharField(max_length=24, unique=True)
    material = models.ForeignKey(
        Material, models.PROTECT, null=True, blank=True, related_name="lots"
    )
    product = models.ForeignKey(
        Product, models.PROTECT, null=True, blank=True, related_name="lots"
    )
    purchase = models.ForeignKey(
        Purchase, models.PROTECT, null=True, blank=True, related_name="lots"
    )
    split_from = models.ForeignKey(
        "self",
        models.PROTECT,
        null=True,
        blank=True,
        related_name="splits",
        help_text=_("The lot this one was taken from, as when a part is frozen."),
    )
    received_on = models.DateField()
    supplier_mark = models.CharField(
        _("supplier's lot mark"), max_length=60, blank=True
    )
    origin = models.CharField(max_length=80, blank=True)
    as_typed = models.CharField(_("quantity as typed"), max_length=60, blank=True)
    cost = models.DecimalField(
        _("cost of the whole lot"),
        max_digits=12,
        decimal_places=4,
        default=Decimal(0),
        validators=[MinValueValidator(Decimal(0))],
    )
    best_by = models.DateField(null=True, blank=True)
    is_frozen = models.BooleanField(default=False)
    is_tax_exempt = models.BooleanField(
        _("exempt from sales tax"),
        default=False,
        help_text=_("As the recipe it was cooked by says; the outlet sets the rate."),
    )
    released_at = models.DateTimeField(null=True, blank=True)
    stopped_at = models.DateTimeField(null=True, blank=True)
    note = models.TextField(blank=True)

    objects = LotQuerySet.as_manager()

    class Meta:
        ordering = ["-received_on", "-pk"]
        indexes = [
            models.Index(fields=["material", "best_by"], name="inventory_lot_material"),
            models.Index(fields=["product", "best_by"], name="inventory_lot_product"),
            models.Index(fields=["received_on"], name="inventory_lot_received"),
            models.Index(Upper("supplier_mark"), name="inventory_lot_mark"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(material__isnull=False, product__isnull=True)
                | models.Q(material__isnull=True, product__isnull=False),
                name="inventory_lot_material_or_product",
            )
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.name}"

    def get_absolute_url(self) -> str:
        """The lot's page."""
        return reverse("inventory:lot-detail", args=[self.code])

    @property
    def name(self) -> str:
        """What it is a lot of."""
        return str(self.product or self.material)

    @property
    def unit(self) -> str:
        """Unit of its quantities: "g", "pieces" or "jars"."""
        return "jars" if self.product_id else self.material.unit  # type: ignore[union-attr]


class StockCount(models.Model):
    """One stocktake; its differences are ledger rows."""

    counted_on = models.DateField()
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["-counted_on"]

    def __str__(self) -> str:
        return say("stocktake of {counted_on}", counted_on=self.counted_on)


class MovementQuerySet(models.QuerySet["Movement"]):
    """Questions asked of the ledger."""

    def incoming(self) -> Self:
        """Rows that brought a lot in, and their corrections."""
        came_in = models.Q(quantity__gt=0) | models.Q(corrects__quantity__gt=0)
        return self.filter(came_in, reason__in=Movement.INCOMING)

    def total(self) -> Decimal:
        """Sum of the quantities, g, pieces or jars; 0 when there are no rows."""
        summed = Round(models.Sum("quantity"), precision=3, output_field=QUANTITY)
        return self.aggregate(total=summed)["total"] or Decimal(0)


class Movement(models.Model):
    """One row of the stock ledger: it is never changed and never deleted.

    ``place`` is the outlet the jars are at; empty means at home. Moving jars
    to a stall is two rows. A correction is a new row that points at the first
    and keeps its reason, so that a sum by reason is always the corrected sum.
    """

    class Reason(models.TextChoices):
        RECEIVED = "received", _("received")
        OPENING = "opening", _("opening stock")
        DRAWN = "drawn", _("drawn by a batch")
        MADE = "made", _("made by a batch")
        SPLIT = "split", _("split or frozen")
        MOVED = "moved", _("moved")
        SOLD = "sold", _("sold")
        SAMPLED = "sampled", _("sampled")
        GIVEN = "given", _("given away")
        OWN_USE = "own_use", _("own use")
        BROKEN = "broken", _("broken")
        SEAL = "seal", _("seal failed")
        SPOILED = "spoiled", _("spoiled")
        EXPIRED = "expired", _("past best-by")
        REJECTED = "rejected", _("batch rejected")
        MISSING = "missing", _("missing")
        RETURNED = "returned", _("returned by a customer")
        RECALLED = "recalled", _("recalled")
        COUNTED = "counted", _("stocktake difference")
        TRIMMED = "trimmed", _("weighed or tested")
        CORRECTION = "correction", _("correction")

    lot = models.ForeignKey(Lot, models.PROTECT, related_name="movements")
    quantity = models.DecimalField(max_digits=14, decimal_places=3)
    reason = models.CharField(max_length=10, choices=Reason)
    on = models.DateField()
    at = models.DateTimeField()
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
    )
    place = models.ForeignKey(
        Outlet, models.PROTECT, null=True, blank=True, related_name="movements"
    )
    market_day = models.ForeignKey(
        MarketDay, models.PROTECT, null=True, blank=True, related_name="movements"
    )
    visit = models.ForeignKey(
        ConsignmentVisit,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="movements",
    )
    count = models.ForeignKey(
        StockCount, models.PROTECT, null=True, blank=True, related_name="movements"
    )
    corrects = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, related_name="corrections"
    )
    unit_price = models.DecimalField(
        _("price of one, when sold"),
        max_digits=8,
        decimal_places=2,
        null=True,
        blank=True,
    )
    sales_tax = models.DecimalField(
        _("sales tax on the row"), max_digits=10, decimal_places=2, default=Decimal(0)
    )
    cause = models.CharField(_("what caused it"), max_length=80, blank=True)
    note = models.CharField(max_length=200, blank=True)
    token = models.UUIDField(
        null=True,
        blank=True,
        unique=True,
        editable=False,
        help_text=_(
            "Made where the touch was made, so that sending it twice counts once."
        ),
    )

    objects = MovementQuerySet.as_manager()

    INCOMING = (Reason.RECEIVED, Reason.OPENING, Reason.MADE, Reason.SPLIT)

    class Meta:
        ordering = ["pk"]
        indexes = [
            # With the quantity, a balance is read from the index alone.
            models.Index(
                fields=["lot", "place", "quantity"], name="inventory_movement_place"
            ),
            models.Index(fields=["reason", "on"], name="inventory_movement_reason"),
            models.Index(fields=["on"], name="inventory_movement_on"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=~models.Q(quantity=0), name="inventory_movement_not_zero"
            )
        ]

    def __str__(self) -> str:
        return f"{self.quantity:+} {self.lot_id} {self.reason}"
