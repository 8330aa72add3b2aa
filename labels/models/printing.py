"""Label sheets, what a product's label looks like, and what was printed."""

from decimal import Decimal
from typing import Any

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models.functions import Coalesce
from django.urls import reverse
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from inventory.models import Product
from inventory.words import say
from labels.sheets import Shape, Sheet, SheetError
from production.models import Batch

__all__ = ["LabelSheet", "LabelTally", "PrintRun", "ProductLabel"]

MILLIMETRES: dict[str, Any] = {"max_digits": 6, "decimal_places": 2}
MEASURES = (
    "page_width_mm",
    "page_height_mm",
    "label_width_mm",
    "label_height_mm",
    "left_margin_mm",
    "top_margin_mm",
    "column_pitch_mm",
    "row_pitch_mm",
    "corner_radius_mm",
    "offset_x_mm",
    "offset_y_mm",
)


class LabelSheetManager(models.Manager["LabelSheet"]):
    """Finds a sheet by its name, so that fixtures need no numbers."""

    def get_by_natural_key(self, name: str) -> "LabelSheet":
        """The sheet with this name."""
        return self.get(name=name)


class LabelSheet(models.Model):
    """A sheet of labels by its measures, in millimetres."""

    class Shape(models.TextChoices):
        RECTANGLE = "rectangle", _("rectangle")
        ROUND = "round", _("round (lid)")

    name = models.SlugField(max_length=60, unique=True)
    shape = models.CharField(max_length=9, choices=Shape, default=Shape.RECTANGLE)
    page_width_mm = models.DecimalField(**MILLIMETRES)
    page_height_mm = models.DecimalField(**MILLIMETRES)
    rows = models.PositiveSmallIntegerField(validators=[MinValueValidator(1)])
    columns = models.PositiveSmallIntegerField(validators=[MinValueValidator(1)])
    label_width_mm = models.DecimalField(**MILLIMETRES)
    label_height_mm = models.DecimalField(**MILLIMETRES)
    left_margin_mm = models.DecimalField(**MILLIMETRES)
    top_margin_mm = models.DecimalField(**MILLIMETRES)
    column_pitch_mm = models.DecimalField(**MILLIMETRES)
    row_pitch_mm = models.DecimalField(**MILLIMETRES)
    corner_radius_mm = models.DecimalField(default=Decimal(0), **MILLIMETRES)
    offset_x_mm = models.DecimalField(
        _("printer offset to the right (mm)"), default=Decimal(0), **MILLIMETRES
    )
    offset_y_mm = models.DecimalField(
        _("printer offset downwards (mm)"), default=Decimal(0), **MILLIMETRES
    )
    history = HistoricalRecords()

    objects = LabelSheetManager()

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        """The sheet's page."""
        return reverse("labels:sheet-detail", args=[self.name])

    def clean(self) -> None:
        """Refuse measures that cannot be true."""
        if not self.has_all_measures:
            return
        try:
            self.as_sheet()
        except SheetError as error:
            raise ValidationError(f"{error}.") from error

    def natural_key(self) -> tuple[str]:
        """Its name."""
        return (self.name,)

    @property
    def places(self) -> int:
        """Labels on one sheet."""
        return self.rows * self.columns

    @property
    def has_all_measures(self) -> bool:
        """Whether every measure was entered, true or not."""
        return all(
            getattr(self, name) is not None for name in (*MEASURES, "rows", "columns")
        )

    def as_sheet(self) -> Sheet:
        """The sheet as a value.

        Raises:
            SheetError: its measures cannot be true.
        """
        return Sheet(
            name=self.name,
            rows=self.rows,
            columns=self.columns,
            shape=Shape(self.shape),
            **{name: Decimal(getattr(self, name)) for name in MEASURES},
        )


class ProductLabel(models.Model):
    """How a product's label is to look and what the maker adds to it."""

    class Design(models.TextChoices):
        PLAIN = "plain", _("plain: flush left over a short rule")
        FRAME = "frame", _("frame: centred in a double line")
        BAND = "band", _("band: the name on a solid band")

    class Arrangement(models.TextChoices):
        WRAP = "wrap", _("one label with everything")
        FRONT = "front", _("front label; the rest goes on a back label")
        BACK = "back", _("back label with the information")
        LID = "lid", _("lid: name, date and batch")

    class CompoundStyle(models.TextChoices):
        NESTED = "nested", _("whole, its parts in brackets")
        SPREAD = "spread", _("dissolved: each part in its own place by weight")

    class Code(models.TextChoices):
        NONE = "", _("none")
        GTIN = "gtin", _("bars of the GTIN")
        LOT = "lot", _("GS1 bars of GTIN and batch")

    product = models.OneToOneField(Product, models.CASCADE, related_name="label")
    sheet = models.ForeignKey(
        LabelSheet,
        models.SET_NULL,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("usual sheet"),
    )
    design = models.CharField(max_length=20, choices=Design, default=Design.PLAIN)
    arrangement = models.CharField(
        max_length=5, choices=Arrangement, default=Arrangement.WRAP
    )
    jurisdiction = models.CharField(
        max_length=5,
        default="US",
        help_text=_("US, EU, UK, CA or AU: whose rules the text follows."),
    )
    shows_trade_name = models.BooleanField(
        _("the business's name above the name of the food"), default=True
    )
    compound_style = models.CharField(
        _("bought mixtures in the ingredient list"),
        max_length=6,
        choices=CompoundStyle,
        default=CompoundStyle.NESTED,
        help_text=_("Both ways are lawful; dissolving needs the share of every part."),
    )
    lists_water = models.BooleanField(
        _("name added water even where it boiled away"), default=False
    )
    identities = models.JSONField(
        _("name of the food in other languages"),
        default=dict,
        blank=True,
        help_text=_('By language, for example {"fr": "Confiture de fraises"}.'),
    )
    maker_note = models.CharField(max_length=160, blank=True)
    claims = models.JSONField(default=list, blank=True)
    storage_note = models.CharField(
        max_length=120, default="Refrigerate after opening.", blank=True
    )
    logo = models.FileField(
        _("logo"),
        upload_to="logos/",
        blank=True,
        help_text=_("PNG, JPEG or a simple SVG, in black."),
    )
    shows_nutrition = models.BooleanField(_("nutrition table"), default=False)
    shows_qr = models.BooleanField(_("QR code"), default=False)
    qr_text = models.CharField(
        _("text of the QR code"),
        max_length=200,
        blank=True,
        help_text=_("An address or any words; empty means the batch code."),
    )
    bars = models.CharField(
        _("bar code"),
        max_length=4,
        choices=Code,
        blank=True,
        default=Code.NONE,
        help_text=_("Needs the GTIN licensed to you in the product."),
    )
    history = HistoricalRecords()

    def __str__(self) -> str:
        return say("label of {product}", product=self.product)

    def get_absolute_url(self) -> str:
        """The page where it is changed."""
        return reverse("labels:productlabel-edit", args=[self.product.code])


class PrintRunQuerySet(models.QuerySet["PrintRun"]):
    """The questions asked of what was printed."""

    def final(self) -> "PrintRunQuerySet":
        """Labels that may go on a jar: no drafts."""
        return self.filter(is_draft=False)

    def of_batch(self, batch: Batch) -> "PrintRunQuerySet":
        """Printed for one batch."""
        return self.filter(batch=batch)

    def with_tallies(self) -> "PrintRunQuerySet":
        """Each with what became of its labels, the newest first."""
        return self.annotate(
            used=_tallied("used"),
            spoiled=_tallied("spoiled"),
            destroyed=_tallied("destroyed"),
        ).order_by("-printed_at", "-pk")


def _tallied(field: str) -> Coalesce:
    """A sum of a run's tallies: a query of its own for each row that is shown."""
    total = (
        LabelTally.objects.filter(run=models.OuterRef("pk"))
        .order_by()
        .values("run")
        .annotate(total=models.Sum(field))
        .values("total")
    )
    return Coalesce(models.Subquery(total), 0, output_field=models.IntegerField())


class PrintRun(models.Model):
    """Labels printed for one batch.

    ``count = used + spoiled + destroyed + at hand``, the first three told by
    its tallies.
    """

    batch = models.ForeignKey(Batch, models.PROTECT, related_name="print_runs")
    sheet = models.ForeignKey(LabelSheet, models.PROTECT, related_name="print_runs")
    printed_at = models.DateTimeField()
    printed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
    )
    count = models.PositiveIntegerField(
        _("labels"), validators=[MinValueValidator(1), MaxValueValidator(5000)]
    )
    start_at = models.PositiveSmallIntegerField(
        _("first place on the sheet"), default=1
    )
    is_draft = models.BooleanField(_("draft"), default=False)
    reprint_of = models.ForeignKey(
        "self",
        models.PROTECT,
        null=True,
        blank=True,
        related_name="reprints",
        help_text=_("The earlier run these labels add to or stand in for."),
    )
    reason = models.CharField(max_length=120, blank=True)
    place_code = models.CharField(max_length=40, blank=True)
    design = models.CharField(max_length=20)
    arrangement = models.CharField(
        _("which label"),
        max_length=5,
        choices=ProductLabel.Arrangement,
        default=ProductLabel.Arrangement.WRAP,
    )
    text = models.JSONField(_("the words printed"), default=dict)

    objects = PrintRunQuerySet.as_manager()

    class Meta:
        ordering = ["-printed_at", "-pk"]
        indexes = [
            models.Index(fields=["printed_at"], name="labels_printrun_at"),
            models.Index(fields=["sheet", "printed_at"], name="labels_printrun_sheet"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(count__gte=1),
                name="labels_printrun_prints_something",
                violation_error_message=_("Print at least one label."),
            )
        ]

    def __str__(self) -> str:
        return say("{count} labels for {batch}", count=self.count, batch=self.batch)

    def get_absolute_url(self) -> str:
        """The print run's page."""
        return reverse("labels:printrun-detail", args=[self.pk])

    @property
    def words(self) -> list[tuple[str, str]]:
        """What was printed: (name of the statement, its words)."""
        return [
            (role.replace("_", " ").capitalize(), said)
            for role, said in self.text.get("elements", [])
        ]

    @property
    def is_reprint(self) -> bool:
        """Whether labels for the same jars had been printed before."""
        return self.reprint_of_id is not None


class LabelTally(models.Model):
    """What became of some labels of a run; a correction is a further row."""

    run = models.ForeignKey(PrintRun, models.PROTECT, related_name="tallies")
    at = models.DateTimeField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
    )
    used = models.IntegerField(_("stuck on jars"), default=0)
    spoiled = models.IntegerField(_("spoiled in printing or sticking"), default=0)
    destroyed = models.IntegerField(_("left over and destroyed"), default=0)
    note = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["at", "pk"]
        verbose_name_plural = _("label tallies")

    def __str__(self) -> str:
        return say(
            "{used} used, {spoiled} spoiled, {destroyed} destroyed of {run}",
            used=self.used,
            spoiled=self.spoiled,
            destroyed=self.destroyed,
            run=self.run,
        )
