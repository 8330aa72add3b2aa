"""Sheets as rows: the shipped ones load, are named by their measures and are true."""

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.core.management import call_command

from labels.models import LabelSheet
from labels.sheets import measured_name

pytestmark = pytest.mark.django_db


def make_sheet_row(**overrides):
    values = {
        "name": "102x51mm-2x5-letter",
        "page_width_mm": Decimal("215.9"),
        "page_height_mm": Decimal("279.4"),
        "rows": 5,
        "columns": 2,
        "label_width_mm": Decimal("101.6"),
        "label_height_mm": Decimal("50.8"),
        "left_margin_mm": Decimal(4),
        "top_margin_mm": Decimal("12.7"),
        "column_pitch_mm": Decimal("106.3"),
        "row_pitch_mm": Decimal("50.8"),
    }
    return LabelSheet(**{**values, **overrides})


def test_shipped_sheets_load_and_are_named_by_their_measures():
    call_command("loaddata", "label_sheets", verbosity=0)
    sheets = list(LabelSheet.objects.all())
    assert len(sheets) >= 10
    for row in sheets:
        row.full_clean(validate_unique=False)
        assert row.name == measured_name(row.as_sheet())
        assert row.places == row.as_sheet().places


def test_a_sheet_whose_labels_overlap_is_refused_on_its_form():
    with pytest.raises(ValidationError, match="would overlap"):
        make_sheet_row(column_pitch_mm=Decimal(90)).full_clean()


def test_a_missing_measure_is_told_by_its_own_field():
    with pytest.raises(ValidationError) as caught:
        make_sheet_row(row_pitch_mm=None).full_clean()
    assert set(caught.value.message_dict) == {"row_pitch_mm"}


def test_a_sheet_is_found_by_its_name():
    row = make_sheet_row()
    row.save()
    assert LabelSheet.objects.get_by_natural_key(*row.natural_key()) == row
    assert str(row) == "102x51mm-2x5-letter"
