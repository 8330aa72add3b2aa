"""Juice and pulp in the week's plan: read from the book, planned, accepted, begun."""

import datetime
from decimal import Decimal

import pytest
from django.urls import reverse

from production import batches, plans
from production.models import Batch, Plan, Recipe
from production.selectors.week_inputs import read_week
from production.selectors.week_makers import read_makers
from tests import factories
from tests.production.planning import verifier
from tests.production.week_scene import NOW, TODAY, Week, stop_fruit

pytestmark = pytest.mark.django_db
MAKING_PULP = "making Plum pulp"
LAST_WEEK = TODAY - datetime.timedelta(days=9)


class PulpWeek(Week):
    """Plum jam is cooked of pulp, which is made of plums, of 1200 g and more."""

    def __init__(self, *, pulp_fields=None, line_g=1200, **facts):
        super().__init__(**facts)
        fields = {"freezable": True, "fresh_days": 3, "frozen_days": 300}
        self.pulp = factories.make_material(
            name="Plum pulp",
            solids_fraction=Decimal("0.1"),
            **fields | (pulp_fields or {}),
        )
        self.version.lines.update(material=self.pulp)
        recipe = factories.make_recipe(
            name="Plum pulp, sieved",
            kind=Recipe.Kind.INTERMEDIATE,
            makes_material=self.pulp,
        )
        self.making = factories.make_version(
            recipe=recipe, finish="none", finish_solids=None
        )
        factories.make_line(self.making, material=self.fruit, grams=Decimal(line_g))
        factories.make_step(self.making, kind="prepare", hands_on_min=30)

    def made(self, grams, factor="1"):
        """A finished batch of pulp."""
        factories.make_lot(
            material=self.fruit,
            quantity=1305 * Decimal(factor) + 1,
            received_on=LAST_WEEK,
        )
        batch = batches.plan(
            version=self.making,
            planned_on=LAST_WEEK,
            factor=Decimal(factor),
        )
        at = NOW - datetime.timedelta(days=9)
        batches.start(batch=batch, at=at, person=None)
        return batches.finish(
            batch=Batch.objects.get(pk=batch.pk),
            at=at,
            person=None,
            made_g=Decimal(grams),
        )


def make(**facts):
    return plans.make_week(first=TODAY, at=NOW, person=None, **facts)


def rows_of(plan):
    return {(row["product"], row["share"]) for row in plan.answer["batches"]}


def test_the_pulp_is_made_the_same_evening_before_the_jam():
    PulpWeek()
    plan = make()
    products = {row["product"] for row in plan.answer["batches"]}
    assert products == {"plum", MAKING_PULP}
    (made, *_) = [r for r in plan.answer["batches"] if r["makes"]]
    assert made["name"] == "Plum pulp"
    assert made["recipe"] == "Plum pulp, sieved"
    assert made["makes"] == {"material": "Plum pulp", "amount": 1164}
    assert (made["on"], made["labelled_on"], made["jars"]) == (["2026-06-10"], None, 0)
    (tonight, *_) = plan.answer["timetable"]
    names = [line["name"] for line in tonight["lines"]]
    assert names[0] == "Plum pulp"
    assert {row["material"] for row in plan.answer["purchases"]} == {"Plums"}
    assert [row["product"] for row in plan.answer["labels"]] == ["plum"]


def test_the_plan_of_the_book_keeps_every_rule():
    from production.planning.week import solve

    PulpWeek(minutes=360)
    book = read_week(first=TODAY)
    plan = solve(book.problem)
    assert plan.batches_of(MAKING_PULP)
    assert not verifier.faults(book.problem, plan)


def test_pulp_in_the_freezer_is_used_first():
    scene = PulpWeek()
    factories.make_lot(material=scene.pulp, quantity=4000, is_frozen=True)
    plan = make()
    assert {row["product"] for row in plan.answer["batches"]} == {"plum"}
    assert [row["material"] for row in plan.answer["freezer"]] == ["Plum pulp"]


def test_without_plums_the_jam_is_left_out_for_their_sake():
    scene = PulpWeek()
    stop_fruit(scene.fruit)
    plan = make()
    assert plan.answer["batches"] == []
    (row,) = plan.answer["left_out"]
    assert row["reason"] == "fruit or material short"
    assert row["detail"].startswith("Plums:")


def test_accepting_plans_the_pulp_too_and_once():
    PulpWeek()
    plan = make()
    accepted = plans.accept(plan=plan, at=NOW)
    made = [b for b in accepted.planned if b.product is None]
    assert {str(b.version.recipe) for b in made} == {"Plum pulp, sieved"}
    again = make()
    assert rows_of(again) == rows_of(plan)
    second = plans.accept(plan=again, at=NOW)
    assert (second.planned, second.dropped) == ((), 0)


def test_a_recipe_renamed_since_asks_to_plan_again():
    scene = PulpWeek()
    plan = make()
    Recipe.objects.filter(pk=scene.making.recipe_id).update(name="Sieved plums")
    with pytest.raises(plans.PlanError, match="plan the week again"):
        plans.accept(plan=plan, at=NOW)


def test_pulp_no_longer_needed_is_dropped():
    scene = PulpWeek()
    plans.accept(plan=make(), at=NOW)
    plans.forbid(first=TODAY, product=scene.product)
    accepted = plans.accept(plan=make(), at=NOW)
    assert accepted.dropped >= 2
    assert not Batch.objects.filter(product=None).exists()


def test_what_the_last_batches_made_is_what_the_next_will_make():
    scene = PulpWeek()
    for grams, factor in ((700, "1"), (400, "0.5"), (900, "1")):
        scene.made(grams, factor)
    (maker,) = read_makers(["Plum pulp"], on=TODAY).values()
    assert maker.full_g == 800


def test_pulp_planned_by_hand_is_made_though_nothing_needs_it():
    scene = PulpWeek()
    scene.shelf(200)
    batches.plan(version=scene.making, planned_on=TODAY, factor=Decimal("0.8"))
    plan = make()
    assert rows_of(plan) == {(MAKING_PULP, "0.8")}
    plans.accept(plan=plan, at=NOW)
    assert Batch.objects.count() == 1


def test_pulp_on_the_stove_is_finished_and_used():
    scene = PulpWeek()
    stop_fruit(scene.fruit)
    factories.make_lot(material=scene.fruit, quantity=1305)
    batch = batches.plan(version=scene.making, planned_on=TODAY)
    batches.start(batch=batch, at=NOW, person=None)
    plan = make()
    begun = {row["product"]: row["begun"] for row in plan.answer["batches"]}
    assert begun == {MAKING_PULP: True, "plum": False}


def test_pulp_for_half_a_batch_is_half_a_batch_of_pulp():
    scene = PulpWeek()
    stop_fruit(scene.fruit)
    factories.make_lot(material=scene.fruit, quantity=700)
    assert rows_of(make()) == {("plum", "0.5"), (MAKING_PULP, "0.5")}


def test_pulp_that_does_not_keep_is_worth_nothing_when_left():
    keeps = read_problem(PulpWeek()).material("Plum pulp")
    assert keeps.kept_worth > 0


def test_pulp_that_spoils_has_its_days():
    problem = read_problem(PulpWeek(pulp_fields={"freezable": False}))
    assert problem.material("Plum pulp").kept_worth == 0
    assert {c.makes.keeps_days for c in problem.makers("Plum pulp")} == {3}


def read_problem(_scene):
    return read_week(first=TODAY).problem


def test_a_recipe_that_needs_what_it_makes_is_not_chased():
    scene = PulpWeek()
    factories.make_line(scene.making, material=scene.pulp)
    assert read_makers(["Plum pulp"], on=TODAY) == {}


def test_pulp_of_juice_is_made_of_juice_that_is_made():
    scene = PulpWeek()
    juice = factories.make_material(name="Plum juice", freezable=True)
    scene.making.lines.update(material=juice)
    recipe = factories.make_recipe(kind=Recipe.Kind.INTERMEDIATE, makes_material=juice)
    pressing = factories.make_version(recipe=recipe, finish="none", finish_solids=None)
    factories.make_line(pressing, material=scene.fruit)
    factories.make_step(pressing, kind="prepare", hands_on_min=10)
    assert list(read_makers(["Plum pulp"], on=TODAY)) == ["Plum pulp", "Plum juice"]
    made = {row["name"] for row in make().answer["batches"] if row["makes"]}
    assert made == {"Plum pulp", "Plum juice"}


def test_the_page_says_what_is_made_to_cook_with(owner_client, monkeypatch):
    monkeypatch.setattr("django.utils.timezone.localdate", lambda *_: TODAY)
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOW)
    PulpWeek()
    owner_client.post(reverse("production:week-plan"))
    shown = owner_client.get("/").content.decode()
    assert "Plum pulp" in shown
    assert "to cook with" in shown
    plan = Plan.objects.get()
    for page in ("week-paper", "week-calendar"):
        answer = owner_client.get(reverse(f"production:{page}", args=[plan.pk]))
        assert "Plum pulp" in answer.content.decode()
