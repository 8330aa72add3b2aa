"""Forms of the places pages: a profile of one's own, and one's own words."""

import datetime
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.text import slugify
from django.utils.translation import gettext_lazy as _

from inventory.words import say, to_say
from labels.models import PlaceProfile
from labels.statements.places import Particular, ParticularCode, StatementBasis

PARTICULARS = (
    ParticularCode.PRODUCT_NAME,
    ParticularCode.INGREDIENTS_DESC_WEIGHT,
    ParticularCode.ALLERGENS,
    ParticularCode.NET_QUANTITY,
    ParticularCode.PRODUCER_NAME,
    ParticularCode.PRODUCER_ADDRESS,
    ParticularCode.MAILING_ADDRESS,
    ParticularCode.PHONE,
    ParticularCode.EMAIL,
    ParticularCode.REGISTRATION_NUMBER,
    ParticularCode.COUNTY_OF_ISSUE,
    ParticularCode.DATE_MADE,
    ParticularCode.EXPIRATION_DATE,
    ParticularCode.BATCH_CODE,
)
BASES = [
    (StatementBasis.EXACT, _("words the law prescribes, exactly")),
    (StatementBasis.CONTENT, _("words of my own: the law says what they must say")),
    (StatementBasis.NONE, _("no statement")),
]
OWN_CAUTION = to_say(
    "You wrote this profile yourself; ask your authority before you sell."
)


class OwnPlaceForm(forms.ModelForm):
    """A place profile written by the seller, from what the authority said."""

    source = forms.CharField(
        label=_("Where you learnt it"),
        max_length=200,
        help_text=_("For example: letter of the county office, 3 March."),
    )
    basis = forms.ChoiceField(
        label=_("The statement on the label"),
        choices=[(str(value), words) for value, words in BASES],
        widget=forms.RadioSelect,
    )
    words = forms.CharField(
        label=_("Its words"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("Letter by letter as the authority gave them."),
    )
    min_point_size = forms.DecimalField(
        label=_("Smallest type (points)"),
        required=False,
        min_value=Decimal(4),
        max_value=Decimal(40),
        decimal_places=1,
    )
    on_front = forms.BooleanField(label=_("On the front of the jar"), required=False)
    bold = forms.BooleanField(label=_("In bold"), required=False)
    particulars = forms.MultipleChoiceField(
        label=_("What else the label must carry"),
        choices=[
            (str(code), Particular(code=code, required="always").words)
            for code in PARTICULARS
        ],
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    cap_amount = forms.DecimalField(
        label=_("Most that may be sold in a year"),
        required=False,
        min_value=Decimal(1),
        decimal_places=2,
        help_text=_("In your currency; empty where there is no limit."),
    )
    sign_text = forms.CharField(
        label=_("Words of the sign at the stall"), max_length=300, required=False
    )

    class Meta:
        model = PlaceProfile
        fields = [
            "place",
            "country",
            "region",
            "authority",
            "law_name",
            "citation",
            "read_on",
        ]
        widgets = {
            "read_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
        }
        labels = {
            "country": _("Country (two letters)"),
            "region": _("State or province (code)"),
            "authority": _("Authority that answers"),
            "law_name": _("Name of the law"),
            "citation": _("Section or number"),
            "read_on": _("Read or asked on"),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        today: datetime.date = kwargs.pop("today")
        self.currency: str = kwargs.pop("currency")
        model: PlaceProfile | None = kwargs.pop("like", None)
        super().__init__(*args, **kwargs)
        self.fields["authority"].required = True
        self.today = today
        source = self.instance if self.instance.pk else model
        if source is not None:
            self.initial = {**_initial(source), **self.initial}
        if not self.instance.pk:
            self.initial["read_on"] = today

    def clean_country(self) -> str:
        country: str = self.cleaned_data["country"].upper()
        if len(country) != 2 or not country.isalpha():
            raise forms.ValidationError(
                say("Write the country in two letters, such as US.")
            )
        return country

    def clean_read_on(self) -> datetime.date:
        day: datetime.date = self.cleaned_data["read_on"]
        if day > self.today:
            raise forms.ValidationError(say("The day you read it lies in the future."))
        return day

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        needs_words = cleaned.get("basis") != StatementBasis.NONE
        if needs_words and not cleaned.get("words", "").strip():
            self.add_error(
                "words", say("Write the words, or choose that there are none.")
            )
        return cleaned

    def save(self, commit: bool = True) -> PlaceProfile:  # noqa: FBT001, FBT002 - Django's
        profile: PlaceProfile = super().save(commit=False)
        profile.completeness = PlaceProfile.Completeness.OWN
        profile.status = "own"
        profile.text_date = f"as told on {self.cleaned_data['read_on']}"
        profile.body = _body(self.cleaned_data, self.currency)
        if not profile.code:
            profile.code = _free_code(profile.place)
        if commit:
            profile.save()
        return profile


def _free_code(place: str) -> str:
    """Return a code no profile has: own-<place>, with a number if need be."""
    stem = f"own-{slugify(place)[:30]}".rstrip("-")
    code, number = stem, 2
    while PlaceProfile.objects.filter(code=code).exists():
        code, number = f"{stem}-{number}", number + 1
    return code


def _initial(profile: PlaceProfile) -> dict[str, Any]:
    """Return a profile's answers for the fields of the form."""
    body = profile.body
    rules = body.get("statement_type_rules") or {}
    limits = (body.get("annual_sales_cap") or {}).get("limits") or []
    sources = body.get("source") or []
    basis = body.get("statement_basis")
    words = body.get("required_statement") or body.get("own_statement") or ""
    return {
        "place": profile.place,
        "country": profile.country,
        "region": profile.region,
        "authority": profile.authority,
        "law_name": profile.law_name,
        "citation": profile.citation,
        "source": sources[0].get("title", "") if sources else "",
        "basis": basis if basis in {str(value) for value, _ in BASES} else "",
        "words": words,
        "min_point_size": rules.get("min_point_size"),
        "on_front": rules.get("panel") == "principal_display",
        "bold": bool(rules.get("bold")),
        "particulars": [
            item["code"]
            for item in body.get("other_label_elements") or []
            if item["required"] == "always"
        ],
        "cap_amount": limits[0]["amount"] if limits else None,
        "sign_text": (body.get("display_sign_rule") or {}).get("text") or "",
    }


def _body(cleaned: dict[str, Any], currency: str) -> dict[str, Any]:
    """Return the answers in the form every profile is kept in."""
    exact = cleaned["basis"] == StatementBasis.EXACT
    size, words = cleaned["min_point_size"], cleaned["words"].strip()
    has_words = cleaned["basis"] != StatementBasis.NONE
    return {
        "statement_basis": cleaned["basis"],
        "required_statement": words if exact else None,
        "own_statement": words if has_words and not exact else "",
        "statement_variants": [],
        "statement_type_rules": {
            "min_point_size": None if size is None else str(size),
            "panel": "principal_display" if cleaned["on_front"] else None,
            "bold": cleaned["bold"],
        },
        "other_label_elements": [
            {"code": code, "required": "always", "detail": None}
            for code in cleaned["particulars"]
        ],
        "annual_sales_cap": _cap(cleaned["cap_amount"], currency),
        "registration": {"kind": "none", "detail": ""},
        "sales_channels": {},
        "jams_allowed": "yes",
        "jams_notes": [],
        "display_sign_rule": _sign(cleaned["sign_text"]),
        "source": [{"title": cleaned["source"]}],
        "caution": OWN_CAUTION,
    }


def _cap(amount: Decimal | None, currency: str) -> dict[str, Any]:
    if amount is None:
        return {"kind": "none", "limits": [], "on_exceeding": None}
    limit = {
        "amount": str(amount),
        "currency": currency,
        "comparison": "must_not_exceed",
        "basis": "gross_sales",
        "period": "calendar_year",
        "scope": "operation",
        "as_of_year": None,
        "indexed": False,
        "applies_to_jam": True,
        "note": "",
    }
    return {"kind": "amount", "limits": [limit], "on_exceeding": None}


def _sign(text: str) -> dict[str, Any] | None:
    if not text:
        return None
    return {"required": "always", "text": text, "basis": "own", "detail": ""}


class OwnWordsForm(forms.Form):
    """The seller's own sentence where a law only says what must be said."""

    words = forms.CharField(
        label=_("Your sentence"),
        max_length=400,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("Printed exactly as you write it."),
    )

    def keep(self, profile: PlaceProfile) -> None:
        """Keep the sentence with the profile."""
        profile.body = {
            **profile.body,
            "own_statement": self.cleaned_data["words"].strip(),
        }
        profile.save(update_fields=["body"])
