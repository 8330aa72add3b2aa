"""Forms of the instruments page."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from inventory.words import say
from production.models import Instrument
from production.reading_entry import EntryError, read_entry
from production.readings import ReadingKind


class InstrumentForm(forms.ModelForm):
    class Meta:
        model = Instrument
        fields = ["name", "kind"]


class ThermometerForm(forms.Form):
    shown = forms.CharField(
        max_length=20,
        label=_("In boiling water it shows"),
        help_text=_("Water at a rolling boil, the tip clear of the pot."),
    )

    def __init__(self, *args: Any, is_metric: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.is_metric = is_metric
        unit = "°C" if is_metric else "°F"
        self.fields["shown"].label = say(
            "In boiling water it shows ({unit})", unit=unit
        )

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if "shown" in data:
            try:
                data["read_c"] = read_entry(
                    ReadingKind.BOILING_WATER, data["shown"], is_metric=self.is_metric
                )
            except EntryError as error:
                self.add_error("shown", str(error))
        return data


class PhMeterForm(forms.Form):
    low_read = forms.DecimalField(
        label=_("In buffer 4.0 it shows"), max_digits=4, decimal_places=2
    )
    high_read = forms.DecimalField(
        label=_("In buffer 7.0 it shows"), max_digits=4, decimal_places=2
    )


class KnownValueForm(forms.Form):
    reference = forms.CharField(
        label=_("Checked against"),
        max_length=80,
        help_text=_("A check weight, distilled water, a sugar solution."),
    )
    true_value = forms.DecimalField(label=_("Its true value"), max_digits=8)
    reading = forms.DecimalField(label=_("It shows"), max_digits=8)
