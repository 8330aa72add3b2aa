"""The seller's own facts."""

from typing import Any

from django import forms

from inventory.models import Business


class WebAddressField(forms.URLField):
    """A web address; typed without a scheme it is taken as https."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(assume_scheme="https", **kwargs)


class BusinessForm(forms.ModelForm):
    class Meta:
        model = Business
        exclude = ("id",)
        field_classes = {"website": WebAddressField}
