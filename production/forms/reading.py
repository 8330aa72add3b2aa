"""Forms of what a cook reads and weighs; each is checked when it is left."""

import datetime
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from inventory.forms.checking import Checked
from inventory.forms.fields import said
from inventory.words import say, say_count
from production import batches
from production.batches import BatchError
from production.models import Batch
from production.reading_entry import EntryError, read_entry, read_weights
from production.readings import ReadingError, ReadingKind, reading_text

__all__ = ["MOMENT", "OtherReadingForm", "ReadingForm", "WeighForm", "not_ahead"]

OTHER_KINDS = (
    ReadingKind.FINISHED_MASS,
    ReadingKind.FILL_TEMPERATURE,
    ReadingKind.WATER_ACTIVITY,
    ReadingKind.PH,
)
MOST_FILE_BYTES = 100_000
CLOCKS_APART = datetime.timedelta(minutes=2)
MOMENT = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")


def not_ahead(moment: datetime.datetime) -> None:
    """Refuse a moment that has not come yet."""
    if moment > timezone.now() + CLOCKS_APART:
        raise forms.ValidationError(say("This moment has not come yet."))


class ReadingForm(Checked, forms.Form):
    """One reading; `confirmed` carries the text the cook has looked at twice."""

    kind = forms.ChoiceField(
        choices=lambda: [(kind.value, kind.label) for kind in ReadingKind],
        widget=forms.HiddenInput,
    )
    value = forms.CharField(max_length=20, label=_("Reading"))
    earlier = forms.DateTimeField(
        required=False, label=_("It was earlier"), widget=MOMENT, validators=[not_ahead]
    )
    confirmed = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(
        self, *args: Any, is_metric: bool, batch: Batch | None = None, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.is_metric = is_metric
        self.batch = batch

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if "kind" in data and "value" in data:
            try:
                data["number"] = read_entry(
                    ReadingKind(data["kind"]), data["value"], is_metric=self.is_metric
                )
            except EntryError as error:
                self.add_error("value", str(error))
        data["is_confirmed"] = data.get("confirmed") == data.get("value")
        return data

    def read_back(self, name: str) -> str:
        number = self.cleaned_data.get("number")
        if name != "value" or number is None or self.batch is None:
            return ""
        kind = ReadingKind(self.cleaned_data["kind"])
        try:
            doubt = batches.doubt(batch=self.batch, kind=kind, value=number)
        except (BatchError, ReadingError) as error:
            return said(error)
        return f"{doubt}." if doubt else f"= {reading_text(kind, number)}"


class OtherReadingForm(ReadingForm):
    """A reading the page does not ask for by itself."""

    kind = forms.ChoiceField(
        label=_("What was read"),
        choices=lambda: [(kind.value, kind.label) for kind in OTHER_KINDS],
    )


class WeighForm(Checked, forms.Form):
    tares = forms.CharField(
        required=False,
        label=_("Empty jars with lid and label (g)"),
        help_text=_("A few weights; their average serves every jar without its own."),
    )
    jars = forms.CharField(
        required=False,
        label=_("Full jars (g)"),
        widget=forms.Textarea(attrs={"rows": 6}),
        help_text=(
            _(
                "One jar a line, at room temperature: its full weight, and its own "
                "empty weight after it where you know it."
            )
        ),
    )

    file = forms.FileField(
        required=False,
        label=_("Or a file of weights"),
        help_text=_("Plain text or CSV, a jar a line, as a scale writes it."),
    )

    def clean_file(self) -> str:
        """The lines of the file; columns become words."""
        uploaded = self.cleaned_data["file"]
        if uploaded is None:
            return ""
        if uploaded.size > MOST_FILE_BYTES:
            raise forms.ValidationError(say("The file is larger than 100 kB."))
        try:
            text: str = uploaded.read().decode("utf-8-sig")
        except UnicodeDecodeError as error:
            raise forms.ValidationError(say("The file is no plain text.")) from error
        return text.replace("\t", ";")

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        field = "file" if data.get("file") else "jars"
        lines = "\n".join(data.get(each) or "" for each in ("jars", "file"))
        try:
            data["weights"] = read_weights(lines, tares=data.get("tares") or "")
        except EntryError as error:
            self.add_error(field, str(error))
        return data

    def read_back(self, name: str) -> str:
        weights = self.cleaned_data.get("weights") or []
        if name != "jars" or not weights:
            return ""
        net = [full - empty for full, empty in weights]
        return say_count(
            "= {count} jar, {least} to {most} g net, {mean:.1f} g on average",
            "= {count} jars, {least} to {most} g net, {mean:.1f} g on average",
            len(net),
            least=min(net),
            most=max(net),
            mean=sum(net) / len(net),
        )
