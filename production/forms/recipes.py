"""Forms of the recipe pages."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from inventory.forms.checking import Checked
from inventory.forms.choosing import ingredient_field, material_field
from inventory.forms.fields import weighed_text
from inventory.forms.measured import MeasuredForm
from inventory.measures import Measure
from inventory.quantities import QuantityError
from inventory.words import say
from production.models import Recipe, RecipeStep, RecipeVersion
from production.recipes import LineDraft, StepDraft


class RecipeForm(forms.ModelForm):
    makes_material = material_field(
        label=_("Makes a material"),
        required=False,
        help_text=_(
            "Set when the recipe makes juice, purée or frozen fruit for later."
        ),
    )

    class Meta:
        model = Recipe
        fields = ["name", "kind", "identity", "makes_material", "cross_contact_note"]


class VersionForm(Checked, MeasuredForm):
    measured = {
        "finish_above_c": Measure.DEGREES,
        "headspace_mm": Measure.LENGTH,
        "published_jar_ml": Measure.VOLUME,
    }

    class Meta:
        model = RecipeVersion
        fields = [
            "tested_source",
            "finish",
            "finish_solids",
            "finish_above_c",
            "headspace_mm",
            "process_kind",
            "process_min",
            "ph_required",
            "ph_limit",
            "published_jars",
            "published_jar_ml",
            "whole_only",
            "is_tax_exempt",
            "note",
        ]
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        wanted = {
            RecipeVersion.Finish.SOLIDS: "finish_solids",
            RecipeVersion.Finish.ABOVE_BOILING: "finish_above_c",
        }.get(data.get("finish", ""))
        if wanted and not data.get(wanted) and wanted not in self.errors:
            self.add_error(wanted, say("This finish needs its figure."))
        return data


class LineForm(Checked, forms.Form):
    material = ingredient_field(required=False, label=_("Material"))
    as_typed = forms.CharField(label=_("Quantity"), max_length=60, required=False)
    form = forms.CharField(label=_("Form"), max_length=30, required=False)
    step = forms.IntegerField(
        label=_("At step"), min_value=1, initial=1, required=False
    )
    removed_after = forms.BooleanField(label=_("Taken out again"), required=False)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        material, as_typed = data.get("material"), data.get("as_typed")
        if not material and not as_typed:
            return data
        if not (material and as_typed):
            raise forms.ValidationError(say("A line needs a material and a quantity."))
        draft = LineDraft(
            material=material,
            as_typed=as_typed,
            form=data.get("form") or "",
            step=data.get("step") or 1,
            removed_after=bool(data.get("removed_after")),
        )
        try:
            data["grams"] = draft.grams
        except QuantityError as error:
            self.add_error("as_typed", str(error))
        data["draft"] = draft
        return data

    def read_back(self, name: str) -> str:
        grams, material = (
            self.cleaned_data.get("grams"),
            self.cleaned_data.get("material"),
        )
        if name != "as_typed" or grams is None or material is None:
            return ""
        return weighed_text(grams, material.unit)


class StepForm(Checked, forms.Form):
    text = forms.CharField(
        required=False, widget=forms.Textarea(attrs={"rows": 2}), label=_("Step")
    )
    kind = forms.ChoiceField(choices=RecipeStep.Kind.choices, label=_("Kind"))
    caution = forms.CharField(max_length=200, required=False, label=_("Caution"))
    day = forms.IntegerField(label=_("Day after the first"), min_value=0, initial=0)
    hands_on_min = forms.IntegerField(label=_("Hands-on min"), min_value=0, initial=0)
    unattended_min = forms.IntegerField(
        label=_("Unattended min"), min_value=0, initial=0
    )
    stand_min_hours = forms.IntegerField(
        label=_("Stands least h"), min_value=0, initial=0
    )
    stand_max_hours = forms.IntegerField(
        label=_("Stands most h"), min_value=0, initial=0
    )
    needs = forms.ChoiceField(choices=RecipeStep.Needs.choices, label=_("Needs"))

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if not data.get("text") or self.errors:
            return data
        if data["stand_max_hours"] < data["stand_min_hours"]:
            self.add_error("stand_max_hours", say("At least as long as the least."))
            return data
        data["draft"] = StepDraft(
            text=data["text"],
            kind=data["kind"],
            caution=data["caution"],
            day=data["day"],
            hands_on_min=data["hands_on_min"],
            unattended_min=data["unattended_min"],
            stand_min_hours=data["stand_min_hours"],
            stand_max_hours=data["stand_max_hours"],
            needs=data["needs"],
        )
        return data


LineFormSet = forms.formset_factory(LineForm, extra=3, max_num=40)
StepFormSet = forms.formset_factory(StepForm, extra=2, max_num=30)


class ShareForm(forms.Form):
    share = forms.DecimalField(
        label=_("Share of the tested batch (%)"), max_digits=6, decimal_places=2
    )


def drafts(formset: Any) -> list[Any]:
    """The drafts of the rows that were filled in."""
    return [
        form.cleaned_data["draft"]
        for form in formset
        if form.cleaned_data.get("draft") is not None
    ]
