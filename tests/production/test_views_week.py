"""The week pages: today first, then the plan, the wishes and the papers."""

import datetime
from decimal import Decimal

import pytest
from django.urls import reverse
from icalendar import Calendar

from inventory.models import MarketDay
from production.models import Batch, DemandOverride, KitchenDay, Plan, StepRecord
from tests import factories
from tests.production.week_scene import NOW, SATURDAY, TODAY, Week, stop_fruit

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _today(monkeypatch):
    monkeypatch.setattr("django.utils.timezone.localdate", lambda *_: TODAY)
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOW)


def url(name, *args):
    return reverse(f"production:{name}", args=args)


def text(response):
    return response.content.decode()


def post(client, view, *args, **data):
    return client.post(url(view, *args), data, follow=True)


def test_a_new_book_teaches_what_comes_first(owner_client, helper_client):
    shown = text(owner_client.get("/"))
    assert "A new book" in shown
    for name in ("recipe-create", "product-create"):
        assert url(name) in shown
    assert "Plan the week" not in shown
    assert "A new book" not in text(helper_client.get("/"))


def test_a_book_without_a_plan_offers_to_plan(owner_client):
    factories.make_product()
    shown = text(owner_client.get("/"))
    assert "This week has no plan yet" in shown
    assert "The kitchen is quiet" in shown
    assert "A new book" not in shown


def test_what_to_buy_stands_with_its_day(owner_client):
    Week()
    shown = text(post(owner_client, "week-plan"))
    assert "Hill Farm</h3>" in shown.split('id="plan"')[0]
    assert "to buy by" in shown


def test_the_next_step_stands_beside_what_cooks(owner_client):
    scene = Week()
    first, second, *_ = scene.version.steps.order_by("position")
    first.text, second.text = "Halve the plums.", "Boil them hard."
    first.save()
    second.save()
    batch = Batch.objects.create(
        version=scene.version, product=scene.product, planned_on=TODAY
    )
    assert "Next: Halve the plums." in text(owner_client.get("/"))
    Batch.objects.update(status=Batch.Status.COOKING, code="26161AK")
    StepRecord.objects.create(batch=batch, step=first, started_at=NOW, done_at=NOW)
    assert "Next: Boil them hard." in text(owner_client.get("/"))


def test_planning_shows_batches_picture_shopping_and_packing(owner_client):
    Week()
    shown = text(post(owner_client, "week-plan"))
    for words in (
        "The week is planned",
        "Plum jam",
        "<svg",
        "Hill Farm",
        "Green market",
    ):
        assert words in shown
    assert "style=" not in shown


def test_the_first_page_and_the_week_are_one(owner_client):
    assert text(owner_client.get("/week/")).count("<h1>") == 1


def test_today_stands_first(owner_client, owner):
    scene = Week()
    batch = Batch.objects.create(
        version=scene.version, product=scene.product, planned_on=TODAY
    )
    factories.make_market_day(
        outlet=scene.market,
        on=TODAY - datetime.timedelta(days=1),
        status=MarketDay.Status.OUT,
    )
    shown = text(owner_client.get("/"))
    assert batch.get_absolute_url() in shown
    assert "was never counted back" in shown
    assert "13 June" in shown


def test_a_wish_plans_again_and_tells_its_cost(owner_client):
    Week()
    post(owner_client, "week-plan")
    shown = text(post(owner_client, "week-wish", product="plum", wish="forbid"))
    assert "this wish costs the week" in shown
    assert "leave it out" in shown
    assert Plan.objects.get().answer["batches"] == []
    shown = text(post(owner_client, "week-wish", product="plum", wish="let_be"))
    assert "Take back" not in shown


def test_a_wish_for_a_day_outside_the_week_is_refused(owner_client):
    Week()
    shown = text(
        post(owner_client, "week-wish", product="plum", wish="pin", on="2027-01-01")
    )
    assert "choose a day from" in shown


def test_accepting_plans_the_batches(owner_client):
    Week()
    post(owner_client, "week-plan")
    plan = Plan.objects.get()
    shown = text(post(owner_client, "week-accept", plan.pk))
    assert "are planned in the kitchen" in shown
    assert Batch.objects.count() == len(plan.answer["batches"])
    assert "accepted already" in text(post(owner_client, "week-accept", plan.pk))


def test_half_a_batch_is_said_everywhere(owner_client):
    scene = Week()
    stop_fruit(scene.fruit)
    factories.make_lot(material=scene.fruit, quantity=700)
    post(owner_client, "week-plan")
    shown = text(owner_client.get("/"))
    assert '<span class="status">half batch</span>' in shown
    assert "Plum jam, half batch" in shown
    plan = Plan.objects.get()
    assert "Plum jam, half batch" in text(owner_client.get(url("week-paper", plan.pk)))
    calendar = text(owner_client.get(url("week-calendar", plan.pk)))
    assert "half batch" in calendar
    post(owner_client, "week-accept", plan.pk)
    assert Batch.objects.get().factor == Decimal("0.5")
    today = text(owner_client.get("/")).partition("What to make")[0]
    assert "half batch" in today


def test_the_bad_weather_share_is_explained(owner_client):
    scene = Week()
    post(owner_client, "week-plan")
    assert "this place is learnt" in text(owner_client.get("/"))
    MarketDay.objects.filter(status=MarketDay.Status.COUNTED).update(weather="fine")
    wet = scene.past(SATURDAY - datetime.timedelta(weeks=6), 3)
    MarketDay.objects.filter(pk=wet.pk).update(weather="storm")
    post(owner_client, "week-plan")
    assert "1 day noted wet or very hot here asked for" in text(owner_client.get("/"))


def test_a_packing_list_is_written(owner_client):
    scene = Week()
    scene.shelf(9)
    post(owner_client, "week-plan")
    plan = Plan.objects.get()
    shown = text(post(owner_client, "week-pack", plan.pk, 0, weather="bad"))
    assert "is written" in shown
    assert owner_client.post(url("week-pack", plan.pk, 9)).status_code == 404


def test_the_calendar_and_the_paper(owner_client):
    Week()
    post(owner_client, "week-plan")
    plan = Plan.objects.get()
    answer = owner_client.get(url("week-calendar", plan.pk))
    assert answer["Content-Type"].startswith("text/calendar")
    assert Calendar.from_ical(answer.content).walk("VEVENT")
    assert "Plum jam" in text(owner_client.get(url("week-paper", plan.pk)))


def test_demand_shows_past_days_and_takes_a_figure(owner_client):
    scene = Week()
    shown = text(owner_client.get(url("week-demand")))
    assert "4 past days" in shown
    facts = {"product": "plum", "outlet": scene.market.name, "on": SATURDAY}
    shown = text(post(owner_client, "week-demand", mean="20", **facts))
    assert DemandOverride.objects.get().mean == 20
    assert "about 20.0" in shown
    shown = text(post(owner_client, "week-demand", mean="-3", **facts))
    assert "Enter jars from 0 to 2000" in shown
    post(owner_client, "week-demand", mean="", **facts)
    assert not DemandOverride.objects.exists()


def test_demand_is_tried_beside_plain_forecasts(owner_client):
    Week(sold=(5, 6, 4, 5, 7, 5, 4, 6))
    shown = text(owner_client.get(url("week-demand")))
    assert "Is it better than a plain mean?" in shown
    assert "past days it did not know" in shown
    assert "mean sales of comparable days" in shown
    assert "Its sales are smooth" in shown


def test_demand_not_tried_yet_says_so(owner_client):
    Week(sold=())
    shown = text(owner_client.get(url("week-demand")))
    assert "Not tried yet" in shown


def test_a_helper_sees_the_work_without_the_money(helper_client, owner_client):
    Week()
    post(owner_client, "week-plan")
    shown = text(helper_client.get("/"))
    assert "Plum jam" in shown
    assert "The plan is worth" not in shown
    assert "$" not in shown
    assert helper_client.post(url("week-plan")).status_code == 403


def test_signed_out_readers_are_sent_to_the_door(client):
    assert client.get("/").status_code == 302


def test_planning_by_reading_is_refused(owner_client):
    assert owner_client.get(url("week-plan")).status_code == 405


def test_the_page_asks_few_queries(owner_client, django_assert_max_num_queries):
    Week()
    post(owner_client, "week-plan")
    with django_assert_max_num_queries(12):
        owner_client.get("/")


def test_hours_are_kept_for_a_day_or_every_week(owner_client):
    Week()
    assert "Free from" in text(owner_client.get(url("week-hours")))
    facts = {"on": TODAY, "starts_at": "10:00"}
    post(owner_client, "week-hours", minutes="90", **facts)
    assert KitchenDay.objects.get(on=TODAY).minutes == 90
    post(owner_client, "week-hours", minutes="120", every_week="on", **facts)
    assert KitchenDay.objects.get().minutes == 120
    shown = text(post(owner_client, "week-hours", minutes="900", **facts))
    assert "do not end by midnight" in shown


def test_a_morning_and_an_evening_are_kept(owner_client):
    Week()
    facts = {"on": TODAY, "starts_at": "07:00", "minutes": "60"}
    post(owner_client, "week-hours", again_at="18:00", again_minutes="120", **facts)
    row = KitchenDay.objects.get(on=TODAY)
    assert (row.minutes_in_all, row.times) == (180, [(420, 480), (1080, 1200)])
    shown = text(owner_client.get(url("week-hours")))
    assert 'value="18:00"' in shown
    early = {"again_at": "07:30", "again_minutes": "30"}
    shown = text(post(owner_client, "week-hours", **facts, **early))
    assert "before the first time is over" in shown
    late = {"again_at": "23:30", "again_minutes": "60"}
    shown = text(post(owner_client, "week-hours", **facts, **late))
    assert "do not end by midnight" in shown
    post(owner_client, "week-hours", **facts)
    assert KitchenDay.objects.get(on=TODAY).again_at is None
