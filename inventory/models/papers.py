"""Papers that expire: registration, training, insurance, certificates."""

import datetime
from typing import Self

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from inventory.models.outlets import Outlet
from inventory.words import to_say

__all__ = ["Paper"]


class PaperQuerySet(models.QuerySet["Paper"]):
    """Questions asked of papers."""

    def in_use(self) -> Self:
        """Papers not put aside."""
        return self.filter(is_put_aside=False)

    def lapsed(self, *, on: datetime.date) -> Self:
        """Papers that have run out by a day."""
        return self.in_use().filter(expires_on__lt=on)

    def to_renew(self, *, on: datetime.date) -> Self:
        """Papers inside their time of reminding, lapsed ones included."""
        return self.in_use().filter(remind_on__lte=on)

    def needed_at(self, outlet: Outlet) -> Self:
        """Papers an outlet asks for: its own, and those of every outlet."""
        everywhere = models.Q(outlets__isnull=True)
        return self.in_use().filter(everywhere | models.Q(outlets=outlet)).distinct()


class Paper(models.Model):
    """A paper with a date on which it runs out."""

    class Kind(models.TextChoices):
        REGISTRATION = "registration", _("registration or permit")
        TRAINING = "training", _("food-handler training")
        INSURANCE = "insurance", _("insurance")
        MARKET = "market", _("market certificate")
        CALIBRATION = "calibration", _("calibration certificate")
        OTHER = "other", _("other")

    kind = models.CharField(max_length=12, choices=Kind)
    name = models.CharField(max_length=80)
    number = models.CharField(max_length=60, blank=True)
    issued_by = models.CharField(max_length=80, blank=True)
    issued_on = models.DateField(null=True, blank=True)
    expires_on = models.DateField()
    remind_days = models.PositiveSmallIntegerField(
        _("remind this many days before"), default=30
    )
    remind_on = models.DateField(editable=False)
    outlets = models.ManyToManyField(
        Outlet,
        blank=True,
        related_name="papers",
        help_text=_("Where it must be shown; none chosen means everywhere."),
    )
    file = models.FileField(upload_to="papers/", blank=True)
    note = models.TextField(blank=True)
    is_put_aside = models.BooleanField(_("put aside"), default=False)
    history = HistoricalRecords(excluded_fields=["file"])

    objects = PaperQuerySet.as_manager()

    class Meta:
        ordering = ["expires_on", "name"]
        indexes = [
            models.Index(
                fields=["is_put_aside", "expires_on"], name="inventory_paper_due"
            )
        ]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(issued_on__isnull=True)
                | models.Q(issued_on__lte=models.F("expires_on")),
                name="inventory_paper_dates",
                violation_error_message=_(
                    "A paper cannot run out before it was issued."
                ),
            )
        ]

    def __str__(self) -> str:
        return self.name

    def save(self, *args: object, **kwargs: object) -> None:
        """Keep the day of reminding with the dates it follows from."""
        self.remind_on = self.expires_on - datetime.timedelta(days=self.remind_days)
        super().save(*args, **kwargs)  # type: ignore[arg-type]

    def get_absolute_url(self) -> str:
        """The paper's page."""
        return reverse("inventory:paper-edit", args=[self.pk])

    def standing(self, *, on: datetime.date) -> str:
        """In words: lapsed, to renew, or good."""
        if self.expires_on < on:
            return to_say("lapsed")
        return to_say("to renew") if self.remind_on <= on else to_say("good")
