"""The verbs of instruments."""

from decimal import Decimal

import pytest

from production import instrument_checks
from production.instruments import InstrumentError
from tests.production import kitchen as book

pytestmark = pytest.mark.django_db

WHEN = {"at": book.CHECKED_AT, "person": None}


def test_a_thermometer_far_off_does_not_pass():
    probe = instrument_checks.add(name=" Probe ", kind="thermometer")
    row = instrument_checks.check_thermometer(
        instrument=probe, read_c=Decimal(103), expected_c=Decimal("98.7"), **WHEN
    )
    assert (probe.name, row.passed) == ("Probe", False)
    assert "replace it" in row.note


def test_a_check_is_of_its_own_kind_of_instrument():
    probe = instrument_checks.add(name="Probe", kind="thermometer")
    with pytest.raises(InstrumentError, match="is a thermometer"):
        instrument_checks.calibrate_ph(
            instrument=probe, low_read=Decimal(4), high_read=Decimal(7), **WHEN
        )


def test_a_scale_is_checked_against_something_known():
    scale = instrument_checks.add(name="Scale", kind="scale")
    with pytest.raises(InstrumentError, match="checked against"):
        instrument_checks.check(
            instrument=scale,
            reference=" ",
            true_value=Decimal(500),
            reading=Decimal(500),
            **WHEN,
        )
    row = instrument_checks.check(
        instrument=scale,
        reference="500 g weight",
        true_value=Decimal(500),
        reading=Decimal(490),
        **WHEN,
    )
    assert not row.passed
