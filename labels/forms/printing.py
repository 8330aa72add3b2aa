"""Forms of the printing pages."""

from typing import Any

from django import forms

from labels.drawing.pictures import PictureError, read_picture
from labels.models import LabelSheet, ProductLabel
from labels.models.printing import MEASURES
from labels.printing.running import MOST
from labels.sheets import SheetError, measured_name


class PrintForm(forms.Form):
    sheet = forms.ModelChoiceField(LabelSheet.objects.all(), empty_label=None)
    count = forms.IntegerField(label="Labels", min_value=1, max_value=MOST)
    start_at = forms.IntegerField(
        label="First free place",
        min_value=1,
        initial=1,
        help_text="On a half-used sheet: counted along the rows from the top left.",
    )
    has_outlines = forms.BooleanField(
        label="Draw the edges",
        required=False,
        help_text="For printing on plain paper and cutting out.",
    )
    reason = forms.CharField(
        label="Why again",
        max_length=120,
        required=False,
        help_text="Only when these jars had labels before.",
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        sheet, start = cleaned.get("sheet"), cleaned.get("start_at")
        if sheet and start and start > sheet.places:
            self.add_error(
                "start_at", f"This sheet has places 1 to {sheet.places}; choose one."
            )
        return cleaned


class LookForm(forms.ModelForm):
    class Meta:
        model = ProductLabel
        fields = [
            "design",
            "arrangement",
            "sheet",
            "shows_trade_name",
            "storage_note",
            "maker_note",
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
                    ("US", "United States"),
                    ("CA", "Canada"),
                    ("UK", "United Kingdom"),
                    ("EU", "European Union"),
                    ("AU", "Australia"),
                    ("NZ", "New Zealand"),
                    ("CODEX", "Codex Alimentarius"),
                ]
            ),
            "logo": forms.ClearableFileInput(
                attrs={"accept": "image/png,image/jpeg,image/svg+xml"}
            ),
        }

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
    "page_width_mm": "page width (mm)",
    "page_height_mm": "page height (mm)",
    "rows": "labels from top to bottom",
    "columns": "labels from left to right",
    "label_width_mm": "label width (mm)",
    "label_height_mm": "label height (mm)",
    "left_margin_mm": "page's left edge to the first label (mm)",
    "top_margin_mm": "page's top edge to the first label (mm)",
    "column_pitch_mm": "left side of a label to the next one's left side (mm)",
    "row_pitch_mm": "top of a label to the top of the next below (mm)",
    "corner_radius_mm": "rounding of the corners (mm)",
}


class SheetForm(forms.ModelForm):
    name = forms.SlugField(
        required=False,
        max_length=60,
        help_text="Leave empty to name the sheet by its measures.",
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


class OffsetForm(forms.ModelForm):
    class Meta:
        model = LabelSheet
        fields = ["offset_x_mm", "offset_y_mm"]
        help_texts = {
            "offset_x_mm": "Below zero moves the print to the left.",
            "offset_y_mm": "Below zero moves the print up.",
        }


class TallyForm(forms.Form):
    used = forms.IntegerField(label="Stuck on jars", initial=0)
    spoiled = forms.IntegerField(label="Spoiled in printing or sticking", initial=0)
    destroyed = forms.IntegerField(label="Left over and destroyed", initial=0)
    note = forms.CharField(max_length=120, required=False)
