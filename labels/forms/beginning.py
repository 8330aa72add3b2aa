"""The five questions of an empty book."""

from decimal import Decimal
from typing import Any
from zoneinfo import available_timezones

from django import forms
from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password
from django.utils.translation import gettext_lazy as _

from inventory.models import Business
from inventory.words import say
from labels.beginning import JARS, METRES_PER_FOOT
from labels.models import PlaceProfile

WEEKDAYS = [
    (0, _("Monday")),
    (1, _("Tuesday")),
    (2, _("Wednesday")),
    (3, _("Thursday")),
    (4, _("Friday")),
    (5, _("Saturday")),
    (6, _("Sunday")),
]


class BeginningForm(forms.Form):
    username = forms.CharField(max_length=150, label=_("Your sign-in name"))
    password = forms.CharField(
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        label=_("Password"),
        help_text=_("At least eight characters."),
    )
    trade_name = forms.CharField(max_length=80, label=_("Name of the business"))
    place_code = forms.ChoiceField(
        label=_("1. Place"),
        required=False,
        help_text=_(
            "Whose cottage-food law the labels follow; ask your authority too."
        ),
    )
    time_zone = forms.ChoiceField(label=_("Time zone"), initial="America/Chicago")
    altitude = forms.DecimalField(
        label=_("2. Altitude of the kitchen"),
        max_digits=6,
        decimal_places=0,
        initial=0,
        help_text=_("It decides the finishing temperature and the processing minutes."),
    )
    altitude_unit = forms.ChoiceField(
        label=_("in"), choices=[("ft", _("feet")), ("m", _("metres"))], initial="ft"
    )
    currency = forms.CharField(label=_("3. Currency"), initial="USD", max_length=3)
    units = forms.ChoiceField(label=_("Units"), choices=Business.Units.choices)
    jars = forms.MultipleChoiceField(
        label=_("4. Jar sizes"),
        choices=[(jar.name, jar.name) for jar in JARS],
        initial=["half-pint"],
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=_("Usual measures; put your own jars' right later."),
    )
    market_name = forms.CharField(
        label=_("5. First market"), max_length=80, required=False
    )
    market_weekday = forms.TypedChoiceField(
        label=_("on"), choices=WEEKDAYS, coerce=int, initial=5, required=False
    )

    def __init__(self, *args: Any, needs_owner: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        places = [(each.code, each.place) for each in PlaceProfile.objects.all()]
        self.fields["place_code"].choices = [("", say("not listed, or later")), *places]  # type: ignore[attr-defined]
        zones = sorted(zone for zone in available_timezones() if "/" in zone)
        self.fields["time_zone"].choices = [("UTC", "UTC"), *((z, z) for z in zones)]  # type: ignore[attr-defined]
        if not needs_owner:
            del self.fields["username"], self.fields["password"]

    def clean_username(self) -> str:
        name = str(self.cleaned_data["username"])
        if User.objects.filter(username=name).exists():
            raise forms.ValidationError(say("This name is taken; choose another."))
        return name

    def clean_password(self) -> str:
        validate_password(self.cleaned_data["password"])
        return str(self.cleaned_data["password"])

    def clean_currency(self) -> str:
        code = str(self.cleaned_data["currency"]).upper()
        if len(code) != 3 or not code.isalpha():
            raise forms.ValidationError(say("Three letters, such as USD or EUR."))
        return code

    def as_business(self) -> Business:
        """The seller's row these answers make."""
        values = self.cleaned_data
        altitude = Decimal(values["altitude"])
        if values["altitude_unit"] == "ft":
            altitude *= METRES_PER_FOOT
        return Business(
            trade_name=values["trade_name"],
            place_code=values["place_code"],
            time_zone=values["time_zone"],
            altitude_m=altitude.quantize(Decimal("0.1")),
            currency=values["currency"],
            units=values["units"],
        )
