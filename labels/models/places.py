"""Place profiles: what a place's cottage-food law asks of a label."""

import datetime

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from labels.statements.place_reading import read_place
from labels.statements.places import Place

__all__ = ["PlaceProfile"]


class PlaceProfileManager(models.Manager["PlaceProfile"]):
    """Finds a profile by its code, so that fixtures need no numbers."""

    def get_by_natural_key(self, code: str) -> "PlaceProfile":
        """The profile with this code."""
        return self.get(code=code)


class PlaceProfile(models.Model):
    """One place as it was read on a day; the reader's authority decides."""

    class Completeness(models.TextChoices):
        READY = "ready", _("ready")
        PARTIAL = "partial", _("partial")
        OUTLINE = "outline", _("outline")
        OWN = "own", _("written by the seller")

    code = models.SlugField(max_length=40, unique=True)
    place = models.CharField(max_length=80)
    country = models.CharField(max_length=2)
    region = models.CharField(max_length=10, blank=True)
    law_name = models.CharField(max_length=200, blank=True)
    citation = models.CharField(max_length=300, blank=True)
    authority = models.CharField(max_length=200, blank=True)
    text_date = models.CharField(max_length=200, blank=True)
    completeness = models.CharField(max_length=8, choices=Completeness)
    status = models.CharField(max_length=10)
    read_on = models.DateField()
    body = models.JSONField(
        default=dict,
        help_text=_(
            "Statement, particulars, cap, channels and the rest of the profile."
        ),
    )
    history = HistoricalRecords()

    objects = PlaceProfileManager()

    class Meta:
        ordering = ["country", "place"]
        indexes = [
            models.Index(fields=["country", "place"], name="labels_place_country"),
            models.Index(fields=["place"], name="labels_place_name"),
        ]

    def __str__(self) -> str:
        return self.place

    def get_absolute_url(self) -> str:
        """The profile's page."""
        return reverse("labels:place-detail", args=[self.code])

    def natural_key(self) -> tuple[str]:
        """Its code."""
        return (self.code,)

    def as_place(self) -> Place:
        """The profile as a value.

        Raises:
            PlaceError: it is not complete.
        """
        head = {
            field: getattr(self, field)
            for field in (
                "code",
                "place",
                "country",
                "region",
                "law_name",
                "citation",
                "authority",
                "text_date",
                "completeness",
                "status",
                "read_on",
            )
        }
        return read_place({**self.body, **head})

    def is_stale(self, *, on: datetime.date) -> bool:
        """Whether it was read more than a year ago."""
        return (on - self.read_on).days > 365
