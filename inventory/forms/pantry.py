"""Forms of the pantry: materials, suppliers and buying."""

import datetime
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from inventory import parts_text
from inventory.cup_weights import read_cups, write_cups
from inventory.forms.checking import Checked
from inventory.forms.choosing import material_field
from inventory.forms.fields import (
    AmountField,
    DayField,
    MoneyField,
    ReceiptField,
    TokenField,
    by_units,
    clean_amount,
    said,
    weigh_while_typing,
)
from inventory.forms.measured import MeasuredForm, with_unit
from inventory.measure_reader import MeasureError
from inventory.measures import Measure, rate, unit_of
from inventory.models import (
    Business,
    Material,
    Pack,
    Purchase,
    SeasonWindow,
    Supplier,
    TrimWeighing,
)
from inventory.money import format_money
from inventory.purchasing import BoughtLine
from inventory.quantities import format_amount
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


CUP_ML = Decimal("236.5882365")
"""US customary cup: half of the liquid pint of 28.875 cubic inches (NIST SP 811)."""


class LinesField(forms.CharField):
    """A short list, one entry a line."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(required=False, widget=forms.Textarea({"rows": 3}), **kwargs)

    def to_python(self, value: Any) -> str:
        text = super().to_python(value) or ""
        return "\n".join(line.strip() for line in text.splitlines() if line.strip())


class MaterialForm(Checked, MeasuredForm):
    measured = {
        "density_g_per_ml": Measure.DENSITY,
        "piece_weight_g": Measure.WEIGHT,
    }

    cups = LinesField(
        label=_("Weight of a US cup, by form"),
        help_text=by_units(
            _(
                "One a line, for example: sliced 5.9 oz. A line with only a weight is the plain cup."
            ),
            _(
                "One a line, for example: sliced 166 g. A line with only a weight is the plain cup."
            ),
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
        self.fields["cups"].label = with_unit(
            self.fields["cups"].label, unit_of(Measure.WEIGHT)
        )
        self.fields["cups"].initial = write_cups(material.cup_weights_g)
        self.fields["allergen_lines"].initial = "\n".join(
            map(parts_text.write_mark, material.allergens)
        )
        self.fields["nested_parts"].initial = parts_text.write_parts(material.parts)

    def read_back(self, name: str) -> str:
        value = self.cleaned_data.get(name)
        if name == "density_g_per_ml" and value:
            cup = format_amount(value * CUP_ML, "g")
            return say("= {cup} in a US cup", cup=cup)
        if name == "cups" and value:
            told = (
                f"{form or say('plain')}: {format_amount(Decimal(grams), 'g')}"
                for form, grams in value.items()
            )
            return f"= {', '.join(told)}"
        return ""

    def clean_cups(self) -> dict[str, str]:
        try:
            return read_cups(self.cleaned_data["cups"])
        except MeasureError as error:
            raise ValidationError(said(error)) from error

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
        help_text=by_units(
            _("As on the price list: 25 lb, 12-lb flat, 2 dozen."),
            _("As on the price list: 10 kg, 5-kg crate, 2 dozen."),
        ),
    )
    price = MoneyField(label=_("Price"))
    priced_on = DayField(initial=datetime.date.today, label=_("Priced on"))

    class Meta:
        model = Pack
        fields = ("supplier", "as_typed", "price", "priced_on", "is_current")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        quantity = clean_amount(self, self.instance.material, "as_typed")
        if quantity is not None:
            self.instance.quantity = quantity
        return cleaned


class SeasonForm(MeasuredForm):
    rates = {"price_per_kg": Measure.GOODS}
    measured = {"kg_per_week": Measure.GOODS}
    first_day = DayField(help_text=_("The year does not matter."), label=_("First day"))
    last_day = DayField(
        help_text=_("May lie before the first day: over the new year."),
        label=_("Last day"),
    )

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


class WeighingForm(MeasuredForm):
    measured = {"bought_g": Measure.WEIGHT, "usable_g": Measure.WEIGHT}
    weighed_on = DayField(initial=datetime.date.today, label=_("Weighed on"))

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


class PurchaseForm(Checked, forms.ModelForm):
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


class BoughtForm(Checked, forms.Form):
    material = material_field(label=_("Material"))
    amount = AmountField()
    cost = MoneyField(label=_("Cost of the line"))
    best_by = DayField(
        required=False,
        help_text=_("Empty: the days it keeps fresh, if known."),
        label=_("Best by"),
    )
    supplier_mark = forms.CharField(
        max_length=60, required=False, label=_("Supplier's lot mark")
    )
    origin = forms.CharField(max_length=80, required=False, label=_("Origin"))

    surroundings = "fieldset"

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        weigh_while_typing(self.fields["amount"], within=self.surroundings)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        cleaned["quantity"] = clean_amount(self, cleaned.get("material"))
        return cleaned

    def read_back(self, name: str) -> str:
        quantity, cost = (
            self.cleaned_data.get("quantity"),
            self.cleaned_data.get("cost"),
        )
        material = self.cleaned_data.get("material")
        if name != "cost" or not quantity or cost is None or material is None:
            return ""
        return _unit_price(cost / quantity, material)

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


def _unit_price(each: Decimal, material: Material) -> str:
    """The price of a kilogram, a pound or a piece, to compare with the receipt."""
    business = Business.current()
    if not material.is_edible:
        price, unit = each, say("piece")
    else:
        price, unit = rate(each * 1000, Measure.GOODS), unit_of(Measure.GOODS)
    shown = format_money(price, currency=business.currency, locale=business.locale)
    return say("= {price} a {unit}", price=shown, unit=unit)


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
