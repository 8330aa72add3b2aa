"""``cost_jar`` in both formats, and what it refuses."""

import json
from decimal import Decimal
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from tests.factories import make_outlet, make_price, make_product
from tests.production.books_scene import Jam

pytestmark = pytest.mark.django_db


@pytest.fixture
def jam():
    return Jam()


def run(*args):
    out = StringIO()
    call_command("cost_jar", *args, "--on", "2026-06-10", stdout=out)
    return out.getvalue()


def test_the_lines_add_to_the_cost(jam):
    jam.cook()
    data = json.loads(run(jam.product.code, "--format", "json"))
    lines = sum(Decimal(line["cost"]) for line in data["lines"])
    assert lines == Decimal(data["cost"]) == sum(map(Decimal, data["parts"].values()))
    assert data["cost"] == "4.36"
    assert data["cost_without_my_time"] == "2.49"
    assert data["cost_for_the_books"] == "2.44"


def test_each_outlet_with_a_price_is_answered(jam):
    make_price(jam.product, price=Decimal("4.00"))
    market, _gate = make_outlet(), make_outlet(kind="gate")
    data = json.loads(run(jam.product.name, "--format", "json"))
    assert [row["outlet"] for row in data["outlets"]] == [market.name]
    assert data["outlets"][0]["loses_money"] is True


def test_the_last_batches_stand_beside_the_standard(jam):
    batch = jam.cook(fruit=2200)
    (row,) = json.loads(run(jam.product.code, "--format", "json"))["last_batches"]
    assert row["batch"] == batch.code
    assert Decimal(row["difference"]["amount used"]) > 0


def test_the_table_reads_like_a_bill(jam):
    make_price(jam.product, price=Decimal("4.00"))
    make_outlet(name="Bridge market", day_fee=Decimal(10))
    text = run(jam.product.code)
    assert "a jar costs $4.36" in text
    assert "LOSES MONEY" in text
    assert "never pays" in text


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["nothing-like-it"], "no product is called"),
        (["PRODUCT", "--outlet", "Moon"], 'no open outlet is called "Moon"'),
    ],
)
def test_a_wrong_name_says_which_there_are(jam, args, said):
    names = [jam.product.code if arg == "PRODUCT" else arg for arg in args]
    with pytest.raises(CommandError, match=said) as caught:
        run(*names)
    assert caught.value.returncode == 2


def test_an_outlet_without_a_price_is_refused(jam):
    make_outlet(name="Gate", kind="gate")
    with pytest.raises(CommandError, match="has no price at Gate"):
        run(jam.product.code, "--outlet", "gate")


def test_one_name_for_two_products_asks_for_the_code(jam):
    make_product(name=jam.product.name)
    with pytest.raises(CommandError, match="several products are called"):
        run(jam.product.name)
