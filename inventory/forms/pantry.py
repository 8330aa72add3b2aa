"""Forms of the pantry: materials, suppliers and buying."""

import datetime
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from inventory import parts_text
from inventory.forms.choosing import material_field
from inventory.forms.fields import (
    AmountField,
    DayField,
    MoneyField,
    ReceiptField,
    TokenField,
    clean_amount,
    said,
    weigh_while_typing,
)
from inventory.models import (
    Material,
    Pack,
    Purchase,
    SeasonWindow,
    Supplier,
    TrimWeighing,
)
from inventory.purchasing import BoughtLine
from inventory.words import say

__all__ = [
    "LineFormSet",
    "MaterialForm",
    "OpeningForm",
    "PackForm",
    "PurchaseForm",
    "SeasonForm",
    "SupplierForm",
    "WeighingForm",
]


class LinesField(forms.CharField):
    """A short list, one entry a line."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(required=False, widget=forms.Textarea({"rows": 3}), **kwargs)

    def to_python(self, value: Any) -> str:
        text = super().to_python(value) or ""
        return "\n".join(line.strip() for line in text.splitlines() if line.strip())


class MaterialForm(forms.ModelForm):
    cups = LinesField(
        label=_("Grams in a US cup, by form"),
        help_text=_(
            "One a line, for example: sliced 166. A line with only a number is the plain cup."
        ),
    )
    allergen_lines = LinesField(
        label=_("Allergens"),
        help_text=_(
            "One a line: milk, egg, fish, crustacean, mollusc, tree_nut, peanut, wheat,"
            " soy, sesame, sulphites, celery, mustard, lupin, barley, rye, oats."
            " Name the species of nut and fish: tree_nut almond, fish anchovy."
        ),
    )
    nested_parts = forms.CharField(
        required=False,
        strip=False,
        widget=forms.Textarea({"rows": 4}),
        label=_("Parts of a compound ingredient"),
        help_text=_(
            "In the order of the supplier's label, one a line, two spaces deeper for a"
            " part of a part: soy sauce 15% [soy, wheat]"
        ),
    )

    class Meta:
        model = Material
        fields = (
            "name",
            "kind",
            "label_name",
            "density_g_per_ml",
            "piece_weight_g",
            "piece_name",
            "edible_yield",
            "solids_fraction",
            "acidity",
            "is_sweetener",
            "sulphite_mg_per_kg",
            "label_class",
            "fresh_days",
            "freezable",
            "frozen_days",
            "note",
        )
        labels = {"is_sweetener": _("Counts as a sweetener")}
        widgets = {"note": forms.Textarea({"rows": 3})}

    field_order = (
        "name",
        "kind",
        "label_name",
        "allergen_lines",
        "nested_parts",
        "cups",
        "density_g_per_ml",
        "piece_weight_g",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        material = self.instance
        self.fields["cups"].initial = "\n".join(
            f"{form} {grams}".strip() for form, grams in material.cup_weights_g.items()
        )
        self.fields["allergen_lines"].initial = "\n".join(
            map(parts_text.write_mark, material.allergens)
        )
        self.fields["nested_parts"].initial = parts_text.write_parts(material.parts)

    def clean_cups(self) -> dict[str, str]:
        weights = {}
        for line in self.cleaned_data["cups"].splitlines():
            form, _, grams = line.rpartition(" ")
            try:
                weight = Decimal(grams)
            except ArithmeticError:
                weight = Decimal(0)
            if not weight.is_finite() or weight <= 0:
                raise ValidationError(
                    say('"{line}" does not end in grams; write: sliced 166', line=line)
                )
            weights[form.strip()] = str(weight)
        return weights

    def clean_allergen_lines(self) -> list[parts_text.Mark]:
        lines = self.cleaned_data["allergen_lines"].splitlines()
        try:
            return [parts_text.read_mark(line) for line in lines]
        except parts_text.PartsTextError as error:
            raise ValidationError(said(error)) from error

    def clean_nested_parts(self) -> list[parts_text.Part]:
        try:
            return parts_text.read_parts(self.cleaned_data["nested_parts"])
        except parts_text.PartsTextError as error:
            raise ValidationError(said(error)) from error

    def save(self, commit: bool = True) -> Material:  # noqa: FBT001, FBT002  Django's
        self.instance.cup_weights_g = self.cleaned_data["cups"]
        self.instance.allergens = self.cleaned_data["allergen_lines"]
        self.instance.parts = self.cleaned_data["nested_parts"]
        material: Material = super().save(commit=commit)
        return material


class SupplierForm(forms.ModelForm):
    class Meta:
        model = Supplier
        fields = ("name", "address", "phone", "email", "lead_days", "note")
        widgets = {"note": forms.Textarea({"rows": 3})}


class PackForm(forms.ModelForm):
    as_typed = AmountField(
        label=_("Pack size"),
        help_text=_("As on the price list: 25 lb, 12-lb flat, 2 dozen."),
    )
    price = MoneyField()
    priced_on = DayField(initial=datetime.date.today)

    class Meta:
        model = Pack
        fields = ("supplier", "as_typed", "price", "priced_on", "is_current")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        quantity = clean_amount(self, self.instance.material, "as_typed")
        if quantity is not None:
            self.instance.quantity = quantity
        return cleaned


class SeasonForm(forms.ModelForm):
    first_day = DayField(help_text=_("The year does not matter."))
    last_day = DayField(help_text=_("May lie before the first day: over the new year."))

    class Meta:
        model = SeasonWindow
        fields = ("first_day", "last_day", "price_per_kg", "kg_per_week")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, day in (
            ("first_day", self.instance.start_day),
            ("last_day", self.instance.end_day),
        ):
            if day:
                year = datetime.datetime.now(tz=datetime.UTC).year
                leap = year if day != 229 else 2028
                self.fields[name].initial = datetime.date(leap, day // 100, day % 100)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        for name, field in (("first_day", "start_day"), ("last_day", "end_day")):
            if day := cleaned.get(name):
                setattr(self.instance, field, day.month * 100 + day.day)
        return cleaned


class WeighingForm(forms.ModelForm):
    weighed_on = DayField(initial=datetime.date.today)

    class Meta:
        model = TrimWeighing
        fields = ("weighed_on", "bought_g", "usable_g")
        labels = {
            "bought_g": _("Bought (g)"),
            "usable_g": _("Usable after trimming (g)"),
        }

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        bought, usable = cleaned.get("bought_g"), cleaned.get("usable_g")
        if bought is not None and usable is not None and usable > bought:
            self.add_error(
                "usable_g", say("More is usable than was bought; weigh again.")
            )
        return cleaned


class PurchaseForm(forms.ModelForm):
    token = TokenField()
    bought_on = DayField(initial=datetime.date.today, label=_("Bought on"))
    receipt = ReceiptField(
        required=False,
        label=_("Picture of the receipt"),
        help_text=_("A photograph or a PDF."),
    )
    freight = MoneyField(
        required=False,
        initial=Decimal(0),
        label=_("Freight and deposits"),
        help_text=_("Shared over the lines by their cost."),
    )

    class Meta:
        model = Purchase
        fields = ("supplier", "bought_on", "reference", "receipt", "note")
        widgets = {"note": forms.Textarea({"rows": 2})}


class BoughtForm(forms.Form):
    material = material_field()
    amount = AmountField()
    cost = MoneyField(label=_("Cost of the line"))
    best_by = DayField(
        required=False, help_text=_("Empty: the days it keeps fresh, if known.")
    )
    supplier_mark = forms.CharField(
        max_length=60, required=False, label=_("Supplier's lot mark")
    )
    origin = forms.CharField(max_length=80, required=False)

    surroundings = "fieldset"

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        weigh_while_typing(self.fields["amount"], within=self.surroundings)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        clean_amount(self, cleaned.get("material"))
        return cleaned

    def line(self) -> BoughtLine:
        """The line as the action takes it."""
        values = self.cleaned_data
        return BoughtLine(
            material=values["material"],
            as_typed=values["amount"],
            cost=values["cost"],
            best_by=values["best_by"],
            supplier_mark=values["supplier_mark"],
            origin=values["origin"],
        )


class BaseLineFormSet(forms.BaseFormSet):
    def lines(self) -> list[BoughtLine]:
        """The lines that were filled in."""
        return [form.line() for form in self.forms if form.has_changed()]

    def clean(self) -> None:
        if not any(self.errors) and not any(form.has_changed() for form in self.forms):
            raise ValidationError(say("Enter at least one line: what was bought."))


LineFormSet = forms.formset_factory(BoughtForm, formset=BaseLineFormSet, extra=4)


class OpeningForm(BoughtForm):
    surroundings = "form"
    token = TokenField()
    on = DayField(initial=datetime.date.today, label=_("Counted on"))
