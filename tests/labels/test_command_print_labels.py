"""``print_labels``: a file and a run, or one sentence and neither."""

import json
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from labels.models import PrintRun
from tests.labels.printing_scene import SHEET, load_places, load_sheets, make_batch
from tests.pdf_reading import read_pages

pytestmark = pytest.mark.django_db


@pytest.fixture
def batch():
    load_places()
    load_sheets()
    return make_batch()


def run(batch, out, **options):
    said = StringIO()
    call_command(
        "print_labels", batch.code, sheet=SHEET, out=out, stdout=said, **options
    )
    return said.getvalue()


def test_one_label_a_jar_is_written_and_recorded(batch, tmp_path):
    said = run(batch, tmp_path / "labels.pdf")
    assert len(read_pages((tmp_path / "labels.pdf").read_bytes())) == 2
    assert PrintRun.objects.get().count == 12
    assert said.startswith("12 labels for Plum Jam")


def test_a_half_used_sheet_is_filled_from_the_place_given(batch, tmp_path):
    run(batch, tmp_path / "labels.pdf", count=3, start_at=4)
    (page,) = read_pages((tmp_path / "labels.pdf").read_bytes())
    # Places 4 to 6 of two columns by three rows: nothing in the first row.
    assert min(glyph.top for glyph in page) > 12.8 + 84.6


def test_json_has_stable_keys(batch, tmp_path):
    data = json.loads(run(batch, tmp_path / "labels.pdf", format="json"))
    assert data["batch"] == batch.code
    assert (data["count"], data["pages"], data["draft"]) == (12, 2, False)
    assert data["text"]["jurisdiction"] == "US"


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"sheet": "nothing"}, "there is no sheet"),
        ({"start_at": 9}, "places 1 to 6"),
        ({"count": 0}, "1 to 5,000"),
    ],
)
def test_a_mistake_is_one_sentence_and_leaves_nothing(batch, tmp_path, change, says):
    out = tmp_path / "labels.pdf"
    options = {"sheet": SHEET, **change}
    with pytest.raises(CommandError, match=says) as caught:
        call_command("print_labels", batch.code, out=out, **options)
    assert caught.value.returncode == 2
    assert not out.exists()
    assert not PrintRun.objects.exists()


def test_a_file_that_cannot_be_written_leaves_no_run(batch, tmp_path):
    with pytest.raises(CommandError, match="cannot be written"):
        run(batch, tmp_path / "no folder" / "labels.pdf")
    assert not PrintRun.objects.exists()
