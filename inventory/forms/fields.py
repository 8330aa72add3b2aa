"""Fields that recur: days, hours, money, whole jars, a cook's quantity."""

from decimal import Decimal
from typing import Any
from uuid import uuid4

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import FileExtensionValidator
from django.urls import reverse_lazy
from django.utils.functional import lazy
from django.utils.translation import gettext_lazy as _

from inventory.measure_setting import setting
from inventory.models import Material
from inventory.quantities import MeasureSystem, QuantityError, format_amount

__all__ = [
    "AmountField",
    "ClockField",
    "DayField",
    "JarsField",
    "MoneyField",
    "ReceiptField",
    "TokenField",
    "by_units",
    "clean_amount",
    "said",
    "weigh_while_typing",
    "weighed_text",
]


def said(error: Exception) -> str:
    """An error's sentence as shown to a person."""
    sentence = str(error)
    return f"{sentence[:1].upper()}{sentence[1:]}."


def _of_the_sellers(us: Any, metric: Any) -> str:
    return str(metric if setting().is_metric else us)


by_units = lazy(_of_the_sellers, str)
"""Of two help texts, the one that names the seller's units: ``by_units(us, metric)``."""


class DayField(forms.DateField):
    """A date, picked or typed."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault(
            "widget", forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
        )
        super().__init__(**kwargs)


class ClockField(forms.TimeField):
    """An hour of the day."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault(
            "widget", forms.TimeInput(attrs={"type": "time"}, format="%H:%M")
        )
        super().__init__(**kwargs)


class MoneyField(forms.DecimalField):
    """An amount of money, nothing or more."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("min_value", Decimal(0))
        kwargs.setdefault("decimal_places", 2)
        kwargs.setdefault("max_digits", 10)
        if "widget" not in kwargs:
            kwargs["widget"] = forms.TextInput(attrs={"inputmode": "decimal"})
            kwargs.setdefault("localize", True)
        super().__init__(**kwargs)


class JarsField(forms.IntegerField):
    """Whole jars, nothing or more."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("min_value", 0)
        kwargs.setdefault("max_value", 10_000)
        kwargs.setdefault(
            "widget", forms.NumberInput(attrs={"inputmode": "numeric", "step": "1"})
        )
        super().__init__(**kwargs)


class TokenField(forms.UUIDField):
    """A mark made with the page, so that sending it twice counts once."""

    def __init__(self) -> None:
        super().__init__(required=False, initial=uuid4, widget=forms.HiddenInput())


class ReceiptField(forms.FileField):
    """A picture or PDF of a receipt, not larger than a phone's camera makes it."""

    kinds = ("pdf", "jpg", "jpeg", "png", "webp", "heic")
    most_bytes = 10 * 1024 * 1024

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(validators=[FileExtensionValidator(self.kinds)], **kwargs)

    def clean(self, data: Any, initial: Any = None) -> Any:
        file = super().clean(data, initial)
        if file and getattr(file, "size", 0) > self.most_bytes:
            raise ValidationError(
                _("The picture is larger than 10 MB; take a smaller one.")
            )
        return file


class AmountField(forms.CharField):
    """A quantity as a cook writes it; the form weighs it by its material."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("label", _("Quantity"))
        kwargs.setdefault("max_length", 60)
        kwargs.setdefault(
            "help_text",
            by_units(
                _("As you would write it: 2 lb 4 oz, 6 cups, 3 each."),
                _("As you would write it: 1.2 kg, 250 ml, 3 each."),
            ),
        )
        kwargs.setdefault("widget", forms.TextInput(attrs={"autocomplete": "off"}))
        super().__init__(**kwargs)


def weigh_while_typing(
    field: forms.Field, *, material: Material | None = None, within: str = "form"
) -> None:
    """Let the page say what a quantity weighs before it is sent, without a reload.

    Args:
        field: the quantity's field; the answer replaces its help text.
        material: whose measures count; empty means the one chosen nearby.
        within: the element around both, where the material is chosen.
    """
    attributes = {
        "hx-get": reverse_lazy("inventory:weigh"),
        "hx-trigger": "change, keyup changed delay:500ms",
        "hx-target": "next small.help",
        "hx-include": f"closest {within}",
    }
    if material is not None:
        attributes["hx-vals"] = f'{{"material": {material.pk}}}'
        attributes["hx-include"] = "this"
    field.widget.attrs.update(attributes)


def weighed_text(quantity: Decimal, unit: str) -> str:
    """What a quantity typed comes to: in the seller's units, and metric beside it."""
    own = format_amount(quantity, unit)
    metric = format_amount(quantity, unit, system=MeasureSystem.METRIC)
    return f"= {own}" if own == metric else f"= {own} ({metric})"


def clean_amount(
    form: forms.BaseForm, material: Material | None, field: str = "amount"
) -> Decimal | None:
    """Weigh or count the quantity typed; a refusal becomes the field's error."""
    text = form.cleaned_data.get(field)
    if not text or material is None:
        return None
    try:
        return material.read_amount(text)
    except QuantityError as error:
        form.add_error(field, said(error))
        return None
