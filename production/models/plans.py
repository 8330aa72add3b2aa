"""Plans: what was decided to be made, and what the seller pinned or forbade."""

from decimal import Decimal

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from inventory.models import Outlet, Product
from inventory.words import say

__all__ = ["DemandOverride", "Plan", "PlanWish"]


class Plan(models.Model):
    """One solved plan, kept as it was answered."""

    class Kind(models.TextChoices):
        WEEK = "week", _("market week")
        SEASON = "season", _("season")

    kind = models.CharField(max_length=6, choices=Kind)
    starts_on = models.DateField()
    days = models.PositiveSmallIntegerField(default=7)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
    )
    accepted_at = models.DateTimeField(null=True, blank=True)
    objective = models.DecimalField(max_digits=12, decimal_places=2)
    bound = models.DecimalField(max_digits=12, decimal_places=2)
    answer = models.JSONField(default=dict)

    class Meta:
        ordering = ["-made_at"]
        indexes = [
            models.Index(
                fields=["kind", "starts_on", "-made_at"], name="production_plan_latest"
            )
        ]

    def __str__(self) -> str:
        return say(
            "{kind} from {starts_on}",
            kind=self.get_kind_display(),
            starts_on=self.starts_on,
        )

    @property
    def gap(self) -> Decimal:
        """Share by which a better plan could still earn more."""
        if not self.bound:
            return Decimal(0)
        return max(Decimal(0), (self.bound - self.objective) / abs(self.bound))


class PlanWish(models.Model):
    """A batch the seller wants or does not want in a market week."""

    class Wish(models.TextChoices):
        PIN = "pin", _("make it")
        FORBID = "forbid", _("leave it out")

    starts_on = models.DateField(_("week from"))
    product = models.ForeignKey(Product, models.CASCADE, related_name="+")
    wish = models.CharField(max_length=6, choices=Wish)
    on = models.DateField(_("on this day only"), null=True, blank=True)
    batches = models.PositiveSmallIntegerField(default=1)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["starts_on", "product"], name="production_planwish_once"
            )
        ]

    def __str__(self) -> str:
        return f"{self.get_wish_display()}: {self.product}"


class DemandOverride(models.Model):
    """A figure the seller knows better than the past days do."""

    outlet = models.ForeignKey(Outlet, models.CASCADE, related_name="+")
    product = models.ForeignKey(Product, models.CASCADE, related_name="+")
    on = models.DateField()
    mean = models.DecimalField(
        _("jars expected"), max_digits=6, decimal_places=1, default=Decimal(0)
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["outlet", "product", "on"],
                name="production_demandoverride_once",
            )
        ]

    def __str__(self) -> str:
        return say(
            "{product} at {outlet} on {on}: {mean}",
            product=self.product,
            outlet=self.outlet,
            on=self.on,
            mean=self.mean,
        )
