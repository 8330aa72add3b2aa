"""Forms of the prediction pages: the kitchen today, and a recipe not in the book."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from inventory.forms.fields import by_units
from inventory.forms.measured import MeasureField
from inventory.measures import Measure
from inventory.words import say
from production.science.atmosphere import METRES_PER_FOOT
from production.science.boiling import Kitchen
from production.science.kinds import ProductKind
from production.science.prediction import BatchInput
from production.science.processing import Canner

CANNERS = [
    (Canner.BOILING_WATER.value, _("boiling-water canner")),
    (Canner.STEAM.value, _("atmospheric steam canner")),
]
HUNDRED = Decimal(100)


class TodayForm(forms.Form):
    altitude = MeasureField(
        measure=Measure.ALTITUDE, label=_("Altitude"), required=False
    )
    reading = MeasureField(
        measure=Measure.TEMPERATURE,
        places=3,
        label=_("Boiling water reads"),
        required=False,
        help_text=_("On your own thermometer, today; empty if not read."),
    )
    canner = forms.ChoiceField(label=_("Canner"), choices=CANNERS, required=False)
    share = forms.DecimalField(
        label=_("Share of the tested batch (%)"), required=False, initial=100
    )

    def asked(self, batch: BatchInput) -> BatchInput:
        """The batch in the kitchen that this form describes.

        Raises:
            ScienceError: a figure is impossible.
            ScalingError: more than the tested batch.
        """
        if not self.is_bound:
            return batch
        data: dict[str, Any] = self.cleaned_data
        kitchen = self._kitchen(data, batch.kitchen)
        canner = Canner(data["canner"]) if data["canner"] else batch.process.canner
        return replace(
            batch,
            kitchen=kitchen,
            process=replace(batch.process, canner=canner),
            factor=(data["share"] or HUNDRED) / HUNDRED,
        )

    def _kitchen(self, data: dict[str, Any], own: Kitchen | None) -> Kitchen | None:
        altitude_m, reading = data["altitude"], data["reading"]
        altitude = (
            altitude_m / METRES_PER_FOOT.value if altitude_m is not None else None
        )
        if altitude is None and own is not None:
            altitude = own.altitude_ft
        if altitude is None and reading is None:
            return None
        return Kitchen(altitude_ft=altitude, reading_c=reading)


class RecipeTextForm(TodayForm):
    name = forms.CharField(label=_("Name"), max_length=80)
    kind = forms.ChoiceField(
        label=_("Kind"),
        choices=lambda: [
            ("", say("by its name")),
            *((kind.value, kind.said) for kind in ProductKind),
        ],
        required=False,
    )
    ingredients = forms.CharField(
        label=_("Ingredients, one a line"),
        max_length=8000,
        widget=forms.Textarea(
            attrs={
                "rows": 8,
                "placeholder": "5 1/2 cups crushed strawberries\n1 box powdered pectin\n8 cups sugar",
            }
        ),
        help_text=_(
            "As a cook writes them: amount, measure, material, and what was done to it."
        ),
    )
    finish = forms.CharField(
        label=_("Finish"),
        max_length=120,
        required=False,
        help_text=by_units(
            _(
                "8 F above boiling water, 65 % soluble solids, full rolling boil 1 minute."
            ),
            _(
                "4.5 C above boiling water, 65 % soluble solids, full rolling boil 1 minute."
            ),
        ),
    )
    promised = forms.CharField(
        label=_("Jars it promises"),
        max_length=80,
        required=False,
        help_text=_("For example 7 to 8 half-pints."),
    )

    field_order = ["name", "kind", "ingredients", "finish", "promised"]

    def document(self) -> dict[str, Any]:
        """The recipe as the recipe file would hold it."""
        data = self.cleaned_data
        lines = [line.strip(" -*\t") for line in data["ingredients"].splitlines()]
        return {
            "name": data["name"],
            "kind": data["kind"] or None,
            "ingredients": [line for line in lines if line],
            "finish": data["finish"],
            "yield": data["promised"],
        }
