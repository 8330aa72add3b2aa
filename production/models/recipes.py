"""Recipes and their versions: a version is frozen once a batch was made from it."""

import datetime
from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils.functional import cached_property
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from inventory.models import Material, Product
from inventory.words import say

__all__ = ["Filling", "Recipe", "RecipeLine", "RecipeStep", "RecipeVersion"]

FRACTION = [MinValueValidator(Decimal(0)), MaxValueValidator(Decimal(1))]


class Recipe(models.Model):
    """What is cooked, whatever jar it goes into."""

    class Kind(models.TextChoices):
        JAM = "jam", _("jam or preserve")
        JELLY = "jelly", _("jelly")
        MARMALADE = "marmalade", _("marmalade")
        BUTTER = "butter", _("fruit butter")
        CONSERVE = "conserve", _("conserve")
        CHUTNEY = "chutney", _("chutney or relish")
        PEPPER_JELLY = "pepper_jelly", _("pepper jelly")
        INTERMEDIATE = "intermediate", _("made to be cooked with later")

    name = models.CharField(max_length=80, unique=True)
    slug = models.SlugField(max_length=80, unique=True)
    kind = models.CharField(max_length=12, choices=Kind)
    identity = models.CharField(
        _("name of the food on the label"),
        max_length=120,
        help_text=_('For example "Strawberry Jam".'),
    )
    makes_material = models.ForeignKey(
        Material,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="made_by",
        help_text=_(
            "Set when the recipe makes juice, purée or frozen fruit for later."
        ),
    )
    cross_contact_note = models.CharField(
        max_length=160, blank=True, help_text=_("Printed only as written here.")
    )
    retired_on = models.DateField(null=True, blank=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        """The recipe's page."""
        return reverse("production:recipe-detail", args=[self.slug])


class RecipeVersionQuerySet(models.QuerySet["RecipeVersion"]):
    """Questions asked of versions."""

    def current(self, *, on: datetime.date) -> "RecipeVersionQuerySet":
        """The version each recipe is cooked by on a day: the newest written by then."""
        newest = (
            RecipeVersion.objects.filter(
                recipe=models.OuterRef("recipe"), written_on__lte=on
            )
            .order_by("-number")
            .values("pk")[:1]
        )
        return self.filter(pk=models.Subquery(newest))


class RecipeVersion(models.Model):
    """One wording of a recipe: lines, steps, finish. Frozen by its first batch."""

    class Finish(models.TextChoices):
        SOLIDS = "solids", _("soluble solids")
        ABOVE_BOILING = "above_boiling", _("degrees above boiling water")
        TIME = "time", _("boiled for a time, as the recipe says")
        NONE = "none", _("not cooked down")

    recipe = models.ForeignKey(Recipe, models.PROTECT, related_name="versions")
    number = models.PositiveSmallIntegerField()
    written_on = models.DateField()
    frozen_at = models.DateTimeField(null=True, blank=True)
    tested_source = models.CharField(
        _("where the tested recipe comes from"), max_length=200, blank=True
    )
    finish = models.CharField(max_length=13, choices=Finish, default=Finish.SOLIDS)
    finish_solids = models.DecimalField(
        _("soluble solids at the finish"),
        max_digits=4,
        decimal_places=3,
        null=True,
        blank=True,
        validators=FRACTION,
    )
    finish_above_c = models.DecimalField(
        _("degrees above boiling water (°C)"),
        max_digits=4,
        decimal_places=1,
        null=True,
        blank=True,
    )
    headspace_mm = models.DecimalField(
        max_digits=4, decimal_places=1, default=Decimal("6.4")
    )
    process_min = models.PositiveSmallIntegerField(
        _("processing minutes at sea level"), default=10
    )
    process_kind = models.CharField(
        _("row of the processing table"),
        max_length=40,
        default="jam",
        help_text=_("Which published row of process times the recipe belongs to."),
    )
    ph_limit = models.DecimalField(
        _("highest pH allowed"),
        max_digits=3,
        decimal_places=2,
        null=True,
        blank=True,
        help_text=_("Set when the recipe's batches must be measured."),
    )
    ph_required = models.BooleanField(_("pH of every batch is measured"), default=False)
    published_jars = models.DecimalField(
        _("jars the recipe promises"),
        max_digits=6,
        decimal_places=2,
        null=True,
        blank=True,
    )
    published_jar_ml = models.DecimalField(
        _("size of those jars (ml)"),
        max_digits=7,
        decimal_places=1,
        null=True,
        blank=True,
    )
    yield_correction = models.DecimalField(
        _("learnt correction of the predicted jars"),
        max_digits=5,
        decimal_places=4,
        default=Decimal(1),
    )
    whole_only = models.BooleanField(
        _("cooked in full batches only"),
        default=False,
        help_text=_(
            "Set when the recipe does not come out in a smaller pot; the week then "
            "plans no half batch of it."
        ),
    )
    is_tax_exempt = models.BooleanField(
        _("exempt from sales tax"),
        default=False,
        help_text=(
            _(
                "Some places tax a preserve by what is in it. Ask your tax office; "
                "this holds at every outlet that has a rate."
            )
        ),
    )
    note = models.TextField(blank=True)

    objects = RecipeVersionQuerySet.as_manager()

    class Meta:
        ordering = ["recipe", "-number"]
        constraints = [
            models.UniqueConstraint(
                fields=["recipe", "number"], name="production_recipeversion_number"
            ),
            models.CheckConstraint(
                condition=models.Q(ph_limit__isnull=True)
                | models.Q(ph_limit__lte=Decimal("4.6")),
                name="production_recipeversion_ph_limit_of_acid_food",
                violation_error_message=(
                    _("A pH limit above 4.6 is not one of acid food; set 4.6 or lower.")
                ),
            ),
        ]

    def __str__(self) -> str:
        return say("{recipe}, version {number}", recipe=self.recipe, number=self.number)

    def get_absolute_url(self) -> str:
        """The version's page."""
        return reverse(
            "production:recipeversion-detail", args=[self.recipe.slug, self.number]
        )

    @cached_property
    def is_low_in_acid(self) -> bool:
        """Whether one of its materials is low in acid."""
        low = Material.Acidity.LOW
        return any(line.material.acidity == low for line in self.lines.all())


class RecipeLine(models.Model):
    """One ingredient of a version, as typed and in grams."""

    version = models.ForeignKey(RecipeVersion, models.CASCADE, related_name="lines")
    position = models.PositiveSmallIntegerField()
    material = models.ForeignKey(Material, models.PROTECT, related_name="recipe_lines")
    as_typed = models.CharField(_("quantity"), max_length=60)
    form = models.CharField(
        max_length=30, blank=True, help_text=_('For example "crushed" or "juice".')
    )
    grams = models.DecimalField(
        _("edible grams"),
        max_digits=10,
        decimal_places=2,
        validators=[MinValueValidator(Decimal("0.01"))],
    )
    step_position = models.PositiveSmallIntegerField(_("goes in at step"), default=1)
    removed_after = models.BooleanField(
        _("taken out again"),
        default=False,
        help_text=_("A spice bag or pips for pectin: not part of what is filled."),
    )

    class Meta:
        ordering = ["version", "position"]
        constraints = [
            models.UniqueConstraint(
                fields=["version", "position"], name="production_recipeline_position"
            )
        ]

    def __str__(self) -> str:
        return f"{self.as_typed} {self.material}"


class RecipeStep(models.Model):
    """One step of a version."""

    class Needs(models.TextChoices):
        NOTHING = "nothing", _("nothing")
        POT = "pot", _("a pot on a burner")
        CANNER = "canner", _("the canner")
        VESSEL = "vessel", _("a vessel to stand in")

    class Kind(models.TextChoices):
        PREPARE = "prepare", _("prepare")
        COOK = "cook", _("cook")
        STAND = "stand", _("stand")
        FILL = "fill", _("fill")
        PROCESS = "process", _("process")
        COOL = "cool", _("cool")

    version = models.ForeignKey(RecipeVersion, models.CASCADE, related_name="steps")
    position = models.PositiveSmallIntegerField()
    kind = models.CharField(max_length=8, choices=Kind, default=Kind.PREPARE)
    text = models.TextField()
    caution = models.CharField(max_length=200, blank=True)
    day_offset = models.PositiveSmallIntegerField(_("day"), default=0)
    hands_on_min = models.PositiveSmallIntegerField(_("hands-on minutes"), default=0)
    unattended_min = models.PositiveSmallIntegerField(
        _("unattended minutes"), default=0
    )
    stand_min_hours = models.PositiveSmallIntegerField(
        _("stands at least (h)"), default=0
    )
    stand_max_hours = models.PositiveSmallIntegerField(
        _("stands at most (h)"), default=0
    )
    needs = models.CharField(max_length=7, choices=Needs, default=Needs.NOTHING)

    class Meta:
        ordering = ["version", "position"]
        constraints = [
            models.UniqueConstraint(
                fields=["version", "position"], name="production_recipestep_position"
            ),
            models.CheckConstraint(
                condition=models.Q(stand_max_hours__gte=models.F("stand_min_hours")),
                name="production_recipestep_stand",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.position}. {self.text[:40]}"


class Filling(models.Model):
    """Which recipe fills the jars of a product."""

    product = models.OneToOneField(Product, models.PROTECT, related_name="filling")
    recipe = models.ForeignKey(Recipe, models.PROTECT, related_name="fillings")

    def __str__(self) -> str:
        return say(
            "{product} is filled with {recipe}",
            product=self.product,
            recipe=self.recipe,
        )
