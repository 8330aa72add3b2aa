"""Forms of the complaints pages."""

from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext_lazy as _

from inventory.forms.choosing import product_field, suggesting
from inventory.models import Outlet
from inventory.words import say
from production.forms.choosing import address_of
from production.models import Complaint
from production.symptoms import Severity, all_symptoms

DATE = forms.DateInput(attrs={"type": "date"})
CODE = {"autocapitalize": "characters", "data-scan": "code"}
PHOTO_MOST_BYTES = 12 * 1024 * 1024
PHOTO_BEGINS = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF")


def symptom_choices() -> list[Any]:
    groups: dict[Severity, list[tuple[str, str]]] = {grade: [] for grade in Severity}
    for symptom in all_symptoms():
        groups[symptom.severity].append((symptom.code, say(symptom.name)))
    named = [(grade.words, rows) for grade, rows in groups.items()]
    return [("", say("Choose what the buyer saw")), *named]


class ComplaintForm(forms.ModelForm):
    symptom = forms.ChoiceField(choices=symptom_choices, label=_("What is wrong"))
    product = product_field(
        required=False, help_text=_("Empty: not known."), label=_("Product")
    )

    class Meta:
        model = Complaint
        fields = [
            "code_as_told",
            "symptom",
            "illness",
            "product",
            "outlet",
            "bought_on",
            "bought_on_text",
            "description",
            "jar_can_be_had",
            "photo",
            "person_name",
            "person_contact",
        ]
        labels = {
            "code_as_told": _("Code on the label or the lid"),
            "illness": _("Is anybody ill?"),
            "outlet": _("Where bought"),
            "bought_on": _("When bought, if the day is known"),
            "bought_on_text": _("Else as told (“in June”)"),
            "description": _("In the buyer's own words"),
        }
        help_texts = {
            "code_as_told": _(
                "As far as it can be read; ? for a character that cannot."
            ),
            "person_name": _("Only if an answer is wanted; erased after 180 days."),
        }
        widgets = {
            "bought_on": DATE,
            "description": forms.Textarea(attrs={"rows": 3}),
            "illness": forms.RadioSelect,
            "photo": forms.FileInput(
                attrs={"accept": "image/*", "capture": "environment"}
            ),
            "code_as_told": suggesting(address_of("batch"), **CODE),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        outlet = self.fields["outlet"]
        assert isinstance(outlet, forms.ModelChoiceField)  # noqa: S101 - by the model
        outlet.empty_label = say("Not known")

    def clean_photo(self) -> Any:
        photo = self.cleaned_data.get("photo")
        if isinstance(photo, UploadedFile):
            if photo.size and photo.size > PHOTO_MOST_BYTES:
                raise forms.ValidationError(
                    say("the photo is larger than 12 MB; take a smaller one")
                )
            if not photo.read(12).startswith(PHOTO_BEGINS):
                raise forms.ValidationError(
                    say("the photo is no JPEG, PNG or WebP picture")
                )
            photo.seek(0)
        return photo


class FindForm(forms.Form):
    """What a buyer can say: a code, or what was bought, where and when."""

    code = forms.CharField(
        label=_("Code on the label or the lid"),
        required=False,
        max_length=300,
        help_text=_("Whole or in part; ? for a character that cannot be read."),
        widget=suggesting(address_of("batch"), **CODE),
    )
    product = product_field(
        required=False, help_text=_("Empty: any product."), label=_("Product")
    )
    outlet = forms.ModelChoiceField(
        Outlet.objects.all(),
        required=False,
        empty_label=_("Any place"),
        label=_("Place"),
    )
    first = forms.DateField(label=_("Bought from"), required=False, widget=DATE)
    last = forms.DateField(label=_("to"), required=False, widget=DATE)


class WordsForm(forms.Form):
    """One text the book asks for, such as a reason."""

    words = forms.CharField(
        max_length=1000, widget=forms.Textarea(attrs={"rows": 3}), label=_("Reason")
    )

    def __init__(self, *args: Any, label: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["words"].label = label


class DaysForm(forms.Form):
    """Which days' records to hand out, and in which form."""

    first = forms.DateField(label=_("Received or made from"), widget=DATE)
    last = forms.DateField(label=_("to"), widget=DATE)
    kind = forms.ChoiceField(
        label=_("As"),
        choices=[
            ("xlsx", _("a workbook that sorts")),
            ("epcis", _("EPCIS 2.0 (JSON-LD)")),
        ],
    )

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = self.cleaned_data
        if data.get("first") and data.get("last") and data["first"] > data["last"]:
            self.add_error("last", say("the last day is before the first; swap them"))
        return data
