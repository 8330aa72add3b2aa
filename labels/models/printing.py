"""Label sheets, what a product's label looks like, and what was printed."""

from decimal import Decimal

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.urls import reverse
from simple_history.models import HistoricalRecords

from inventory.models import Product
from production.models import Batch

__all__ = ["LabelSheet", "PrintRun", "ProductLabel"]

MILLIMETRES = {"max_digits": 6, "decimal_places": 2}


class LabelSheetManager(models.Manager["LabelSheet"]):
    """Finds a sheet by its name, so that fixtures need no numbers."""

    def get_by_natural_key(self, name: str) -> "LabelSheet":
        """The sheet with this name."""
        return self.get(name=name)


class LabelSheet(models.Model):
    """A sheet of labels by its measures, in millimetres."""

    class Shape(models.TextChoices):
        RECTANGLE = "rectangle", "rectangle"
        ROUND = "round", "round (lid)"

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
        "printer offset to the right (mm)", default=Decimal(0), **MILLIMETRES
    )
    offset_y_mm = models.DecimalField(
        "printer offset downwards (mm)", default=Decimal(0), **MILLIMETRES
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

    def natural_key(self) -> tuple[str]:
        """Its name."""
        return (self.name,)

    @property
    def places(self) -> int:
        """Labels on one sheet."""
        return self.rows * self.columns


class ProductLabel(models.Model):
    """How a product's label is to look and what the maker adds to it."""

    class Arrangement(models.TextChoices):
        WRAP = "wrap", "one wrap: front and information side by side"
        FRONT = "front", "front label alone"
        BACK = "back", "information label alone"
        LID = "lid", "lid"

    product = models.OneToOneField(Product, models.CASCADE, related_name="label")
    design = models.CharField(max_length=20, default="plain")
    arrangement = models.CharField(
        max_length=5, choices=Arrangement, default=Arrangement.WRAP
    )
    jurisdiction = models.CharField(
        max_length=5,
        default="US",
        help_text="US, EU, UK, CA or AU: whose rules the text follows.",
    )
    maker_note = models.CharField(max_length=160, blank=True)
    claims = models.JSONField(default=list, blank=True)
    storage_note = models.CharField(
        max_length=120, default="Refrigerate after opening."
    )
    logo = models.FileField(upload_to="logos/", blank=True)
    shows_nutrition = models.BooleanField(default=False)
    shows_qr = models.BooleanField(default=False)
    history = HistoricalRecords()

    def __str__(self) -> str:
        return f"label of {self.product}"


class PrintRun(models.Model):
    """Labels printed for one batch: ``printed = used + spoiled + destroyed + on hand``."""

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
    count = models.PositiveIntegerField(validators=[MinValueValidator(1)])
    start_at = models.PositiveSmallIntegerField("first place on the sheet", default=1)
    used = models.PositiveIntegerField(null=True, blank=True)
    spoiled = models.PositiveIntegerField(default=0)
    destroyed = models.PositiveIntegerField(default=0)
    is_draft = models.BooleanField(default=False)
    is_reprint = models.BooleanField(default=False)
    place_code = models.CharField(max_length=40)
    design = models.CharField(max_length=20)
    text = models.JSONField("the words printed", default=dict)

    class Meta:
        ordering = ["-printed_at"]

    def __str__(self) -> str:
        return f"{self.count} labels for {self.batch}"

    def get_absolute_url(self) -> str:
        """The print run's page."""
        return reverse("labels:printrun-detail", args=[self.pk])
