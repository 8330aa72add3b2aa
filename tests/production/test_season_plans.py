import datetime
import json
from decimal import Decimal
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse

from inventory.models import Movement, SeasonWindow
from production import season_plans
from production.models import KitchenDay, Plan
from tests import factories

pytestmark = pytest.mark.django_db
DAY = datetime.date(2026, 6, 8)


@pytest.fixture
def season(owner):
    """A fruit in season, its jam, a market that has sold some, free hours."""
    fruit = factories.make_fruit(name="Plums")
    SeasonWindow.objects.create(
        material=fruit, start_day=601, end_day=731, price_per_kg=Decimal("3.00")
    )
    version = factories.make_version(process_min=10)
    factories.make_line(version, material=fruit, grams=Decimal(1000))
    sugar = factories.make_material(name="Sugar")
    factories.make_pack(sugar)
    factories.make_line(version, material=sugar, grams=Decimal(1000))
    factories.make_step(version, kind="cook", needs="pot", hands_on_min=40)
    product = factories.make_product(code="plum", name="Plum jam")
    factories.make_filling(product, version.recipe)
    factories.make_price(product)
    market = factories.make_outlet(name="Saturday", weekday=5)
    KitchenDay.objects.create(weekday=1, minutes=240)
    lot = factories.make_lot(product=product, quantity=30, released_at=factories.NOW)
    from inventory import ledger, markets
    from inventory.reconciliation import DayCount

    for weeks in (1, 2, 3):
        on = DAY - datetime.timedelta(days=7 * weeks - 5)
        day = markets.plan_day(outlet=market, on=on)
        stamp = ledger.Stamp(on=on, at=factories.NOW)
        markets.take_out(day=day, taken={lot: 8}, stamp=stamp)
        count = DayCount(taken=Decimal(8), sold=Decimal(5), back=Decimal(3))
        markets.count_back(day=day, counts={lot: count}, stamp=stamp)
    return product


def test_the_command_answers_with_stable_keys(season):
    out = StringIO()
    call_command("plan_season", "--from", str(DAY), "--weeks", "6", "--format", "json", stdout=out)  # fmt: skip
    answer = json.loads(out.getvalue())
    assert {"batches", "purchases", "left_out", "objective", "bound", "gap", "binding"} <= set(answer)  # fmt: skip
    assert Decimal(answer["objective"]) <= Decimal(answer["bound"])
    assert sum(each["jars"] for each in answer["batches"]) > 0
    assert answer["seasons"] == [] or answer["seasons"][0]["material"] == "Plums"


@pytest.fixture
def pulp(season):
    """The jam is cooked of pulp, which is made of plums while there are any."""
    pulp = factories.make_material(
        name="Plum pulp",
        solids_fraction=Decimal("0.1"),
        freezable=True,
        fresh_days=3,
        frozen_days=300,
    )
    line = season.filling.recipe.versions.get().lines.get(material__name="Plums")
    fruit, line.material = line.material, pulp
    line.save()
    fruit.freezable = False
    fruit.save()
    SeasonWindow.objects.update(end_day=615)
    recipe = factories.make_recipe(kind="intermediate", makes_material=pulp)
    making = factories.make_version(recipe=recipe, finish="none", finish_solids=None)
    factories.make_line(making, material=fruit, grams=Decimal(4000))
    factories.make_step(making, kind="prepare", hands_on_min=30)
    return making


def test_pulp_is_made_in_the_season_and_cooked_after_it(pulp):
    from production.planning.season import plan_season
    from production.selectors.season_inputs import read_season

    book = read_season(first=DAY, weeks=10)
    (maker,) = book.problem.makers("Plum pulp")
    assert maker.needs == {"Plums": Decimal("4.348")}
    assert maker.makes_kg > 3
    assert maker.ways[0].minutes == (30,)
    plan = plan_season(book.problem)
    made = [each.week for each in plan.cooked if each.key == maker.key]
    jams = [each.week for each in plan.cooked if each.key == "plum"]
    assert set(made) <= {0, 1}
    assert max(jams) > max(made)
    assert book.name(maker.key) == "Plum pulp"


def test_the_season_s_answer_says_what_is_made(pulp, owner_client):
    out = StringIO()
    call_command("plan_season", "--from", str(DAY), "--weeks", "8", "--format", "json", stdout=out)  # fmt: skip
    answer = json.loads(out.getvalue())
    (row, *_) = [each for each in answer["batches"] if each["makes_kg"]]
    assert (row["name"], row["jars"]) == ("Plum pulp", 0)
    assert Decimal(row["makes_kg"]) > 3
    out = StringIO()
    call_command("plan_season", "--from", str(DAY), "--weeks", "8", stdout=out)
    assert "x Plum pulp (" in out.getvalue()
    plan = season_plans.begin(first=DAY, weeks=8, at=factories.NOW, person=None)
    season_plans.search(plan)
    shown = owner_client.get(reverse("production:season")).content.decode()
    assert "Plum pulp" in shown


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--weeks", "0"], "1 to 80"),
        (["--from", "tomorrow"], "is not a day"),
        (["--cash", "much"], "is not an amount"),
    ],
)
def test_what_cannot_be_planned_is_said_in_a_sentence(owner, words, said):
    with pytest.raises(CommandError, match=said) as caught:
        call_command("plan_season", *words)
    assert caught.value.returncode == 2


def test_a_search_begun_is_found_and_changes_no_stock(season):
    rows = Movement.objects.count()
    plan = season_plans.begin(first=DAY, weeks=4, at=factories.NOW, person=None)
    assert plan.answer["state"] == "searching"
    season_plans.search(plan, seconds=20)
    plan.refresh_from_db()
    assert plan.answer["state"] == "found"
    assert plan.objective <= plan.bound
    assert Movement.objects.count() == rows


def test_the_page_asks_shows_and_stops(season, owner_client):
    address = reverse("production:season")
    assert "Plan a season" in owner_client.get(address).content.decode()
    plan = season_plans.begin(first=DAY, weeks=4, at=factories.NOW, person=None)
    page = owner_client.get(address).content.decode()
    assert "Stop and keep the best so far" in page
    owner_client.post(reverse("production:season-stop"))
    plan.refresh_from_db()
    assert plan.answer["stop"] is True
    season_plans.search(plan, seconds=20)
    page = owner_client.get(address).content.decode()
    assert "<svg" in page
    assert "What binds" in page
    assert "dual value" in page or "Nothing: more hours" in page
    assert 'class="why"' in page
    assert 'aria-details="season-weeks"' in page
    for name in ("season-bands", "season-batches", "season-weeks"):
        assert f'id="{name}"' in page
    assert "style=" not in page.split("<main")[1]


def test_bad_input_stays_on_the_page(owner_client):
    data = {"first": "2026-06-08", "weeks": "99"}
    page = owner_client.post(reverse("production:season-search"), data).content.decode()
    assert 'value="99"' in page
    assert not Plan.objects.exists()


def test_a_helper_plans_no_season(helper_client):
    assert helper_client.get(reverse("production:season")).status_code == 403
