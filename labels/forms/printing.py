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
    arrangement = forms.ChoiceField(
        label="Which label", choices=ProductLabel.Arrangement.choices
    )
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


class LogoInput(forms.ClearableFileInput):
    template_name = "labels/_logo_input.html"


class LookForm(forms.ModelForm):
    claims_text = forms.CharField(
        label="Claims",
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="One a line, as they are to be printed; the label check reads them.",
    )
    french_name = forms.CharField(
        label="Name of the food in French",
        required=False,
        max_length=80,
        help_text="Canada asks for it beside the English one.",
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
                    ("US", "United States"),
                    ("CA", "Canada"),
                    ("UK", "United Kingdom"),
                    ("EU", "European Union"),
                    ("AU", "Australia"),
                    ("NZ", "New Zealand"),
                    ("CODEX", "Codex Alimentarius"),
                ]
            ),
            "logo": LogoInput(attrs={"accept": "image/png,image/jpeg,image/svg+xml"}),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        sheet = self.fields["sheet"]
        assert isinstance(sheet, forms.ModelChoiceField)  # noqa: S101 - for the reader
        sheet.empty_label = "the smallest that holds everything"
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
    "page_width_mm": "Page width (mm)",
    "page_height_mm": "Page height (mm)",
    "rows": "Labels from top to bottom",
    "columns": "Labels from left to right",
    "label_width_mm": "Label width (mm)",
    "label_height_mm": "Label height (mm)",
    "left_margin_mm": "Page's left edge to the first label (mm)",
    "top_margin_mm": "Page's top edge to the first label (mm)",
    "column_pitch_mm": "Left side of a label to the next one's left side (mm)",
    "row_pitch_mm": "Top of a label to the top of the next below (mm)",
    "corner_radius_mm": "Rounding of the corners (mm)",
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
