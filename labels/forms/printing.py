"""Forms of the printing pages."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from inventory.forms.measured import MeasuredForm
from inventory.measures import Measure
from inventory.words import say
from labels.drawing.pictures import PictureError, read_picture
from labels.models import LabelSheet, ProductLabel
from labels.models.printing import MEASURES
from labels.printing.running import MOST
from labels.sheets import SheetError, measured_name


class PrintForm(forms.Form):
    sheet = forms.ModelChoiceField(
        LabelSheet.objects.all(), empty_label=None, label=_("Sheet")
    )
    arrangement = forms.ChoiceField(
        label=_("Which label"), choices=ProductLabel.Arrangement.choices
    )
    count = forms.IntegerField(label=_("Labels"), min_value=1, max_value=MOST)
    start_at = forms.IntegerField(
        label=_("First free place"),
        min_value=1,
        initial=1,
        help_text=_("On a half-used sheet: counted along the rows from the top left."),
    )
    has_outlines = forms.BooleanField(
        label=_("Draw the edges"),
        required=False,
        help_text=_("For printing on plain paper and cutting out."),
    )
    reason = forms.CharField(
        label=_("Why again"),
        max_length=120,
        required=False,
        help_text=_("Only when these jars had labels before."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        sheets: list[LabelSheet] | None = kwargs.pop("sheets", None)
        super().__init__(*args, **kwargs)
        _offer(self, sheets, [])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        sheet, start = cleaned.get("sheet"), cleaned.get("start_at")
        if sheet and start and start > sheet.places:
            self.add_error(
                "start_at",
                say(
                    "This sheet has places 1 to {places}; choose one.",
                    places=sheet.places,
                ),
            )
        return cleaned


def _offer(
    form: forms.BaseForm, sheets: list[LabelSheet] | None, first: list[Any]
) -> None:
    """Offer sheets that were read already, instead of reading them again."""
    if sheets is not None:
        field: Any = form.fields["sheet"]
        field.choices = [*first, *((sheet.pk, str(sheet)) for sheet in sheets)]


class LogoInput(forms.ClearableFileInput):
    template_name = "labels/_logo_input.html"


class LookForm(forms.ModelForm):
    claims_text = forms.CharField(
        label=_("Claims"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=_(
            "One a line, as they are to be printed; the label check reads them."
        ),
    )
    french_name = forms.CharField(
        label=_("Name of the food in French"),
        required=False,
        max_length=80,
        help_text=_("Canada asks for it beside the English one."),
    )

    class Meta:
        model = ProductLabel
        fields = [
            "design",
            "arrangement",
            "sheet",
            "shows_trade_name",
            "compound_style",
            "lists_water",
            "storage_note",
            "maker_note",
            "claims_text",
            "french_name",
            "shows_nutrition",
            "shows_qr",
            "qr_text",
            "bars",
            "logo",
            "jurisdiction",
        ]
        widgets = {
            "jurisdiction": forms.Select(
                choices=[
                    ("US", _("United States")),
                    ("CA", _("Canada")),
                    ("UK", _("United Kingdom")),
                    ("EU", _("European Union")),
                    ("AU", _("Australia")),
                    ("NZ", _("New Zealand")),
                    ("CODEX", _("Codex Alimentarius")),
                ]
            ),
            "logo": LogoInput(attrs={"accept": "image/png,image/jpeg,image/svg+xml"}),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        sheets: list[LabelSheet] | None = kwargs.pop("sheets", None)
        super().__init__(*args, **kwargs)
        sheet = self.fields["sheet"]
        assert isinstance(sheet, forms.ModelChoiceField)  # noqa: S101 - for the reader
        sheet.empty_label = say("the smallest that holds everything")
        _offer(self, sheets, [("", sheet.empty_label)])
        self.initial["claims_text"] = "\n".join(self.instance.claims)
        self.initial["french_name"] = self.instance.identities.get("fr", "")

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        lines = cleaned.get("claims_text", "").splitlines()
        self.instance.claims = [line.strip() for line in lines if line.strip()]
        others = {
            language: name
            for language, name in self.instance.identities.items()
            if language != "fr"
        }
        french = cleaned.get("french_name", "").strip()
        self.instance.identities = {**others, "fr": french} if french else others
        return cleaned

    def clean_logo(self) -> Any:
        logo = self.cleaned_data["logo"]
        if logo and hasattr(logo, "content_type"):
            try:
                read_picture(logo.read())
            except PictureError as error:
                raise forms.ValidationError(f"{error}.") from error
            logo.seek(0)
        return logo


LABELS = {
    "page_width_mm": _("Page width (mm)"),
    "page_height_mm": _("Page height (mm)"),
    "rows": _("Labels from top to bottom"),
    "columns": _("Labels from left to right"),
    "label_width_mm": _("Label width (mm)"),
    "label_height_mm": _("Label height (mm)"),
    "left_margin_mm": _("Page's left edge to the first label (mm)"),
    "top_margin_mm": _("Page's top edge to the first label (mm)"),
    "column_pitch_mm": _("Left side of a label to the next one's left side (mm)"),
    "row_pitch_mm": _("Top of a label to the top of the next below (mm)"),
    "corner_radius_mm": _("Rounding of the corners (mm)"),
}


class SheetForm(MeasuredForm):
    measured = dict.fromkeys(MEASURES, Measure.LENGTH)

    name = forms.SlugField(
        label=_("Name"),
        required=False,
        max_length=60,
        help_text=_("Leave empty to name the sheet by its measures."),
    )

    class Meta:
        model = LabelSheet
        fields = ["name", "shape", "rows", "columns", *MEASURES]
        labels = LABELS

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        if not cleaned.get("name"):
            cleaned["name"] = self._name_by_measures(cleaned)
        return cleaned

    def _name_by_measures(self, cleaned: dict[str, Any]) -> str:
        draft = LabelSheet(
            name="measured",
            **{
                field: cleaned.get(field)
                for field in ("shape", "rows", "columns", *MEASURES)
            },
        )
        if not draft.has_all_measures:
            return "measured"
        try:
            return measured_name(draft.as_sheet())
        except SheetError:
            return "measured"


class OffsetForm(MeasuredForm):
    measured = dict.fromkeys(["offset_x_mm", "offset_y_mm"], Measure.LENGTH)

    class Meta:
        model = LabelSheet
        fields = ["offset_x_mm", "offset_y_mm"]
        help_texts = {
            "offset_x_mm": _("Below zero moves the print to the left."),
            "offset_y_mm": _("Below zero moves the print up."),
        }


class TallyForm(forms.Form):
    used = forms.IntegerField(label=_("Stuck on jars"), initial=0)
    spoiled = forms.IntegerField(label=_("Spoiled in printing or sticking"), initial=0)
    destroyed = forms.IntegerField(label=_("Left over and destroyed"), initial=0)
    note = forms.CharField(max_length=120, required=False, label=_("Note"))
