"""``plan_week`` in both formats, and what it refuses."""

import json
from decimal import Decimal
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from tests.production.week_scene import Week

pytestmark = pytest.mark.django_db


def run(*args):
    out = StringIO()
    call_command("plan_week", "--from", "2026-06-10", *args, stdout=out)
    return out.getvalue()


def test_the_answer_as_data():
    Week()
    data = json.loads(run("--format", "json"))
    assert Decimal(data["objective"]) <= Decimal(data["bound"])
    assert data["from"] == "2026-06-10"
    assert {
        "batches", "timetable", "purchases", "packing", "left_out", "gap", "labels",
        "freezer", "binding", "demand", "relaxed", "currency",
    } <= data.keys()  # fmt: skip
    lines = [line for sheet in data["timetable"] for line in sheet["lines"]]
    assert {"from", "to", "step", "hands_min", "alone_min"} <= lines[0].keys()


def test_the_answer_as_text():
    Week()
    text = run()
    assert "Plum jam" in text
    assert "Hill Farm" in text
    assert "Pack for Green market, Sat 13 Jun" in text


def test_an_empty_book_is_answered():
    assert "No batch is worth making" in run()


@pytest.mark.parametrize(
    ("args", "said"),
    [(["--from", "soon"], '"soon" is not a day'), (["--days", "0"], "1 to 14 days")],
)
def test_bad_input_is_refused_in_one_sentence(args, said):
    with pytest.raises(CommandError, match=said) as refused:
        run(*args)
    assert refused.value.returncode == 2
