"""``check_label`` in both formats, and what it refuses."""

import json
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from tests.labels.printing_scene import load_places, make_batch

pytestmark = pytest.mark.django_db


@pytest.fixture
def batch(db):
    load_places()
    return make_batch()


def run(*args):
    out = StringIO()
    call_command("check_label", *args, "--on", "2026-06-12", stdout=out)
    return out.getvalue()


def test_the_table_lists_passed_rules_too(batch):
    text = run(batch.code)
    assert "nothing missing that the profile of Minnesota, USA asks for" in text
    assert "| Plum Jam" in text
    assert "Looked at, nothing found" in text
    assert "complian" not in text.casefold()


def test_the_data_has_stable_keys(batch):
    data = json.loads(run(batch.code, "--format", "json"))
    assert data["checked_on"] == "2026-06-12"
    assert data["place"]["code"] == "us-mn"
    assert data["may_print"] is True
    states = {rule["id"]: rule["state"] for rule in data["rules"]}
    assert states["PLACE-STATEMENT"] == states["ALLERGENS"] == "passed"
    assert {"id", "title", "citation", "severity", "state", "findings"} == set(
        data["rules"][0]
    )


def test_another_place_may_be_asked(batch):
    data = json.loads(run(batch.product.code, "--place", "us-in", "--format", "json"))
    assert data["place"]["completeness"] == "outline"
    assert data["may_print"] is False
    assert data["place"]["questions"]


def test_a_place_abroad_brings_its_own_package_law(batch):
    data = json.loads(run(batch.code, "--place", "gb-eng", "--format", "json"))
    assert data["jurisdiction"] == "UK"


@pytest.mark.parametrize(
    ("args", "words"),
    [(["nothing"], "no batch has that code"), ([None, "--place", "xx"], "no place")],
)
def test_what_is_not_there_ends_with_status_two(batch, args, words):
    given = [batch.code if arg is None else arg for arg in args]
    with pytest.raises(CommandError, match=words) as refused:
        run(*given)
    assert refused.value.returncode == 2
