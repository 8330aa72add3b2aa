"""Forms of the stall: outlets, days, packing, counting, the cash box, shops."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms
from django.forms import BoundField
from django.http import QueryDict
from django.utils.dates import WEEKDAYS
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from inventory.consignment import ShopFigures
from inventory.forms.fields import ClockField, DayField, JarsField, MoneyField
from inventory.forms.measured import MeasuredForm
from inventory.measures import Measure
from inventory.models import (
    ConsignmentVisit,
    Lot,
    MarketDay,
    Outlet,
    Product,
)

__all__ = [
    "CashForm",
    "DayFactsForm",
    "DayForm",
    "DeliveryForm",
    "OutletForm",
    "PackingForm",
    "ShopForm",
    "SoldOutForm",
    "TouchForm",
    "stepped",
]


def stepped(data: QueryDict) -> QueryDict | None:
    """The entries after a plus or minus key, when one was pressed without scripts.

    A key sends ``step`` as "field:+1"; nothing is written, the page comes back.
    """
    field, _, step = data.get("step", "").rpartition(":")
    if not field or step not in {"+1", "-1"}:
        return None
    changed = data.copy()
    try:
        number = int(changed.get(field) or 0)
    except ValueError:
        number = 0
    changed[field] = str(max(number + int(step), 0))
    return changed


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Fields of one lot or product, side by side."""

    subject: Any
    fields: Mapping[str, BoundField]


class RowsForm(forms.Form):
    """The same few figures for each of many lots or products."""

    columns: Mapping[str, type[forms.Field]] = {}
    labels: Mapping[str, str | Promise] = {}

    def __init__(self, *args: Any, subjects: Iterable[Any], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.subjects: Sequence[Any] = list(subjects)
        for subject in self.subjects:
            for column, field in self.columns.items():
                self.fields[self.key(subject, column)] = field(
                    required=False,
                    label=f"{self.labels[column]}: {self.title(subject)}",
                    initial=self.initial_of(subject, column),
                )

    def key(self, subject: Any, column: str) -> str:
        return f"{column}-{subject.pk}"

    def title(self, subject: Any) -> str:
        return str(subject)

    def initial_of(self, subject: Any, column: str) -> Any:
        """What stands in a field before anything is entered."""
        return None

    def value(self, subject: Any, column: str) -> Any:
        return self.cleaned_data.get(self.key(subject, column))

    def number(self, subject: Any, column: str) -> int:
        return self.value(subject, column) or 0

    def rows(self) -> Iterator[Row]:
        for subject in self.subjects:
            fields = {
                column: self[self.key(subject, column)] for column in self.columns
            }
            yield Row(subject=subject, fields=fields)


class OutletForm(MeasuredForm):
    measured = {"distance_km": Measure.DISTANCE}

    opens_at = ClockField(required=False, label=_("Opens at"))
    closes_at = ClockField(required=False, label=_("Closes at"))
    closed_on = DayField(required=False, label=_("Given up on"))
    weekday = forms.TypedChoiceField(
        required=False,
        label=_("Market weekday"),
        choices=[("", _("none")), *WEEKDAYS.items()],
        coerce=int,
        empty_value=None,
    )

    class Meta:
        model = Outlet
        fields = (
            "name",
            "kind",
            "weekday",
            "opens_at",
            "closes_at",
            "day_fee",
            "commission",
            "sales_tax",
            "takes_cards",
            "distance_km",
            "hours",
            "table_jars",
            "min_life_fraction",
            "contact",
            "phone",
            "address",
            "closed_on",
        )
        help_texts = {
            "commission": _("As a share of one: 0.30 for thirty per cent."),
            "sales_tax": _(
                "As a share of one: 0.06875. Ask your tax office what applies."
            ),
        }


class DayForm(forms.Form):
    outlet = forms.ModelChoiceField(
        Outlet.objects.filter(closed_on=None, kind__in=["market", "gate", "gifts"]),
        label=_("Outlet"),
    )
    on = DayField(label=_("Day"))


class DayFactsForm(MeasuredForm):
    """What the day cost and how it was, for comparing outlets."""

    measured = {"distance_km": Measure.DISTANCE}

    class Meta:
        model = MarketDay
        fields = ("day_fee", "distance_km", "hours", "weather", "note")
        widgets = {"note": forms.Textarea({"rows": 3})}
        labels = {
            "day_fee": _("Fee of the day"),
            "distance_km": _("Driven there and back (km)"),
            "hours": _("Hours, the drive included"),
        }
        help_texts = {"weather": _("In a word: sun, rain, heat, wind.")}


class PackingForm(RowsForm):
    """Jars to pack of each product."""

    columns = {"jars": JarsField}
    labels: Mapping[str, str | Promise] = {"jars": _("Jars to pack")}

    def initial_of(self, subject: Product, column: str) -> int:
        return subject.packed  # type: ignore[attr-defined, no-any-return]  # annotated

    def wanted(self) -> dict[Product, int]:
        """Jars of each product whose figure was changed."""
        return {
            product: self.number(product, "jars")
            for product in self.subjects
            if self.key(product, "jars") in self.changed_data
        }


class SoldOutForm(forms.Form):
    product = forms.ModelChoiceField(Product.objects.all(), widget=forms.HiddenInput())
    at = ClockField(required=False, label=_("Sold out at"))


class TouchForm(forms.Form):
    lot = forms.ModelChoiceField(
        Lot.objects.filter(product__isnull=False), widget=forms.HiddenInput()
    )
    reason = forms.CharField(max_length=10, label=_("Reason"))


class CashForm(forms.Form):
    float_in = MoneyField(label=_("Float in the morning"))
    counted = MoneyField(label=_("Cash counted, the float included"))
    card = MoneyField(
        label=_("Total of the card reader"), required=False, initial=Decimal(0)
    )
    paid_out = MoneyField(
        label=_("Paid out of the box"), required=False, initial=Decimal(0)
    )
    float_out = MoneyField(
        label=_("Float kept for the next day"),
        required=False,
        help_text=_("Empty: the same again."),
    )

    def figures(self) -> dict[str, Any]:
        """The entries as the action takes them."""
        values = dict(self.cleaned_data)
        for name in ("card", "paid_out"):
            values[name] = values[name] or Decimal(0)
        return values


class ShopForm(RowsForm):
    """A visit: what was found of each lot there, and what is newly left."""

    columns = {
        "sold": JarsField,
        "returned": JarsField,
        "still_there": JarsField,
        "left": JarsField,
        "price": MoneyField,
    }
    labels: Mapping[str, str | Promise] = {
        "sold": _("Sold"),
        "returned": _("Taken home"),
        "still_there": _("Still there"),
        "left": _("Newly left"),
        "price": _("Shelf price"),
    }
    on = DayField(label=_("Day of the visit"))
    commission = forms.DecimalField(
        min_value=0,
        max_value=1,
        decimal_places=4,
        label=_("Commission, share of the price"),
    )
    note = forms.CharField(
        required=False, widget=forms.Textarea({"rows": 2}), label=_("Note")
    )

    def __init__(
        self, *args: Any, outlet: Outlet, prices: Mapping[int, Decimal], **kwargs: Any
    ) -> None:
        self.outlet = outlet
        self.prices = prices
        super().__init__(*args, **kwargs)

    def initial_of(self, subject: Lot, column: str) -> Any:
        if column == "price":
            return self.prices.get(subject.product_id or 0)
        return None

    def visit(self) -> ConsignmentVisit:
        """The visit as the action takes it."""
        values = self.cleaned_data
        return ConsignmentVisit(
            outlet=self.outlet,
            on=values["on"],
            commission=values["commission"],
            note=values["note"],
        )

    def figures(self) -> dict[Lot, ShopFigures]:
        """One entry for each lot that was there or is newly left."""
        return {
            lot: ShopFigures(
                sold=self.number(lot, "sold"),
                returned=self.number(lot, "returned"),
                still_there=self.number(lot, "still_there"),
                left=self.number(lot, "left"),
                unit_price=self.value(lot, "price"),
            )
            for lot in self.subjects
            if lot.balance_here or self.number(lot, "left")
        }


class DeliveryForm(RowsForm):
    """Jars sold outright to a shop, lot by lot."""

    columns = {"jars": JarsField}
    labels: Mapping[str, str | Promise] = {"jars": _("Jars delivered")}
    on = DayField(label=_("Day of the delivery"))

    def jars(self) -> dict[Lot, int]:
        """Jars of each lot delivered."""
        return {
            lot: self.number(lot, "jars")
            for lot in self.subjects
            if self.number(lot, "jars")
        }
