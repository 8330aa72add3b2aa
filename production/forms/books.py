"""Forms of the books: a price to try, the year's choices, overheads, a count."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.functional import lazy
from django.utils.translation import gettext_lazy as _

from inventory.forms.choosing import product_field
from inventory.forms.measured import MeasuredForm, MeasureField
from inventory.measures import Measure, rate_stored, unit_of
from inventory.models import Movement, ValuationYear
from inventory.stocktake import REASONS, CountLine
from inventory.words import say
from production.costing.what_if import Change
from production.models import Expense, Overhead
from production.selectors.what_if import Offer


class RangeInput(forms.NumberInput):
    """A slider; its figure is shown beside it by the page."""

    input_type = "range"


def _said_of_fruit() -> str:
    return say("price of a {unit} of fruit", unit=unit_of(Measure.GOODS))


_a_price_of_fruit = lazy(_said_of_fruit, str)


class WhatIfForm(forms.Form):
    """Sliders for one product at one outlet; left alone they show today."""

    product = product_field(label=_("Product"))
    outlet = forms.ChoiceField(label=_("Outlet"))
    price = forms.DecimalField(label=_("price of a jar"), min_value=0)
    fruit_price = forms.DecimalField(label=_a_price_of_fruit(), min_value=0)
    labour_rate = forms.DecimalField(label=_("labour rate per hour"), min_value=0)
    jars = forms.DecimalField(label=_("jars a batch fills"), min_value=Decimal("0.5"))

    def __init__(self, *args: Any, offer: Offer, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        product: Any = self.fields["product"]
        product.offer(offer.shelf, product.widget.address)
        outlet: Any = self.fields["outlet"]
        outlet.choices = [(row.pk, row.name) for row in offer.outlets]

    def set_ranges(self, today: dict[str, Decimal]) -> None:
        """Make sliders from nought to about three times what holds today."""
        steps = {
            "price": Decimal("0.05"),
            "fruit_price": Decimal("0.10"),
            "labour_rate": Decimal("0.50"),
            "jars": Decimal("0.5"),
        }
        for name, step in steps.items():
            at_least = Decimal(1) if name == "jars" else Decimal(0)
            most = max(today[name] * 3, step * 20)
            rounded = (most / step).to_integral_value() * step
            self.fields[name].widget = RangeInput(
                attrs={"min": at_least, "max": rounded, "step": step}
            )
            self.fields[name].initial = _on_step(today[name], step)

    def change(self) -> Change:
        """What was tried, as the costing wants it."""
        data = self.cleaned_data
        return Change(
            fruit_kg_price=rate_stored(data["fruit_price"], Measure.GOODS),
            hourly_rate=data["labour_rate"],
            jars=data["jars"],
        )


def _on_step(value: Decimal, step: Decimal) -> Decimal:
    return (value / step).to_integral_value() * step


class DateInput(forms.DateInput):
    """A date, picked or typed."""

    input_type = "date"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(format="%Y-%m-%d", **kwargs)


class DayForm(forms.Form):
    """One day of the past, or today."""

    on = forms.DateField(label=_("day"), widget=DateInput())


class ValuationYearForm(MeasuredForm):
    measured = {"mileage_km": Measure.DISTANCE}

    class Meta:
        model = ValuationYear
        fields = ["method", "opening_value", "mileage_km"]
        labels = {
            "method": _("how this year's stock is valued"),
            "opening_value": _("opening value, if it is not last year's closing"),
            "mileage_km": _("driven, by the car's book, if you keep one"),
        }
        help_texts = {
            "method": _("Keep it from year to year; a change must be explained."),
        }


class OverheadForm(forms.ModelForm):
    class Meta:
        model = Overhead
        fields = ["name", "amount", "years", "key", "starts_on", "ends_on"]
        widgets = {"starts_on": DateInput(), "ends_on": DateInput()}


class ExpenseForm(forms.ModelForm):
    class Meta:
        model = Expense
        fields = ["on", "kind", "text", "amount"]
        widgets = {"on": DateInput()}


def _counted(line: CountLine, name: str) -> forms.Field:
    """Pieces and jars counted, or a weight in the seller's unit."""
    asked: dict[str, Any] = {
        "required": False,
        "label": say("counted of {name}", name=name),
        "widget": forms.TextInput(attrs={"inputmode": "decimal", "size": 8}),
    }
    if line.lot.unit == "g":
        return MeasureField(measure=Measure.WEIGHT, places=3, least=Decimal(0), **asked)
    return forms.DecimalField(min_value=0, **asked)


class StocktakeForm(forms.Form):
    """One figure and one reason for every lot at every place."""

    note = forms.CharField(max_length=200, required=False, label=_("Note"))

    def __init__(self, *args: Any, lines: list[CountLine], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.lines = lines
        labels = dict(Movement.Reason.choices)
        choices = [(str(reason), labels[reason]) for reason in REASONS]
        for line in lines:
            key = count_key(line)
            name = f"{line.lot.code} {line.lot.name}"
            self.fields[f"n-{key}"] = _counted(line, name)
            self.fields[f"e-{key}"] = forms.DecimalField(
                initial=line.expected, widget=forms.HiddenInput, required=False
            )
            self.fields[f"r-{key}"] = forms.ChoiceField(
                choices=choices,
                required=False,
                label=say("why {name} differs", name=name),
            )

    def rows(self) -> list[dict[str, Any]]:
        """Each line with its own fields, for the table."""
        return [
            {
                "line": line,
                "counted": self[f"n-{count_key(line)}"],
                "expected": self[f"e-{count_key(line)}"],
                "reason": self[f"r-{count_key(line)}"],
            }
            for line in self.lines
        ]

    def counted_lines(self) -> list[CountLine]:
        """What was counted, against what the sheet said when it was opened."""
        data = self.cleaned_data
        found = []
        for line in self.lines:
            key = count_key(line)
            expected = data.get(f"e-{key}")
            found.append(
                replace(
                    line,
                    expected=line.expected if expected is None else expected,
                    counted=data.get(f"n-{key}"),
                    reason=data.get(f"r-{key}") or Movement.Reason.COUNTED,
                )
            )
        return found


def count_key(line: CountLine) -> str:
    """A word for one lot at one place."""
    return f"{line.lot.pk}-{line.place.pk if line.place else 0}"
