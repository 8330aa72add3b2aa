"""Batches: what was cooked, from which lots, what was read, what came of it."""

import datetime
from decimal import Decimal

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from inventory.models import Business, JarSize, Lot, Movement, Product
from inventory.words import say
from production.instruments import ThermometerCheck
from production.models.recipes import RecipeLine, RecipeStep, RecipeVersion
from production.scaling import share_said

__all__ = [
    "Batch",
    "BatchInput",
    "BatchOutput",
    "Instrument",
    "InstrumentCheck",
    "JarWeighing",
    "KitchenDay",
    "Reading",
    "SealCheck",
    "StepRecord",
]


class KitchenDay(models.Model):
    """Hours the kitchen is free: a weekday's rule, or one date's exception."""

    weekday = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text=_("0 is Monday.")
    )
    on = models.DateField(null=True, blank=True)
    starts_at = models.TimeField(null=True, blank=True)
    minutes = models.PositiveSmallIntegerField(_("minutes free"), default=0)
    again_at = models.TimeField(_("free again from"), null=True, blank=True)
    again_minutes = models.PositiveSmallIntegerField(_("minutes free again"), default=0)
    note = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["on", "weekday"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(weekday__isnull=False, on__isnull=True)
                | models.Q(weekday__isnull=True, on__isnull=False),
                name="production_kitchenday_weekday_or_date",
            ),
            models.UniqueConstraint(
                fields=["weekday"], name="production_kitchenday_weekday"
            ),
            models.UniqueConstraint(fields=["on"], name="production_kitchenday_on"),
        ]

    def __str__(self) -> str:
        return f"{self.on or self.weekday}: {self.minutes_in_all} min"

    @property
    def minutes_in_all(self) -> int:
        """Minutes free on the day, both times together."""
        return self.minutes + (self.again_minutes if self.again_at else 0)

    @property
    def times(self) -> list[tuple[int, int]]:
        """When it is free, from minute to minute of the day; empty when closed."""
        first = (self.starts_at or datetime.time(9), self.minutes)
        both = [first, (self.again_at, self.again_minutes)]
        spans = [(at.hour * 60 + at.minute, free) for at, free in both if at and free]
        return [(begins, begins + free) for begins, free in spans]


class Batch(models.Model):
    """One kettle, or one set of kettles whose jars cannot be told apart."""

    class Status(models.TextChoices):
        PLANNED = "planned", _("planned")
        COOKING = "cooking", _("cooking")
        HELD = "held", _("held")
        RELEASED = "released", _("released")
        REJECTED = "rejected", _("rejected")
        RECALLED = "recalled", _("recalled")

    code = models.CharField(
        max_length=7,
        unique=True,
        null=True,
        blank=True,
        help_text=_("Given when cooking starts."),
    )
    version = models.ForeignKey(RecipeVersion, models.PROTECT, related_name="batches")
    product = models.ForeignKey(
        Product,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="batches",
        help_text=_("The product its jars are meant for; empty for an intermediate."),
    )
    factor = models.DecimalField(
        _("share of the tested batch"),
        max_digits=6,
        decimal_places=4,
        default=Decimal(1),
        validators=[MinValueValidator(Decimal("0.01"))],
    )
    status = models.CharField(max_length=8, choices=Status, default=Status.PLANNED)
    planned_on = models.DateField(_("first cook day"))
    made_on = models.DateField(_("day in the code"), null=True, blank=True)
    started_at = models.DateTimeField(null=True, blank=True)
    finished_at = models.DateTimeField(null=True, blank=True)
    cook = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
    )
    parent = models.ForeignKey(
        "self",
        models.PROTECT,
        null=True,
        blank=True,
        related_name="children",
        help_text=_("The batch this one cooks again."),
    )
    altitude_m = models.DecimalField(
        max_digits=6, decimal_places=1, null=True, blank=True
    )
    canner = models.CharField(max_length=7, choices=Business.Canner, blank=True)
    expected_jars = models.DecimalField(
        max_digits=7, decimal_places=2, null=True, blank=True
    )
    expected_mass_g = models.DecimalField(
        max_digits=9, decimal_places=1, null=True, blank=True
    )
    hands_on_min = models.PositiveSmallIntegerField(
        _("hands-on minutes worked"), null=True, blank=True
    )
    burner_min = models.PositiveSmallIntegerField(null=True, blank=True)
    canner_min = models.PositiveSmallIntegerField(null=True, blank=True)
    decided_at = models.DateTimeField(null=True, blank=True)
    decided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
    )
    decision_reason = models.TextField(blank=True)
    overrides = models.JSONField(
        default=list,
        blank=True,
        help_text=_("Requirements the owner set aside, each with a reason."),
    )
    ph_limit = models.DecimalField(
        max_digits=3, decimal_places=2, null=True, blank=True
    )
    ph_measured = models.DecimalField(
        max_digits=4, decimal_places=2, null=True, blank=True
    )
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["-planned_on", "-pk"]
        verbose_name_plural = "batches"
        indexes = [
            models.Index(
                fields=["status", "planned_on"], name="production_batch_status"
            ),
            models.Index(fields=["made_on"], name="production_batch_made_on"),
            models.Index(fields=["planned_on"], name="production_batch_planned"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(status="planned") | models.Q(code__isnull=False),
                name="production_batch_code_when_started",
            ),
            models.CheckConstraint(
                condition=~models.Q(status="released")
                | models.Q(ph_limit__isnull=True)
                | models.Q(
                    ph_measured__isnull=False, ph_measured__lte=models.F("ph_limit")
                ),
                name="production_batch_ph_within_limit",
            ),
            models.CheckConstraint(
                condition=models.Q(ph_limit__isnull=True)
                | models.Q(ph_limit__lte=Decimal("4.6")),
                name="production_batch_ph_limit_of_acid_food",
                violation_error_message=(
                    _("A pH limit above 4.6 is not one of acid food; set 4.6 or lower.")
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.code or 'planned'} {self.product or self.version.recipe}"

    def get_absolute_url(self) -> str:
        """The batch's page."""
        return reverse("production:batch-detail", args=[self.pk])

    @property
    def share_said(self) -> str:
        """Its share of the tested batch in words; empty for a full one."""
        return share_said(self.factor)


class BatchInput(models.Model):
    """One draw of one lot by a batch: the ledger row that took it."""

    batch = models.ForeignKey(Batch, models.PROTECT, related_name="inputs")
    movement = models.OneToOneField(
        Movement, models.PROTECT, related_name="batch_input"
    )
    line = models.ForeignKey(
        RecipeLine,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        help_text=_("Empty for jars, lids and labels."),
    )

    def __str__(self) -> str:
        return say("{lot} into {batch}", lot=self.movement.lot, batch=self.batch)

    @property
    def taken(self) -> Decimal:
        """What was drawn, in the lot's unit."""
        return -self.movement.quantity


class BatchOutput(models.Model):
    """One lot a batch made: jars of a size, or an intermediate."""

    batch = models.ForeignKey(Batch, models.PROTECT, related_name="outputs")
    lot = models.OneToOneField(Lot, models.PROTECT, related_name="batch_output")
    jar_size = models.ForeignKey(JarSize, models.PROTECT, null=True, blank=True)
    filled = models.DecimalField(
        _("jars filled, or grams"), max_digits=10, decimal_places=1
    )

    def __str__(self) -> str:
        return say("{lot} from {batch}", lot=self.lot, batch=self.batch)


class StepRecord(models.Model):
    """When a step of a batch was begun and done; kept so timers survive a reload."""

    batch = models.ForeignKey(Batch, models.CASCADE, related_name="step_records")
    step = models.ForeignKey(RecipeStep, models.PROTECT, related_name="+")
    started_at = models.DateTimeField(null=True, blank=True)
    done_at = models.DateTimeField(null=True, blank=True)
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
    )

    class Meta:
        ordering = ["step__position"]
        constraints = [
            models.UniqueConstraint(
                fields=["batch", "step"], name="production_steprecord_once"
            )
        ]

    def __str__(self) -> str:
        return say("{step} of {batch}", step=self.step, batch=self.batch)


class Instrument(models.Model):
    """A thermometer, pH meter, refractometer or scale."""

    class Kind(models.TextChoices):
        THERMOMETER = "thermometer", _("thermometer")
        PH_METER = "ph_meter", _("pH meter")
        REFRACTOMETER = "refractometer", _("refractometer")
        SCALE = "scale", _("scale")

    name = models.CharField(max_length=60, unique=True)
    kind = models.CharField(max_length=13, choices=Kind)
    retired_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class InstrumentCheck(models.Model):
    """One check of an instrument against something known."""

    instrument = models.ForeignKey(Instrument, models.PROTECT, related_name="checks")
    checked_at = models.DateTimeField()
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
    )
    reference = models.CharField(
        _("checked against"),
        max_length=80,
        help_text=_('"boiling water", "buffer 4.01", "buffer 7.00"'),
    )
    true_value = models.DecimalField(max_digits=8, decimal_places=3)
    reading = models.DecimalField(max_digits=8, decimal_places=3)
    passed = models.BooleanField()
    note = models.CharField(max_length=160, blank=True)

    class Meta:
        ordering = ["-checked_at"]
        indexes = [
            models.Index(
                fields=["instrument", "-checked_at"], name="production_check_newest"
            )
        ]

    def __str__(self) -> str:
        return f"{self.instrument} {self.checked_at:%Y-%m-%d}"

    @property
    def found(self) -> str:
        """What the check found; of a thermometer in the units of today's setting."""
        if self.instrument.kind != Instrument.Kind.THERMOMETER:
            return self.note
        return ThermometerCheck(
            checked_at=self.checked_at,
            read_c=self.reading,
            expected_c=self.true_value,
        ).verdict


class Reading(models.Model):
    """One thing measured on a batch, in the unit of its kind.

    A mistake is corrected by a newer row. Kinds are those of
    `production.readings.ReadingKind`.
    """

    class Kind(models.TextChoices):
        BOILING_WATER = "boiling_water", _("boiling water today (°C)")
        FINISH_TEMPERATURE = "finish_temperature", _("finishing temperature (°C)")
        SOLIDS = "solids", _("soluble solids (share of weight)")
        ROLLING_BOIL = "rolling_boil", _("full rolling boil (min)")
        SET_TEST = "set_test", _("set test (1 set, 0 did not)")
        FINISHED_MASS = "finished_mass", _("finished mass (g)")
        JARS_STERILE = "jars_sterile", _("jars sterilised (1 yes, 0 no)")
        FILL_TEMPERATURE = "fill_temperature", _("filling temperature (°C)")
        HEADSPACE = "headspace", _("headspace (mm)")
        PROCESS_MIN = "process_min", _("processing minutes")
        PH = "ph", _("pH")
        WATER_ACTIVITY = "water_activity", _("water activity")

    batch = models.ForeignKey(Batch, models.PROTECT, related_name="readings")
    kind = models.CharField(max_length=18, choices=Kind)
    value = models.DecimalField(max_digits=9, decimal_places=3)
    at = models.DateTimeField()
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
    )
    instrument = models.ForeignKey(
        Instrument, models.PROTECT, null=True, blank=True, related_name="readings"
    )
    is_undone = models.BooleanField(default=False)
    note = models.CharField(max_length=160, blank=True)

    class Meta:
        ordering = ["at", "pk"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.value}"


class SealCheck(models.Model):
    """The seal check of one jar lot: every jar either sealed or failed."""

    class Fate(models.TextChoices):
        REFRIGERATE = "refrigerate", _("refrigerate and use soon")
        REPROCESS = "reprocess", _("reprocess within 24 hours")
        DISCARD = "discard", _("discard")

    output = models.ForeignKey(BatchOutput, models.PROTECT, related_name="seal_checks")
    checked_at = models.DateTimeField()
    sealed = models.PositiveIntegerField()
    failed = models.PositiveIntegerField()
    fate = models.CharField(max_length=11, choices=Fate, blank=True)
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
    )
    note = models.CharField(max_length=160, blank=True)

    class Meta:
        ordering = ["-checked_at"]

    def __str__(self) -> str:
        return say(
            "{sealed} sealed, {failed} failed", sealed=self.sealed, failed=self.failed
        )


class JarWeighing(models.Model):
    """The net-contents check of one jar."""

    output = models.ForeignKey(BatchOutput, models.PROTECT, related_name="weighings")
    weighed_at = models.DateTimeField()
    gross_g = models.DecimalField(max_digits=8, decimal_places=1)
    tare_g = models.DecimalField(max_digits=8, decimal_places=1)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return say("{net_g} g net", net_g=self.net_g)

    @property
    def net_g(self) -> Decimal:
        """Net weight in grams."""
        return self.gross_g - self.tare_g
