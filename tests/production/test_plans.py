"""Plans as verbs: made from the book, kept, wished, accepted."""

import datetime
from decimal import Decimal

import pytest

from inventory.models import MarketDay
from production import batches, plans
from production.models import Batch, Plan, PlanWish
from production.scaling import WholeOnlyError
from production.selectors.week_demand import forecast_book, past_days
from production.selectors.week_inputs import read_week
from tests import factories
from tests.production.week_scene import NOW, SATURDAY, TODAY, Week, stop_fruit

pytestmark = pytest.mark.django_db


def make(**facts):
    return plans.make_week(first=TODAY, at=NOW, person=None, **facts)


def test_a_week_is_planned_from_the_book():
    Week()
    plan = make()
    (first, *_) = plan.answer["batches"]
    assert (first["product"], first["on"], first["jars"]) == ("plum", ["2026-06-10"], 4)
    assert first["labelled_on"] == "2026-06-11"
    assert plan.objective > 0
    assert plan.gap <= Decimal("0.01")


def test_the_fruit_is_bought_in_whole_packs():
    Week()
    answer = make().answer
    (row,) = [r for r in answer["purchases"] if r["material"] == "Plums"]
    made = len(answer["batches"])
    assert row["supplier"] == "Hill Farm"
    assert row["need"] == made * 1087
    assert row["packs"] == -(-row["need"] // 2000)


def test_the_market_is_packed_with_what_will_be_ready():
    Week()
    answer = make().answer
    (market,) = answer["packing"]
    (line,) = market["lines"]
    assert market["on"] == SATURDAY.isoformat()
    assert line["ready"] == 4 * len(answer["batches"])
    assert line["bad_weather_jars"] <= line["jars"] <= line["ready"]


def test_the_bad_weather_list_learns_from_days_noted_wet():
    scene = Week(sold=(8, 8, 8, 8))
    assert make().answer["packing"][0]["bad_weather"] == {
        "share": "0.5",
        "days": 0,
        "seen": None,
        "usual": "0.5",
    }
    MarketDay.objects.filter(status=MarketDay.Status.COUNTED).update(weather="sun")
    wet = scene.past(SATURDAY - datetime.timedelta(weeks=5), 8)
    MarketDay.objects.filter(pk=wet.pk).update(weather="Rain")
    # (4 x 0.5 + 1) / 5 for all outlets, (4 x 0.6 + 1) / 5 here
    assert make().answer["packing"][0]["bad_weather"] == {
        "share": "0.68",
        "days": 1,
        "seen": "1.0",
        "usual": "0.6",
    }


def test_nothing_to_cook_with_is_said():
    scene = Week()
    stop_fruit(scene.fruit)
    answer = make().answer
    assert answer["batches"] == []
    assert answer["left_out"][0]["reason"] == "fruit or material short"


def test_a_full_shelf_is_not_cooked_for():
    Week().shelf(200)
    answer = make().answer
    assert answer["batches"] == []
    assert answer["left_out"][0]["reason"] == "the shelf covers what can be sold"


def test_planning_again_replaces_a_plan_not_accepted():
    Week()
    first = make()
    second = make()
    assert list(Plan.objects.all()) == [second]
    assert first.answer["batches"] == second.answer["batches"]


def test_too_many_days_are_refused():
    with pytest.raises(plans.PlanError, match="1 to 14 days, not 40"):
        make(days=40)


def test_a_forbidden_product_is_left_out():
    scene = Week()
    plans.forbid(first=TODAY, product=scene.product)
    answer = make().answer
    assert answer["batches"] == []
    assert answer["left_out"][0]["reason"] == "left out as you asked"


def test_a_pin_is_made_even_where_it_earns_nothing():
    scene = Week()
    scene.shelf(200)
    plans.pin(first=TODAY, product=scene.product)
    answer = make().answer
    assert [row["pinned"] for row in answer["batches"]] == [True]
    plans.let_be(first=TODAY, product=scene.product)
    assert not PlanWish.objects.exists()
    assert make().answer["batches"] == []


def test_a_pin_that_does_not_fit_is_said():
    scene = Week(minutes=60)
    plans.pin(first=TODAY, product=scene.product, batches_wanted=3)
    said = make().answer["relaxed"]
    assert len(said) == 1
    assert said[0].startswith("3 pinned batches of Plum jam")


def few_plums():
    """A shelf of plums that reaches for half a batch, and no farm."""
    scene = Week()
    stop_fruit(scene.fruit)
    factories.make_lot(material=scene.fruit, quantity=700)
    return scene


def test_half_a_batch_is_made_where_the_fruit_reaches_no_further():
    few_plums()
    plan = make()
    (row,) = plan.answer["batches"]
    assert (row["product"], row["share"], row["jars"]) == ("plum", "0.5", 2)
    lines = [line for day in plan.answer["timetable"] for line in day["lines"]]
    assert {line["name"] for line in lines} == {"Plum jam, half batch"}
    accepted = plans.accept(plan=plan, at=NOW)
    (batch,) = accepted.planned
    assert batch.factor == Decimal("0.5")
    assert batch.expected_jars < 3


def test_a_half_batch_accepted_is_kept_by_the_next_plan():
    few_plums()
    plans.accept(plan=make(), at=NOW)
    again = make()
    assert [row["share"] for row in again.answer["batches"]] == ["0.5"]
    accepted = plans.accept(plan=again, at=NOW)
    assert (accepted.planned, accepted.dropped) == ((), 0)
    assert Batch.objects.count() == 1


def test_a_recipe_for_full_batches_only_gets_no_half():
    scene = few_plums()
    scene.version.whole_only = True
    scene.version.save()
    assert make().answer["batches"] == []


def test_part_of_a_recipe_for_full_batches_is_refused():
    scene = Week()
    scene.version.whole_only = True
    scene.version.save()
    with pytest.raises(WholeOnlyError, match="in full batches only"):
        batches.plan(
            version=scene.version,
            product=scene.product,
            planned_on=TODAY,
            factor=Decimal("0.5"),
        )


def test_a_smaller_batch_planned_by_hand_is_planned_as_it_is():
    scene = Week()
    batches.plan(
        version=scene.version,
        product=scene.product,
        planned_on=TODAY,
        factor=Decimal("0.75"),
    )
    plan = make()
    shares = [row["share"] for row in plan.answer["batches"]]
    assert shares
    assert set(shares) == {"0.75"}
    plans.accept(plan=plan, at=NOW)
    assert Batch.objects.count() == len(shares)


def test_a_pin_of_no_batches_is_refused():
    scene = Week()
    with pytest.raises(plans.PlanError, match="pin 1 to 6 batches"):
        plans.pin(first=TODAY, product=scene.product, batches_wanted=0)


def test_accepting_plans_the_batches_once():
    Week()
    plan = make()
    done = plans.accept(plan=plan, at=NOW)
    assert len(done.planned) == len(plan.answer["batches"])
    assert {batch.planned_on for batch in done.planned} == {TODAY}
    with pytest.raises(plans.PlanError, match="accepted already"):
        plans.accept(plan=plan, at=NOW)


def test_accepting_a_new_plan_keeps_what_it_shares_and_drops_the_rest():
    scene = Week()
    plans.accept(plan=make(), at=NOW)
    kept = set(Batch.objects.values_list("pk", flat=True))
    again = plans.accept(plan=make(), at=NOW)
    assert (again.planned, again.dropped) == ((), 0)
    assert set(Batch.objects.values_list("pk", flat=True)) == kept
    plans.forbid(first=TODAY, product=scene.product)
    last = plans.accept(plan=make(), at=NOW)
    assert (last.planned, last.dropped) == ((), len(kept))


def test_a_batch_planned_by_hand_stays():
    scene = Week()
    scene.shelf(200)
    mine = batches.plan(
        version=scene.version, product=scene.product, planned_on=TODAY, note="mine"
    )
    plan = make()
    assert len(plan.answer["batches"]) == 1
    plans.accept(plan=plan, at=NOW)
    assert list(Batch.objects.all()) == [mine]


def test_a_batch_on_the_stove_is_finished(owner):
    scene = Week()
    factories.make_lot(material=scene.fruit, quantity=3000)
    batch = batches.plan(version=scene.version, product=scene.product, planned_on=TODAY)
    batches.start(batch=batch, at=NOW, person=owner)
    rows = make().answer["batches"]
    assert [row["begun"] for row in rows].count(True) == 1


def test_my_own_figure_stands_before_the_estimate():
    scene = Week()
    plans.set_demand(
        outlet=scene.market, product=scene.product, on=SATURDAY, mean=Decimal(20)
    )
    (row,) = make().answer["demand"]
    assert (row["mean"], row["basis"]) == ("20.0", "said by the maker")
    plans.set_demand(outlet=scene.market, product=scene.product, on=SATURDAY, mean=None)
    assert forecast_book(on=TODAY).overrides == ()


def test_a_figure_below_zero_is_refused():
    scene = Week()
    with pytest.raises(plans.PlanError, match="enter 0 to 2000"):
        plans.set_demand(
            outlet=scene.market, product=scene.product, on=SATURDAY, mean=Decimal(-1)
        )


def test_the_hour_of_selling_out_is_read(django_assert_num_queries):
    scene = Week(sold=())
    day = scene.past(SATURDAY - datetime.timedelta(weeks=1), 12)
    day.sold_out_marks.create(product=scene.product, at=datetime.time(10, 30))
    with django_assert_num_queries(3):
        (past,) = past_days(on=TODAY)
    assert (past.sold_out, past.open_share) == (True, 0.5)


def test_a_packing_list_is_written_into_the_market_day():
    scene = Week()
    scene.shelf(9)
    plan = make()
    day, short = plans.pack_market(packing=plan.answer["packing"][0])
    listed = sum(line.packed for line in day.lines.all())
    wanted = plan.answer["packing"][0]["jars"]
    assert listed == min(wanted, 9)
    assert sum(short.values()) == max(wanted - 9, 0)


def test_a_week_is_read_in_a_fixed_number_of_queries(django_assert_max_num_queries):
    Week()
    with django_assert_max_num_queries(40):
        read_week(first=TODAY)
