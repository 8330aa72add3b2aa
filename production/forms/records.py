"""Records in: a workbook, separated values, or counts pasted from anywhere."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from inventory.models import MarketDay
from inventory.words import say
from production.workbook.layout import sheets

MOST_BYTES = 60 * 1024 * 1024


class WorkbookForm(forms.Form):
    file = forms.FileField(
        label=_("Workbook (.xlsx)"),
        widget=forms.FileInput(attrs={"accept": ".xlsx,.xlsm"}),
    )

    def clean_file(self) -> Any:
        file = self.cleaned_data["file"]
        if file.size > MOST_BYTES:
            raise forms.ValidationError(
                say(
                    "%(name)s is larger than %(most)s MB; split it into several "
                    "workbooks."
                ),
                params={"name": file.name, "most": MOST_BYTES // 1024**2},
            )
        return file


class SeparatedForm(forms.Form):
    sheet = forms.ChoiceField(label=_("What the rows are"))
    text = forms.CharField(
        label=_("Rows, the headings first"),
        widget=forms.Textarea(attrs={"rows": 10, "spellcheck": "false"}),
        help_text=_(
            "Separated by commas, semicolons or tabs; paste them, or choose a file."
        ),
        required=False,
        max_length=5_000_000,
    )
    file = forms.FileField(
        label=_("or a file (.csv)"),
        required=False,
        widget=forms.FileInput(attrs={"accept": ".csv,.tsv,.txt"}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        chosen = [(sheet.key, sheet.title) for sheet in sheets()]
        self.fields["sheet"].choices = chosen  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        file = values.get("file")
        if file is not None:
            try:
                values["text"] = file.read().decode("utf-8-sig")
            except UnicodeDecodeError:
                self.add_error(
                    "file", say("Save the file as UTF-8, then choose it again.")
                )
        if not values.get("text") and not self.errors:
            raise forms.ValidationError(say("Paste some rows, or choose a file."))
        return values


class CountsForm(forms.Form):
    day = forms.ModelChoiceField(
        MarketDay.objects.filter(status=MarketDay.Status.OUT).select_related("outlet"),
        label=_("Market day"),
        empty_label=None,
    )
    text = forms.CharField(
        label=_("Counts"),
        widget=forms.Textarea(attrs={"rows": 10}),
        help_text=(
            _(
                "A line for each product: its name or code, then jars brought "
                "back. For example: strawberry jam 3"
            )
        ),
        max_length=20_000,
    )
