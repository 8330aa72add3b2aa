"""The seller's own facts."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from inventory.forms.fields import ClockField, DayField, JarsField, MoneyField
from inventory.forms.measured import MeasuredForm
from inventory.measures import Measure
from inventory.models import Business


class WebAddressField(forms.URLField):
    """A web address; typed without a scheme it is taken as https."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(assume_scheme="https", **kwargs)


OWN = {
    "trade_name": "organization",
    "owner_name": "name",
    "street": "address-line1",
    "city": "address-level2",
    "region": "address-level1",
    "postal_code": "postal-code",
    "phone": "tel",
    "email": "email",
    "website": "url",
}
"""What a phone may fill in, as named by HTML's autocomplete tokens (WCAG 1.3.5)."""


class BusinessForm(MeasuredForm):
    measured = {"altitude_m": Measure.ALTITUDE, "freezer_litres": Measure.SPACE}
    rates = {"mileage_rate": Measure.DISTANCE}

    class Meta:
        model = Business
        fields = [
            f.name for f in Business._meta.fields if f.editable and f.name != "id"
        ]
        field_classes = {"website": WebAddressField}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, token in OWN.items():
            if name in self.fields:
                self.fields[name].widget.attrs["autocomplete"] = token


class SampleForm(forms.Form):
    """One field of every kind, for the page of components; it is never saved."""

    name = forms.CharField(help_text=_("As it stands on the label."), label=_("Name"))
    fruit = forms.CharField(label=_("Fruit"))
    jars = JarsField(label=_("Jars"))
    price = MoneyField(label=_("Price"), required=False)
    day = DayField(label=_("Day"), required=False)
    hour = ClockField(label=_("Hour"), required=False)
    kind = forms.ChoiceField(
        choices=[("", "—"), ("jam", _("jam"))], required=False, label=_("Kind")
    )
    note = forms.CharField(
        widget=forms.Textarea({"rows": 2}), required=False, label=_("Note")
    )
    kept = forms.BooleanField(label=_("Kept cold"), required=False)
    closed = forms.CharField(
        disabled=True, required=False, initial=_("cannot change"), label=_("Closed")
    )
