"""The seller: one row, the facts every sum needs."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from decimal import Decimal
from typing import Any, Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from inventory.measure_setting import figures_in

__all__ = ["Business", "ValuationYear"]

FRACTION = [MinValueValidator(Decimal(0)), MaxValueValidator(Decimal(1))]
NOT_NEGATIVE = [MinValueValidator(Decimal(0))]

# The row of the request being answered: read once, and by nobody beyond it.
_kept: ContextVar["Business | None"] = ContextVar("business", default=None)


class Business(models.Model):
    """The one seller whose book this is."""

    class Units(models.TextChoices):
        US = "us", _("US kitchen measures")
        METRIC = "metric", _("metric")

    class Canner(models.TextChoices):
        BOILING = "boiling", _("boiling-water canner")
        STEAM = "steam", _("atmospheric steam canner")

    class Valuation(models.TextChoices):
        FIFO = "fifo", _("first in, first out")
        AVERAGE = "average", _("weighted average, made anew at each receipt")

    trade_name = models.CharField(max_length=80)
    owner_name = models.CharField(max_length=80, blank=True)
    street = models.CharField(max_length=120, blank=True)
    city = models.CharField(max_length=80, blank=True)
    region = models.CharField(_("state or province"), max_length=40, blank=True)
    postal_code = models.CharField(max_length=20, blank=True)
    country = models.CharField(max_length=2, default="US")
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    registration_number = models.CharField(max_length=60, blank=True)
    county_of_issue = models.CharField(
        _("county or town that issued the number"), max_length=80, blank=True
    )
    number_replaces_address = models.BooleanField(
        _("print the number instead of the home address"),
        default=False,
        help_text=_("Only where your place allows it."),
    )
    street_in_directory = models.BooleanField(
        _("a current city or telephone directory lists the street"),
        default=False,
        help_text=_("Then the label may leave the street off (United States)."),
    )
    mailing_address = models.CharField(
        _("other postal address"), max_length=160, blank=True
    )
    website = models.URLField(blank=True)
    health_department = models.CharField(
        max_length=120,
        blank=True,
        help_text=_("Whom to ring when a jar may have made somebody ill."),
    )
    health_department_phone = models.CharField(max_length=40, blank=True)
    place_code = models.CharField(
        _("place profile"),
        max_length=40,
        blank=True,
        help_text=_("Code of the place whose cottage-food law the labels follow."),
    )
    altitude_m = models.DecimalField(
        _("altitude (m)"),
        max_digits=6,
        decimal_places=1,
        default=Decimal(0),
        validators=[MinValueValidator(Decimal(-430)), MaxValueValidator(Decimal(5000))],
    )
    time_zone = models.CharField(max_length=40, default="UTC")
    currency = models.CharField(max_length=3, default="USD")
    locale = models.CharField(max_length=12, default="en_US")
    units = models.CharField(max_length=6, choices=Units, default=Units.US)
    canner = models.CharField(max_length=7, choices=Canner, default=Canner.BOILING)
    cooks = models.PositiveSmallIntegerField(default=1)
    pots = models.PositiveSmallIntegerField(_("jam pots"), default=2)
    burners = models.PositiveSmallIntegerField(default=2)
    stand_vessels = models.PositiveSmallIntegerField(
        _("vessels for an overnight stand"), default=2
    )
    canner_heating_min = models.PositiveSmallIntegerField(
        _("minutes to bring a loaded canner to the boil"), default=25
    )
    freezer_litres = models.PositiveSmallIntegerField(
        _("freezer space (l)"), default=120
    )
    shelf_jars = models.PositiveIntegerField(_("shelf space (jars)"), default=600)
    labour_rate = models.DecimalField(
        _("labour rate per hour"),
        max_digits=8,
        decimal_places=2,
        default=Decimal("15.00"),
        validators=NOT_NEGATIVE,
    )
    power_tariff = models.DecimalField(
        _("power tariff per kWh"),
        max_digits=8,
        decimal_places=4,
        default=Decimal("0.1600"),
        validators=NOT_NEGATIVE,
    )
    burner_kw = models.DecimalField(
        _("burner power (kW)"), max_digits=5, decimal_places=2, default=Decimal("1.80")
    )
    canner_kw = models.DecimalField(
        _("canner power (kW)"), max_digits=5, decimal_places=2, default=Decimal("2.50")
    )
    label_cost = models.DecimalField(
        _("cost of one label"),
        max_digits=8,
        decimal_places=4,
        default=Decimal("0.0400"),
    )
    overhead_per_year = models.DecimalField(
        _("overheads of a year (insurance, permit, stall gear)"),
        max_digits=10,
        decimal_places=2,
        default=Decimal(0),
        validators=NOT_NEGATIVE,
    )
    jars_per_year = models.PositiveIntegerField(
        _("jars expected in a year"), default=1500, validators=[MinValueValidator(1)]
    )
    mileage_rate = models.DecimalField(
        _("cost of driving (a km)"),
        max_digits=6,
        decimal_places=4,
        default=Decimal("0.40"),
    )
    card_fee_fraction = models.DecimalField(
        _("card fee, share of the sale"),
        max_digits=6,
        decimal_places=5,
        default=Decimal("0.026"),
        validators=FRACTION,
    )
    card_fee_fixed = models.DecimalField(
        _("card fee, fixed part of a sale"),
        max_digits=6,
        decimal_places=2,
        default=Decimal("0.10"),
        validators=NOT_NEGATIVE,
    )
    card_share = models.DecimalField(
        _("share of sales paid by card"),
        max_digits=4,
        decimal_places=3,
        default=Decimal("0.5"),
        validators=FRACTION,
    )
    jars_per_sale = models.DecimalField(
        _("jars in a usual sale"),
        max_digits=4,
        decimal_places=2,
        default=Decimal("1.5"),
    )
    food_tax_note = models.CharField(
        _("how food is taxed here, as you were told"), max_length=200, blank=True
    )
    calendar_token = models.CharField(max_length=64, blank=True, editable=False)
    best_by_months = models.PositiveSmallIntegerField(
        _("months to best-by"), default=12
    )
    calibration_days = models.PositiveSmallIntegerField(
        _("days a pH-meter check is good for"), default=7
    )

    class Meta:
        verbose_name_plural = "business"
        constraints = [
            models.CheckConstraint(
                condition=models.Q(pk=1), name="inventory_business_single"
            )
        ]

    def __str__(self) -> str:
        return self.trade_name

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Write the row; whoever asks for it afterwards reads it anew."""
        super().save(*args, **kwargs)
        _kept.set(None)

    def get_absolute_url(self) -> str:
        """The page where the seller's facts are changed."""
        return reverse("inventory:business-edit")

    @classmethod
    def current(cls) -> Self:
        """The one row, or an unsaved one with the defaults for an empty book."""
        kept = _kept.get()
        if isinstance(kept, cls):
            return kept
        return cls.objects.filter(pk=1).first() or cls(pk=1, trade_name="")

    @classmethod
    @contextmanager
    def read_once(cls) -> Iterator[Self]:
        """Give the one row, and give it again to everybody who asks meanwhile.

        Figures are written in the seller's units and locale until the block ends.
        """
        business = cls.current()
        before = _kept.set(business)
        try:
            with figures_in(business.units, business.locale):
                yield business
        finally:
            _kept.reset(before)

    @property
    def is_set_up(self) -> bool:
        """Whether the seller has answered the first questions."""
        return bool(self.trade_name)

    @property
    def address_lines(self) -> list[str]:
        """Street and town as printed on a label."""
        town = " ".join(p for p in (self.region, self.postal_code) if p)
        return [
            p for p in (self.street, ", ".join(q for q in (self.city, town) if q)) if p
        ]


class ValuationYear(models.Model):
    """How the stock of one year is valued; kept so that the past does not change."""

    year = models.PositiveSmallIntegerField(unique=True)
    method = models.CharField(max_length=8, choices=Business.Valuation)
    opening_value = models.DecimalField(
        max_digits=12, decimal_places=2, null=True, blank=True
    )
    mileage_km = models.DecimalField(
        max_digits=9, decimal_places=1, null=True, blank=True
    )

    def __str__(self) -> str:
        return f"{self.year}: {self.get_method_display()}"
