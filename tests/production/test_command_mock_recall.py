"""``mock_recall``: the drill of the book."""

import json
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from inventory.models import Movement
from production.models import MockRecall
from tests.trace_factories import enter, jars_of, make_traced_batch

pytestmark = pytest.mark.django_db


def drill(**options):
    out = StringIO()
    call_command("mock_recall", stdout=out, **options)
    return out.getvalue()


def test_all_jars_found_says_so():
    make_traced_batch()
    text = drill()
    assert "24 of 24 jars found, 100.00 % accounted for" in text
    assert "Every jar is accounted for." in text
    assert MockRecall.objects.count() == 1


def test_a_missing_jar_is_named():
    enter(jars_of(make_traced_batch()), -1, Movement.Reason.MISSING)
    data = json.loads(drill(format="json"))
    assert data["accounted_percent"] == "95.83"
    assert len(data["not_accounted"]) == 1


def test_the_same_seed_draws_the_same_batch():
    for _ in range(5):
        make_traced_batch()
    first, second = (json.loads(drill(format="json", seed=3)) for _ in range(2))
    assert first["batch"] == second["batch"]


def test_without_a_batch_it_ends_with_2():
    with pytest.raises(CommandError, match="no batch is released") as caught:
        drill()
    assert caught.value.returncode == 2
