"""What the week page asks: a wish, and a figure of one's own for a demand."""

import datetime

from django import forms
from django.utils.translation import gettext_lazy as _

from inventory.forms.choosing import product_field
from inventory.models import Product
from production.forms.choosing import address_of, offered_products

__all__ = ["DemandForm", "HoursForm", "WishForm"]


class WishForm(forms.Form):
    """Make it, leave it out, or as the plan likes."""

    PIN, FORBID, LET_BE = "pin", "forbid", "let_be"
    WISHES = (
        (PIN, _("make it")),
        (FORBID, _("leave it out")),
        (LET_BE, _("as the plan likes")),
    )

    product = product_field(label=_("Product"))
    wish = forms.ChoiceField(label=_("Wish"), choices=WISHES)
    batches = forms.IntegerField(
        label=_("Batches"), min_value=1, max_value=6, initial=1, required=False
    )
    on = forms.DateField(
        label=_("On this day only"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}),
    )

    def __init__(
        self, *args: object, first: datetime.date, days: int, **kwargs: object
    ) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]
        self.first = first
        self.last = first + datetime.timedelta(days=days - 1)
        product = self.fields["product"]
        product.offer(offered_products(first), address_of("offered"))  # type: ignore[attr-defined]

    def clean_on(self) -> datetime.date | None:
        on: datetime.date | None = self.cleaned_data["on"]
        if on is not None and not self.first <= on <= self.last:
            raise forms.ValidationError(
                _("choose a day from %(first)s to %(last)s, the days of this plan"),
                params={"first": self.first, "last": self.last},
            )
        return on


class DemandForm(forms.Form):
    """One's own figure for a product at an outlet on a day."""

    product = forms.ModelChoiceField(
        queryset=Product.objects.all(), to_field_name="code", widget=forms.HiddenInput
    )
    outlet = forms.CharField(widget=forms.HiddenInput)
    on = forms.DateField(widget=forms.HiddenInput)
    mean = forms.DecimalField(
        label=_("My own figure (jars)"),
        min_value=0,
        max_value=2000,
        max_digits=6,
        decimal_places=1,
        required=False,
    )


class HoursForm(forms.Form):
    """When the kitchen is free on one day, or on its weekday every week."""

    on = forms.DateField(widget=forms.HiddenInput)
    starts_at = forms.TimeField(
        label=_("Free from"),
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
    )
    minutes = forms.IntegerField(label=_("Minutes"), min_value=0, max_value=1440)
    again_at = forms.TimeField(
        label=_("Free again from"),
        required=False,
        help_text=_("A morning and an evening; nothing stays on the stove between."),
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
    )
    again_minutes = forms.IntegerField(
        label=_("Minutes then"), min_value=0, max_value=1440, required=False
    )
    every_week = forms.BooleanField(label=_("Every week"), required=False)

    def clean_again_minutes(self) -> int:
        """None entered is none."""
        return self.cleaned_data["again_minutes"] or 0
