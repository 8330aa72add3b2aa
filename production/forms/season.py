"""What a season's plan is asked for."""

from django import forms
from django.utils.translation import gettext_lazy as _


class SeasonForm(forms.Form):
    first = forms.DateField(
        label=_("First day"),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    weeks = forms.IntegerField(label=_("Weeks"), min_value=1, max_value=80, initial=26)
    cash = forms.DecimalField(
        label=_("Money at hand"),
        min_value=0,
        required=False,
        help_text=_("A week's spending is kept within it; empty leaves spending free."),
    )
