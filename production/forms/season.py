"""What a season's plan is asked for."""

from django import forms


class SeasonForm(forms.Form):
    first = forms.DateField(
        label="First day",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    weeks = forms.IntegerField(label="Weeks", min_value=1, max_value=80, initial=26)
    cash = forms.DecimalField(
        label="Money at hand",
        min_value=0,
        required=False,
        help_text="A week's spending is kept within it; empty leaves spending free.",
    )
