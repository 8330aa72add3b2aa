"""Materials: what can be bought or made to cook with, and who sells it."""

import datetime
from decimal import Decimal
from typing import Self

from django.apps import apps
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models.functions import Coalesce
from django.urls import reverse
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from inventory.quantities import MaterialMeasures, read_quantity, to_grams, to_pieces
from inventory.words import say

__all__ = ["Material", "Pack", "SeasonWindow", "Supplier", "TrimWeighing"]

FRACTION = [MinValueValidator(Decimal(0)), MaxValueValidator(Decimal(1))]
POSITIVE = [MinValueValidator(Decimal("0.0001"))]


class Supplier(models.Model):
    """A farm, a shop or a wholesaler that material is bought from."""

    name = models.CharField(max_length=80, unique=True)
    address = models.CharField(max_length=160, blank=True)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    lead_days = models.PositiveSmallIntegerField(
        _("days from order to delivery"), default=0
    )
    note = models.TextField(blank=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        """The supplier's page."""
        return reverse("inventory:supplier-detail", args=[self.pk])


class MaterialQuerySet(models.QuerySet["Material"]):
    """Questions asked of materials."""

    def with_home_balance(self) -> Self:
        """Adds ``at_home``: grams or pieces of all its lots at home."""
        lots = apps.get_model("inventory", "Lot")._default_manager.filter(
            material=models.OuterRef("pk"), movements__place__isnull=True
        )
        total = (
            lots.order_by()
            .values("material")
            .annotate(total=models.Sum("movements__quantity"))
            .values("total")
        )
        return self.annotate(
            at_home=Coalesce(
                models.Subquery(total),
                Decimal(0),
                output_field=models.DecimalField(max_digits=14, decimal_places=3),
            )
        )

    def in_season(self, *, on: datetime.date) -> Self:
        """Fruit one of whose season windows is open on a day (may wrap the new year)."""
        today = on.month * 100 + on.day
        plain = models.Q(seasons__start_day__lte=today, seasons__end_day__gte=today)
        wraps = models.Q(seasons__start_day__gt=models.F("seasons__end_day")) & (
            models.Q(seasons__start_day__lte=today)
            | models.Q(seasons__end_day__gte=today)
        )
        return self.filter(plain | wraps).distinct()


class Material(models.Model):
    """Fruit, another ingredient, or packaging.

    Everything edible is held in grams, everything counted in pieces.
    """

    class Kind(models.TextChoices):
        FRUIT = "fruit", _("fruit")
        INGREDIENT = "ingredient", _("other ingredient")
        PACKAGING = "packaging", _("packaging")

    class Acidity(models.TextChoices):
        ACID = "acid", _("acid")
        LOW = "low", _("low in acid")
        UNKNOWN = "", _("not known")

    name = models.CharField(max_length=80, unique=True)
    kind = models.CharField(max_length=10, choices=Kind)
    label_name = models.CharField(
        _("name on the label"),
        max_length=120,
        blank=True,
        help_text=_("The common name by law; empty means the same as the name."),
    )
    parts = models.JSONField(
        _("parts of a compound ingredient"),
        default=list,
        blank=True,
        help_text=(
            _(
                'A list of {"name", "share" (0-1, may be null), "allergens", '
                '"parts"}, in the order of the supplier\'s label.'
            )
        ),
    )
    allergens = models.JSONField(
        default=list,
        blank=True,
        help_text=_('A list of {"kind": "tree_nut", "species": "almond"}.'),
    )
    sulphite_mg_per_kg = models.DecimalField(
        _("sulphites (mg/kg as SO2)"),
        max_digits=8,
        decimal_places=1,
        null=True,
        blank=True,
    )
    label_class = models.CharField(
        _("class on the label"),
        max_length=40,
        blank=True,
        help_text=_(
            "For example gelling agent, acidity regulator, colour, processing aid."
        ),
    )
    density_g_per_ml = models.DecimalField(
        _("density (g/ml)"),
        max_digits=7,
        decimal_places=4,
        null=True,
        blank=True,
        validators=POSITIVE,
    )
    piece_weight_g = models.DecimalField(
        _("weight of one piece (g)"),
        max_digits=9,
        decimal_places=2,
        null=True,
        blank=True,
        validators=POSITIVE,
    )
    piece_name = models.CharField(max_length=30, blank=True)
    cup_weights_g = models.JSONField(
        _("grams in a US cup by form"),
        default=dict,
        blank=True,
        help_text=_('For example {"crushed": "232", "sliced": "166"}.'),
    )
    edible_yield = models.DecimalField(
        _("edible share of the bought weight"),
        max_digits=5,
        decimal_places=4,
        default=Decimal(1),
        validators=FRACTION,
    )
    solids_fraction = models.DecimalField(
        _("soluble solids (share of weight)"),
        max_digits=5,
        decimal_places=4,
        null=True,
        blank=True,
        validators=FRACTION,
    )
    acidity = models.CharField(max_length=4, choices=Acidity, blank=True, default="")
    is_sweetener = models.BooleanField(default=False)
    fresh_days = models.PositiveSmallIntegerField(
        _("days it keeps fresh"), null=True, blank=True
    )
    freezable = models.BooleanField(default=False)
    frozen_days = models.PositiveSmallIntegerField(
        _("days it keeps frozen"), null=True, blank=True
    )
    nutrition = models.JSONField(
        _("composition per 100 g"),
        default=dict,
        blank=True,
        help_text=_("Energy and nutrients with their source."),
    )
    note = models.TextField(blank=True)
    history = HistoricalRecords()

    objects = MaterialQuerySet.as_manager()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(edible_yield__gt=0, edible_yield__lte=1),
                name="inventory_material_edible_yield",
            ),
            models.CheckConstraint(
                condition=models.Q(solids_fraction__isnull=True)
                | models.Q(solids_fraction__gte=0, solids_fraction__lte=1),
                name="inventory_material_solids_fraction",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        """The material's page."""
        return reverse("inventory:material-detail", args=[self.pk])

    @property
    def is_edible(self) -> bool:
        """Whether it is weighed (grams) rather than counted (pieces)."""
        return self.kind != self.Kind.PACKAGING

    @property
    def unit(self) -> str:
        """Unit of every quantity of this material: "g" or "pieces"."""
        return "g" if self.is_edible else "pieces"

    def as_measures(self) -> MaterialMeasures:
        """What its cups and pieces weigh, for reading a cook's quantity."""
        return MaterialMeasures(
            name=self.name,
            density_g_per_ml=self.density_g_per_ml,
            piece_g=self.piece_weight_g,
            named_g={
                f"cup {form}".strip(): Decimal(str(grams))
                for form, grams in self.cup_weights_g.items()
            },
        )

    def read_amount(self, text: str) -> Decimal:
        """A cook's quantity of this material, in its own unit (g or pieces)."""
        quantity = read_quantity(text)
        measures = self.as_measures()
        if self.is_edible:
            return to_grams(quantity, measures=measures)
        return to_pieces(quantity, measures=measures)

    @property
    def printed_name(self) -> str:
        """Name on the label."""
        return self.label_name or self.name


class SeasonWindow(models.Model):
    """When a fruit can be had; a window may wrap over the new year.

    Days are month x 100 + day (``611`` is 11 June).
    """

    material = models.ForeignKey(Material, models.CASCADE, related_name="seasons")
    start_day = models.PositiveSmallIntegerField()
    end_day = models.PositiveSmallIntegerField()
    price_per_kg = models.DecimalField(
        _("usual price (a kg)"), max_digits=8, decimal_places=2, null=True, blank=True
    )
    kg_per_week = models.DecimalField(
        _("most that can be had in a week (kg)"),
        max_digits=8,
        decimal_places=1,
        null=True,
        blank=True,
    )

    class Meta:
        ordering = ["material", "start_day"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(start_day__gte=101, start_day__lte=1231)
                & models.Q(end_day__gte=101, end_day__lte=1231),
                name="inventory_seasonwindow_days",
                violation_error_message=(
                    _("A day is month and day as one number, from 101 to 1231.")
                ),
            )
        ]

    def __str__(self) -> str:
        return f"{self.material} {self.start_text}–{self.end_text}"

    @property
    def start_text(self) -> str:
        """First day as "11 Jun"."""
        return _day_text(self.start_day)

    @property
    def end_text(self) -> str:
        """Last day as "11 Jun"."""
        return _day_text(self.end_day)

    def is_open(self, on: datetime.date) -> bool:
        """Whether the fruit can be had on a day."""
        today = on.month * 100 + on.day
        if self.start_day <= self.end_day:
            return self.start_day <= today <= self.end_day
        return today >= self.start_day or today <= self.end_day


def _day_text(day: int) -> str:
    date = datetime.date(2000, day // 100, day % 100)
    return say("{day} {month:%b}", day=date.day, month=date)


class Pack(models.Model):
    """A supplier's offer: so much of a material for such a price, since a day."""

    material = models.ForeignKey(Material, models.CASCADE, related_name="packs")
    supplier = models.ForeignKey(Supplier, models.PROTECT, related_name="packs")
    as_typed = models.CharField(_("pack size as written"), max_length=40)
    quantity = models.DecimalField(
        _("quantity in grams or pieces"),
        max_digits=12,
        decimal_places=3,
        validators=POSITIVE,
    )
    price = models.DecimalField(
        max_digits=10, decimal_places=2, validators=[MinValueValidator(Decimal(0))]
    )
    priced_on = models.DateField()
    is_current = models.BooleanField(_("still on offer"), default=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["material", "-priced_on"]

    def __str__(self) -> str:
        return say(
            "{material}, {as_typed} from {supplier}",
            material=self.material,
            as_typed=self.as_typed,
            supplier=self.supplier,
        )

    @property
    def unit_price(self) -> Decimal:
        """Price of one gram or piece, unrounded."""
        return self.price / self.quantity


class TrimWeighing(models.Model):
    """What this kitchen weighed before and after trimming."""

    material = models.ForeignKey(
        Material, models.CASCADE, related_name="trim_weighings"
    )
    weighed_on = models.DateField()
    bought_g = models.DecimalField(max_digits=10, decimal_places=1, validators=POSITIVE)
    usable_g = models.DecimalField(max_digits=10, decimal_places=1, validators=POSITIVE)

    class Meta:
        ordering = ["-weighed_on"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(usable_g__lte=models.F("bought_g")),
                name="inventory_trimweighing_usable",
            )
        ]

    def __str__(self) -> str:
        return say(
            "{material} on {weighed_on}",
            material=self.material,
            weighed_on=self.weighed_on,
        )
