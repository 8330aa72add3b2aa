"""``trace_batch``: table, data, workbook, and what goes wrong."""

import json
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from production.batch_codes import make_code
from tests.factories import TODAY, make_lot
from tests.trace_factories import make_traced_batch

pytestmark = pytest.mark.django_db
CODE = make_code(TODAY, "K")


@pytest.fixture
def batch():
    fruit = make_lot(code="FRUIT-1", supplier_mark="L7")
    make_traced_batch(inputs=[fruit])
    return make_traced_batch(code=CODE, inputs=[fruit])


def trace(code, **options):
    out = StringIO()
    call_command("trace_batch", code, stdout=out, **options)
    return out.getvalue()


def test_the_table_answers_in_words(batch):
    text = trace(CODE.lower())
    for words in (CODE, "FRUIT-1", "their mark L7", "100.00 % accounted", "Sisters: 1"):
        assert words in text


def test_a_lot_code_is_traced_too(batch):
    assert CODE in trace("fruit-1")


def test_the_data_is_json(batch):
    data = json.loads(trace(CODE, format="json"))
    assert data["balance"]["on_the_shelf"] == "24"
    assert data["sources"][0]["supplier_mark"] == "L7"


def test_the_workbook_is_written(batch, tmp_path):
    file = tmp_path / "trace.xlsx"
    trace(CODE, out=str(file))
    assert file.read_bytes().startswith(b"PK")


def test_a_mistyped_code_offers_the_right_one_and_ends_with_2(batch):
    wrong = CODE[:6] + ("2" if CODE[6] != "2" else "3")
    with pytest.raises(CommandError, match="typing mistake") as caught:
        trace(wrong)
    assert caught.value.returncode == 2
    assert CODE in str(caught.value)


@pytest.mark.parametrize(
    ("out", "said"), [("trace.pdf", "does not end in .xlsx"), ("/no/x.xlsx", "written")]
)
def test_a_file_that_cannot_be_is_refused(batch, out, said):
    with pytest.raises(CommandError, match=said):
        trace(CODE, out=out)
