"""Every fixture loads, and every table of facts names its sources."""

import importlib
import pkgutil
import tomllib
from pathlib import Path

import pytest
from django.core.management import call_command

import inventory
import labels
import production
from inventory.sourced import Sourced
from labels.models import LabelSheet, PlaceProfile

ROOT = Path(__file__).resolve().parent.parent


@pytest.mark.django_db
def test_place_profiles_and_sheets_load_twice():
    for _ in range(2):
        call_command("loaddata", "place_profiles", "label_sheets", verbosity=0)
    assert PlaceProfile.objects.count() >= 50
    assert LabelSheet.objects.exists()
    for sheet in LabelSheet.objects.all():
        sheet.full_clean()
    for profile in PlaceProfile.objects.all():
        assert profile.citation or profile.completeness != "ready"


def facts():
    for app in (inventory, production, labels):
        for found in pkgutil.walk_packages(app.__path__, f"{app.__name__}."):
            if any(part in found.name for part in ("management", "migrations")):
                continue
            module = importlib.import_module(found.name)
            for name, value in vars(module).items():
                if isinstance(value, Sourced):
                    yield f"{found.name}.{name}", value


def test_every_constant_names_its_source_and_unit():
    known = dict(facts())
    assert len(known) > 60
    for name, fact in known.items():
        assert fact.citation.strip(), name
        assert fact.unit.strip(), name


TABLES = [
    path
    for app in ("inventory", "production", "labels")
    for path in sorted((ROOT / app).rglob("*.toml"))
]


@pytest.mark.parametrize("path", TABLES, ids=[path.name for path in TABLES])
def test_every_table_can_be_read(path):
    assert tomllib.loads(path.read_text(encoding="utf-8"))
