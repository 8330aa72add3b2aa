"""Fields of measured figures: shown and typed in the seller's unit, kept in the book's.

The label names the unit a number alone is in; a number with another unit is read in
that one ("220 F", "104.5 C"). A form row that is sent back unchanged keeps the very
figure the book held, because `scale_text` writes one that reads back to it.
"""

import re
from collections.abc import Mapping
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from inventory.forms.fields import said
from inventory.measure_reader import MeasureError, read_measure, read_number
from inventory.measures import (
    Measure,
    format_measure,
    rate_stored,
    rate_text,
    scale_text,
    unit_of,
)
from inventory.words import say

__all__ = ["MeasureField", "MeasuredForm", "RateField", "with_unit"]

UNIT_AT_THE_END = re.compile(r"(?:\s*\([^()]*\)|\s+(?:mm|km|ml|g|m))\s*$")


def with_unit(label: Any, unit: str) -> str:
    """A label with the seller's unit in place of the one it was written with."""
    return f"{UNIT_AT_THE_END.sub('', str(label))} ({unit})"


class MeasureField(forms.CharField):
    """A measured figure; cleaned to the unit it is stored in.

    Attributes:
        measure: what it is a figure of.
        places: decimals the book keeps.
        least: smallest figure taken, in the stored unit.
        most: largest figure taken, in the stored unit.
    """

    def __init__(
        self,
        *,
        measure: Measure,
        places: int = 1,
        least: Decimal | None = None,
        most: Decimal | None = None,
        **kwargs: Any,
    ) -> None:
        self.measure, self.places, self.least, self.most = measure, places, least, most
        keys = "text" if measure is Measure.LENGTH else "decimal"  # 1/4 in
        kwargs.setdefault(
            "widget",
            forms.TextInput(attrs={"inputmode": keys, "autocomplete": "off"}),
        )
        super().__init__(empty_value=None, **kwargs)

    @property
    def unit(self) -> str:
        """The unit a number alone is in."""
        return unit_of(self.measure)

    def get_bound_field(self, form: forms.BaseForm, field_name: str) -> Any:
        bound = super().get_bound_field(form, field_name)
        bound.label = with_unit(bound.label, self.unit)
        return bound

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, Decimal | int | float):
            return self.written(Decimal(str(value)))
        return value

    def to_python(self, value: Any) -> Any:
        if isinstance(value, Decimal):
            return value
        text = super().to_python(value)
        if text is None:
            return None
        try:
            stored = self.read(text)
        except MeasureError as error:
            raise ValidationError(said(error)) from error
        step = Decimal(1).scaleb(-self.places)
        return stored.quantize(step, ROUND_HALF_UP)

    def validate(self, value: Any) -> None:
        super().validate(value)
        if value is None:
            return
        if self.least is not None and value < self.least:
            raise ValidationError(
                say("Enter {least} or more.", least=self.shown(self.least))
            )
        if self.most is not None and value > self.most:
            raise ValidationError(
                say("Enter {most} or less.", most=self.shown(self.most))
            )

    def run_validators(self, value: Any) -> None:
        """Nothing more: the validators of text do not fit a figure."""

    def has_changed(self, initial: Any, data: Any) -> bool:
        if isinstance(initial, Decimal | int):
            initial = self.written(Decimal(initial))
        return super().has_changed(initial, data)

    def read(self, text: str) -> Decimal:
        """The stored figure of what was typed."""
        return read_measure(text, self.measure)

    def written(self, stored: Decimal) -> str:
        """The stored figure as the input shows it."""
        return scale_text(stored, self.measure, places=self.places)

    def shown(self, stored: Decimal) -> str:
        """The stored figure with its unit, for a sentence."""
        return format_measure(stored, self.measure)


class RateField(MeasureField):
    """Money by the seller's unit, stored by the book's: a lb, kept a kg."""

    @property
    def unit(self) -> str:
        return say("a {unit}", unit=unit_of(self.measure))

    def read(self, text: str) -> Decimal:
        number, unit = read_number(text)
        if unit:
            raise MeasureError(
                say('"{typed}" is no amount of money; enter a number', typed=text)
            )
        return rate_stored(number, self.measure)

    def written(self, stored: Decimal) -> str:
        return rate_text(stored, self.measure, places=self.places)

    def shown(self, stored: Decimal) -> str:
        return f"{self.written(stored)} {self.unit}"


class MeasuredForm(forms.ModelForm):
    """A form of one row whose figures follow the seller's units.

    Attributes:
        measured: the fields that are measured, and what they are figures of.
        rates: the fields that are money by a measure.
    """

    measured: Mapping[str, Measure] = {}
    rates: Mapping[str, Measure] = {}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for kind, fields in ((MeasureField, self.measured), (RateField, self.rates)):
            for name, measure in fields.items():
                if name in self.fields:
                    self.fields[name] = self._in_units(name, kind, measure)

    def _in_units(
        self, name: str, kind: type[MeasureField], measure: Measure
    ) -> MeasureField:
        written = self.fields[name]
        column = self._meta.model._meta.get_field(name)
        return kind(
            measure=measure,
            places=getattr(column, "decimal_places", None) or 0,
            label=written.label,
            help_text=written.help_text,
            required=written.required,
            initial=written.initial,
        )
