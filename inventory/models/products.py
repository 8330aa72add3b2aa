"""Products: what stands on the table with a price."""

import datetime
from decimal import Decimal
from typing import Self

from django.core.validators import MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from inventory.models.materials import Material
from inventory.models.outlets import OutletKind
from inventory.words import say

POSITIVE = [MinValueValidator(Decimal("0.1"))]

__all__ = ["Accent", "JarSize", "Product", "ProductPrice"]


class JarSize(models.Model):
    """A jar: how much it holds, and where a label fits."""

    class Sides(models.IntegerChoices):
        ROUND = 0, _("round")
        FOUR = 4, _("four flat sides")
        SIX = 6, _("six flat sides")
        EIGHT = 8, _("eight flat sides")

    name = models.CharField(max_length=40, unique=True)
    brim_ml = models.DecimalField(
        _("brimful capacity (ml)"), max_digits=7, decimal_places=1, validators=POSITIVE
    )
    neck_area_cm2 = models.DecimalField(
        _("area at the headspace (cm²)"),
        max_digits=6,
        decimal_places=2,
        help_text=_(
            "Inside area of the neck; with the headspace it gives the empty volume."
        ),
    )
    diameter_mm = models.DecimalField(max_digits=5, decimal_places=1)
    height_mm = models.DecimalField(max_digits=5, decimal_places=1)
    label_height_mm = models.DecimalField(
        _("height of the straight side (mm)"), max_digits=5, decimal_places=1
    )
    flat_sides = models.PositiveSmallIntegerField(
        _("shape"),
        choices=Sides,
        default=Sides.ROUND,
        blank=True,
        help_text=_("With flat sides the diameter is the width of one side."),
    )
    lid_diameter_mm = models.DecimalField(max_digits=5, decimal_places=1)
    processing_size = models.CharField(
        _("row of the processing table"),
        max_length=20,
        default="half-pint",
        help_text=_("quarter-pint, half-pint, pint or quart"),
    )
    per_canner_load = models.PositiveSmallIntegerField(
        _("places in the canner"), default=9
    )
    jar = models.ForeignKey(
        Material, models.PROTECT, related_name="jar_of", null=True, blank=True
    )
    lid = models.ForeignKey(
        Material, models.PROTECT, related_name="lid_of", null=True, blank=True
    )

    class Meta:
        ordering = ["brim_ml"]

    def __str__(self) -> str:
        return self.name


class Accent(models.TextChoices):
    """The fruit colours of ``inventory.accents``, as choices."""

    STRAWBERRY = "strawberry", _("strawberry")
    RASPBERRY = "raspberry", _("raspberry")
    CHERRY = "cherry", _("cherry")
    RHUBARB = "rhubarb", _("rhubarb")
    TOMATO = "tomato", _("tomato")
    PEACH = "peach", _("peach")
    APRICOT = "apricot", _("apricot")
    ORANGE = "orange", _("orange")
    QUINCE = "quince", _("quince")
    LEMON = "lemon", _("lemon")
    GOOSEBERRY = "gooseberry", _("gooseberry")
    LIME = "lime", _("lime")
    BLUEBERRY = "blueberry", _("blueberry")
    CURRANT = "currant", _("currant")
    PLUM = "plum", _("plum")
    FIG = "fig", _("fig")
    GRAPE = "grape", _("grape")
    PEAR = "pear", _("pear")
    BLACKBERRY = "blackberry", _("blackberry")
    SPICE = "spice", _("spice")


class ProductQuerySet(models.QuerySet["Product"]):
    """Questions asked of products."""

    def offered(self, *, on: datetime.date) -> Self:
        """Products not withdrawn by a day."""
        return self.filter(
            models.Q(withdrawn_on__isnull=True) | models.Q(withdrawn_on__gt=on)
        )


class Product(models.Model):
    """A recipe in a jar size, as it is sold."""

    code = models.SlugField(max_length=40, unique=True)
    name = models.CharField(max_length=80)
    jar_size = models.ForeignKey(JarSize, models.PROTECT, related_name="products")
    accent = models.CharField(
        _("fruit accent"),
        max_length=16,
        choices=Accent,
        default=Accent.PLUM,
        help_text=_(
            "A colour of our own list; the name of the product always stands beside it."
        ),
    )
    best_by_months = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text=_("Empty means the same as for every product.")
    )
    net_weight_g = models.DecimalField(
        _("declared net weight (g)"),
        max_digits=7,
        decimal_places=1,
        null=True,
        blank=True,
        help_text=_("Empty means what the jar holds by computation."),
        validators=[MinValueValidator(Decimal(1))],
    )
    gtin = models.CharField(_("GTIN"), max_length=14, blank=True)
    likeness = models.ForeignKey(
        "self",
        models.SET_NULL,
        null=True,
        blank=True,
        related_name="+",
        help_text=_("A product whose sales stand in while this one has none."),
    )
    withdrawn_on = models.DateField(null=True, blank=True)
    history = HistoricalRecords()

    objects = ProductQuerySet.as_manager()

    class Meta:
        ordering = ["name", "jar_size"]
        indexes = [models.Index(fields=["name"], name="inventory_product_name")]

    def __str__(self) -> str:
        return f"{self.name}, {self.jar_size}"

    def get_absolute_url(self) -> str:
        """The product's page."""
        return reverse("production:product-detail", args=[self.code])


class ProductPriceQuerySet(models.QuerySet["ProductPrice"]):
    """Questions asked of prices."""

    def in_force(self, *, on: datetime.date) -> Self:
        """Prices valid from a day on or before, newest first."""
        return self.filter(valid_from__lte=on).order_by(
            "product", "outlet_kind", "-valid_from"
        )


class ProductPrice(models.Model):
    """Price of a product at a kind of outlet from a day on, without sales tax."""

    product = models.ForeignKey(Product, models.CASCADE, related_name="prices")
    outlet_kind = models.CharField(max_length=12, choices=OutletKind)
    price = models.DecimalField(
        max_digits=8, decimal_places=2, validators=[MinValueValidator(Decimal(0))]
    )
    valid_from = models.DateField()
    history = HistoricalRecords()

    objects = ProductPriceQuerySet.as_manager()

    class Meta:
        ordering = ["product", "outlet_kind", "-valid_from"]
        constraints = [
            models.UniqueConstraint(
                fields=["product", "outlet_kind", "valid_from"],
                name="inventory_productprice_once_a_day",
            )
        ]

    def __str__(self) -> str:
        return say(
            "{product} at {outlet_kind}: {price}",
            product=self.product,
            outlet_kind=self.get_outlet_kind_display(),
            price=self.price,
        )
