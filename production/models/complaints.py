"""After the sale: complaints, stop-sales, recalls and drills."""

from decimal import Decimal
from typing import Self

from django.conf import settings
from django.db import models
from django.db.models.functions import Coalesce
from django.urls import reverse
from django.utils.timezone import localdate
from django.utils.translation import gettext_lazy as _

from inventory.models import Lot, Outlet, Product
from inventory.words import say
from production.models.batches import Batch

__all__ = ["Complaint", "EffectivenessCheck", "MockRecall", "Recall", "StopSale"]


class Complaint(models.Model):
    """What a buyer said about a jar."""

    class Illness(models.TextChoices):
        NO = "no", _("nobody is ill")
        YES = "yes", _("somebody is ill")
        UNKNOWN = "unknown", _("not known")

    received_at = models.DateTimeField()
    received_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
    )
    person_name = models.CharField(_("name"), max_length=80, blank=True)
    person_contact = models.CharField(_("phone or e-mail"), max_length=120, blank=True)
    erase_person_on = models.DateField(null=True, blank=True)
    bought_on = models.DateField(null=True, blank=True)
    bought_on_text = models.CharField(_("when, as told"), max_length=60, blank=True)
    outlet = models.ForeignKey(
        Outlet, models.PROTECT, null=True, blank=True, related_name="+"
    )
    product = models.ForeignKey(
        Product, models.PROTECT, null=True, blank=True, related_name="+"
    )
    code_as_told = models.CharField(_("code as told"), max_length=20, blank=True)
    batch = models.ForeignKey(
        Batch, models.PROTECT, null=True, blank=True, related_name="complaints"
    )
    symptom = models.CharField(max_length=40)
    illness = models.CharField(max_length=7, choices=Illness, default=Illness.UNKNOWN)
    description = models.TextField(blank=True)
    photo = models.FileField(upload_to="complaints/", blank=True)
    jar_can_be_had = models.BooleanField(_("the jar can be had"), default=False)
    severity = models.CharField(max_length=10, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    outcome = models.TextField(blank=True)

    class Meta:
        ordering = ["-received_at"]
        indexes = [
            models.Index(fields=["received_at"], name="production_complaint_told"),
            models.Index(
                fields=["erase_person_on"],
                name="production_complaint_erase",
                condition=models.Q(erase_person_on__isnull=False),
            ),
            models.Index(
                fields=["batch"],
                name="production_complaint_open",
                condition=models.Q(closed_at__isnull=True),
            ),
        ]

    def __str__(self) -> str:
        return say(
            "complaint of {received_at:%d %b %Y}",
            received_at=localdate(self.received_at),
        )

    def get_absolute_url(self) -> str:
        """The complaint's page."""
        return reverse("production:complaint-detail", args=[self.pk])


class StopSaleQuerySet(models.QuerySet["StopSale"]):
    """Questions asked of stop-sales."""

    def with_lot_count(self) -> Self:
        """Adds ``lot_count``: how many lots each stopped."""
        rows = StopSale.lots.through.objects.filter(stopsale=models.OuterRef("pk"))
        counted = rows.values("stopsale").annotate(models.Count("pk"))
        return self.annotate(
            lot_count=Coalesce(models.Subquery(counted.values("pk__count")), 0)
        )


class StopSale(models.Model):
    """Jars put out of reach; lifted only by the owner with a reason."""

    lots = models.ManyToManyField(Lot, related_name="stop_sales")
    suspect_lot = models.ForeignKey(
        Lot,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        help_text=_("The lot all of these share, when there is one."),
    )
    complaint = models.ForeignKey(
        Complaint, models.PROTECT, null=True, blank=True, related_name="stop_sales"
    )
    set_at = models.DateTimeField()
    set_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
    )
    reason = models.TextField()
    lifted_at = models.DateTimeField(null=True, blank=True)
    lifted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
    )
    lift_reason = models.TextField(blank=True)

    objects = StopSaleQuerySet.as_manager()

    class Meta:
        ordering = ["-set_at"]
        indexes = [
            models.Index(fields=["set_at"], name="production_stopsale_set"),
            models.Index(
                fields=["set_at"],
                name="production_stopsale_standing",
                condition=models.Q(lifted_at__isnull=True),
            ),
        ]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(lifted_at__isnull=True) | ~models.Q(lift_reason=""),
                name="production_stopsale_lift_reason",
            )
        ]

    def __str__(self) -> str:
        return say("stop-sale of {set_at:%d %b %Y}", set_at=localdate(self.set_at))

    def get_absolute_url(self) -> str:
        """The stop-sale's page."""
        return reverse("production:stopsale-detail", args=[self.pk])


class Recall(models.Model):
    """Jars asked back from those who have them."""

    stop_sale = models.ForeignKey(StopSale, models.PROTECT, related_name="recalls")
    opened_at = models.DateTimeField()
    opened_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
    )
    reason = models.TextField()
    authority_class = models.CharField(
        _("class given by the authority"), max_length=10, blank=True
    )
    authority_told_at = models.DateTimeField(null=True, blank=True)
    notice = models.JSONField(_("words of the notices"), default=dict, blank=True)
    level = models.CharField(
        _("level of the effectiveness checks"), max_length=1, default="A"
    )
    closed_at = models.DateTimeField(null=True, blank=True)
    closing_note = models.TextField(blank=True)

    class Meta:
        ordering = ["-opened_at"]
        indexes = [
            models.Index(
                fields=["opened_at"],
                name="production_recall_open",
                condition=models.Q(closed_at__isnull=True),
            )
        ]

    def __str__(self) -> str:
        return say(
            "recall of {opened_at:%d %b %Y}", opened_at=localdate(self.opened_at)
        )

    def get_absolute_url(self) -> str:
        """The recall's page."""
        return reverse("production:recall-detail", args=[self.pk])


class EffectivenessCheck(models.Model):
    """Whether one consignee got the notice and what came back."""

    recall = models.ForeignKey(Recall, models.CASCADE, related_name="checks")
    outlet = models.ForeignKey(Outlet, models.PROTECT, related_name="+")
    jars_there = models.PositiveIntegerField(default=0)
    told_at = models.DateTimeField(null=True, blank=True)
    how = models.CharField(max_length=40, blank=True)
    answered = models.BooleanField(default=False)
    jars_returned = models.PositiveIntegerField(default=0)
    jars_destroyed = models.PositiveIntegerField(default=0)
    note = models.CharField(max_length=160, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["recall", "outlet"], name="production_effectivenesscheck_once"
            )
        ]

    def __str__(self) -> str:
        return say("{outlet} for {recall}", outlet=self.outlet, recall=self.recall)


class MockRecall(models.Model):
    """One drill: a batch drawn by chance, found against the clock."""

    batch = models.ForeignKey(Batch, models.PROTECT, related_name="+")
    started_at = models.DateTimeField()
    finished_at = models.DateTimeField(null=True, blank=True)
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
    )
    made = models.PositiveIntegerField(default=0)
    found = models.PositiveIntegerField(default=0)
    unaccounted = models.IntegerField(default=0)
    result = models.JSONField(default=dict, blank=True)

    class Meta:
        ordering = ["-started_at"]
        indexes = [
            models.Index(fields=["started_at"], name="production_drill_started"),
            models.Index(
                fields=["started_at"],
                name="production_drill_running",
                condition=models.Q(finished_at__isnull=True),
            ),
        ]

    def __str__(self) -> str:
        return say("drill on {batch}", batch=self.batch)

    def get_absolute_url(self) -> str:
        """The drill's page."""
        return reverse("production:drill-detail", args=[self.pk])

    @property
    def accounted_fraction(self) -> Decimal:
        """Share of the jars made that were found."""
        return Decimal(self.found) / Decimal(self.made) if self.made else Decimal(0)
