"""The week's warnings out of the book: each on and off, in few queries."""

import datetime
from decimal import Decimal

import pytest

from inventory.models import Movement, SeasonWindow
from labels.models import PlaceProfile, PrintRun
from labels.place_state import place_state
from production.models import Batch, Instrument, InstrumentCheck, Reading, StopSale
from production.selectors.week_notices import read_notices
from tests import factories
from tests.factories import NOW, TODAY
from tests.labels.printing_scene import load_sheets

pytestmark = pytest.mark.django_db

DAY = datetime.timedelta(days=1)


@pytest.fixture(autouse=True)
def _today(monkeypatch):
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOW)
    factories.make_business(place_code="test-land")


def about(*, has_money=True):
    return [each.about for each in read_notices(on=TODAY, has_money=has_money)]


def make_place(**overrides):
    values = {
        "code": "test-land",
        "place": "Testland",
        "country": "US",
        "completeness": "own",
        "status": "own",
        "read_on": TODAY - 10 * DAY,
    }
    return PlaceProfile.objects.create(**{**values, **overrides})


def make_cap(amount):
    limit = {"amount": amount, "applies_to_jam": True, "as_of_year": 2026}
    return {"annual_sales_cap": {"kind": "amount", "limits": [limit]}}


def make_sale(money):
    lot = factories.make_lot(product=factories.make_product(), quantity=1)
    Movement.objects.create(
        lot=lot,
        quantity=Decimal(-1),
        reason=Movement.Reason.SOLD,
        unit_price=Decimal(money),
        on=TODAY,
        at=NOW,
    )


def make_print(on, code="test-land"):
    sheet = load_sheets()
    return PrintRun.objects.create(
        batch=Batch.objects.create(version=factories.make_version(), planned_on=on),
        sheet=sheet,
        printed_at=datetime.datetime.combine(on, datetime.time(12), datetime.UTC),
        count=8,
        place_code=code,
        design="plain",
    )


def make_fruit(end_day, **overrides):
    fruit = factories.make_fruit(name="Plums")
    SeasonWindow.objects.create(material=fruit, start_day=501, end_day=end_day)
    version = factories.make_version(recipe=factories.make_recipe(**overrides))
    factories.make_line(version, material=fruit)
    return version


def test_an_empty_book_says_nothing():
    assert about() == []


def test_a_stop_sale_speaks_until_it_is_lifted():
    stop = StopSale.objects.create(set_at=NOW, reason="glass in a jar")
    (found,) = read_notices(on=TODAY, has_money=True)
    assert found.address == stop.get_absolute_url()
    StopSale.objects.update(lifted_at=NOW, lift_reason="found")
    assert about() == []


def test_a_place_read_more_than_a_year_ago_speaks():
    make_place()
    assert about() == []
    PlaceProfile.objects.update(read_on=TODAY - 366 * DAY)
    assert about() == ["place-stale"]


def test_a_place_edited_after_labels_were_printed_speaks():
    profile = make_place()
    make_print(TODAY - 3 * DAY)
    assert about() == []
    profile.law_name = "Another law"
    profile.save()
    assert about() == ["place-changed"]
    make_print(TODAY + 2 * DAY)
    assert about() == []


def test_a_place_read_anew_after_labels_were_printed_speaks():
    make_place(read_on=TODAY - DAY)
    make_print(TODAY - 3 * DAY)
    assert place_state("test-land", on=TODAY).changed_on == TODAY - DAY


def test_labels_printed_by_another_place_tell_nothing():
    make_place(read_on=TODAY - DAY)
    make_print(TODAY - 3 * DAY, code="elsewhere")
    assert place_state("test-land", on=TODAY).changed_on is None


def test_the_cap_speaks_at_four_fifths_and_never_to_a_helper():
    make_place(body=make_cap(100))
    make_sale("79.99")
    assert about() == []
    make_sale("0.01")
    assert about() == ["cap"]
    assert about(has_money=False) == []


def test_a_fruit_of_a_recipe_speaks_until_it_is_cooked():
    version = make_fruit(625)
    assert about() == ["season"]
    Batch.objects.create(version=version, planned_on=TODAY)
    assert about() == []


def test_last_years_batches_say_how_much_is_enough():
    version = make_fruit(625)
    for days in (366, 360):
        Batch.objects.create(version=version, planned_on=TODAY - days * DAY)
    Batch.objects.create(version=version, planned_on=TODAY)
    (found,) = read_notices(on=TODAY, has_money=True)
    assert "1 batch this season, 2 last year" in found.text


@pytest.mark.parametrize(
    ("end_day", "facts"), [(715, {}), (625, {"retired_on": TODAY})]
)
def test_fruit_that_lasts_or_of_a_retired_recipe_keeps_quiet(end_day, facts):
    make_fruit(end_day, **facts)
    assert about() == []


def test_a_lot_at_home_near_its_best_by_speaks():
    lot = factories.make_lot(best_by=TODAY + 22 * DAY, is_frozen=True)
    assert about() == []
    lot.best_by = TODAY + 21 * DAY
    lot.save()
    (found,) = read_notices(on=TODAY, has_money=True)
    assert lot.code in found.text


def test_a_lot_used_up_keeps_quiet():
    factories.make_lot(best_by=TODAY, quantity=0)
    assert about() == []


def make_thermometer():
    return Instrument.objects.create(name="Pot", kind=Instrument.Kind.THERMOMETER)


def make_check(instrument, days_ago, *, passed=True):
    InstrumentCheck.objects.create(
        instrument=instrument,
        checked_at=NOW - days_ago * DAY,
        reference="boiling water",
        true_value=Decimal(99),
        reading=Decimal(99),
        passed=passed,
    )


def test_a_thermometer_speaks_when_never_checked_or_long_ago():
    pot = make_thermometer()
    assert about() == ["thermometer"]
    make_check(pot, 31)
    assert about() == ["thermometer"]
    make_check(pot, 29)
    assert about() == []
    make_check(pot, 1, passed=False)
    assert about() == ["thermometer"]


def test_boiling_water_read_for_a_batch_is_a_check():
    pot = make_thermometer()
    batch = Batch.objects.create(version=factories.make_version(), planned_on=TODAY)
    Reading.objects.create(
        batch=batch, kind="boiling_water", value=99, at=NOW, instrument=pot
    )
    assert about() == []


def test_all_at_once_the_gravest_first_in_few_queries(django_assert_max_num_queries):
    make_place(read_on=TODAY - 400 * DAY, body=make_cap(100))
    make_sale("90.00")
    make_fruit(625)
    factories.make_lot(best_by=TODAY)
    make_thermometer()
    StopSale.objects.create(set_at=NOW, reason="glass in a jar")
    with django_assert_max_num_queries(4):
        found = about()
    assert found[0] == "stop"
    assert {*found} == {
        "stop",
        "cap",
        "place-stale",
        "best-by",
        "season",
        "thermometer",
    }


def test_the_week_shows_each_with_one_next_step(owner_client, monkeypatch):
    monkeypatch.setattr("django.utils.timezone.localdate", lambda *_: TODAY)
    make_thermometer()
    shown = owner_client.get("/").content.decode()
    assert shown.count('data-about="') == 1
    assert "Check it in boiling water" in shown
