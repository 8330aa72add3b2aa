"""The pages of the pantry."""

from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from inventory import ledger
from inventory.models import Lot, Material, Movement, Pack, Purchase, SeasonWindow
from tests.factories import (
    NOW,
    TODAY,
    make_fruit,
    make_lot,
    make_market_day,
    make_material,
    make_outlet,
    make_pack,
    make_packaging,
    make_product,
    make_purchase,
    make_supplier,
)

pytestmark = pytest.mark.django_db


def page(client, view, *args, **query):
    response = client.get(reverse(f"inventory:{view}", args=args), query)
    assert response.status_code == 200
    return response.content.decode()


def post(client, view, *args, **data):
    return client.post(reverse(f"inventory:{view}", args=args), data)


PLAIN_PAGES = ["pantry", "freezer", "lot-list", "material-list", "ledger"]
OWNER_PAGES = [
    "purchase-list",
    "purchase-add",
    "supplier-list",
    "supplier-add",
    "material-add",
    "opening-add",
]


@pytest.mark.parametrize("name", [*PLAIN_PAGES, *OWNER_PAGES])
def test_an_empty_book_has_pages_that_teach(owner_client, name):
    assert "<h1>" in page(owner_client, name)


@pytest.mark.parametrize("name", [*PLAIN_PAGES, *OWNER_PAGES])
def test_signed_out_goes_to_the_door(client, name):
    response = client.get(reverse(f"inventory:{name}"))
    assert response.status_code == 302
    assert response.url.startswith(reverse("login"))


@pytest.mark.parametrize("name", OWNER_PAGES)
def test_a_helper_does_not_buy(helper_client, name):
    assert helper_client.get(reverse(f"inventory:{name}")).status_code == 403


def test_empty_lists_say_what_to_do(owner_client):
    assert "Add what you cook with" in page(owner_client, "material-list")
    assert "Enter a purchase" in page(owner_client, "lot-list")


def test_the_first_to_use_comes_first(owner_client):
    late = make_lot(best_by=TODAY.replace(year=2027))
    soon = make_lot(best_by=TODAY)
    text = page(owner_client, "pantry")
    assert text.index(soon.code) < text.index(late.code)


def test_lots_are_found_by_text_and_kind(owner_client):
    fruit = make_lot(material=make_fruit(name="Quince"))
    jars = make_lot(product=make_product(name="Plum jam"), quantity=4)
    text = page(owner_client, "lot-list", find="quin")
    assert fruit.code in text
    assert jars.code not in text
    text = page(owner_client, "lot-list", kind="jars")
    assert jars.code in text
    assert fruit.code not in text


def test_used_up_lots_are_shown_when_asked_for(owner_client):
    lot = make_lot(quantity=0)
    assert lot.code not in page(owner_client, "lot-list")
    assert lot.code in page(owner_client, "lot-list", here="all")


def test_the_list_of_lots_needs_few_queries(
    owner_client, django_assert_max_num_queries
):
    for _ in range(30):
        make_lot()
    with django_assert_max_num_queries(9):
        page(owner_client, "lot-list")


def test_a_helper_sees_no_costs(helper_client, owner_client):
    lot = make_lot(cost=Decimal("77.77"), material=make_fruit())
    make_pack(lot.material, price=Decimal("66.66"))
    for name, args in (
        ("lot-list", []),
        ("pantry", []),
        ("lot-detail", [lot.code]),
        ("material-detail", [lot.material.pk]),
    ):
        text = page(helper_client, name, *args)
        assert "77.77" not in text
        assert "66.66" not in text
    assert "77.77" in page(owner_client, "lot-detail", lot.code)
    assert "66.66" in page(owner_client, "material-detail", lot.material.pk)


def test_a_lot_shows_where_it_is_and_what_happened(owner_client):
    lot = make_lot(product=make_product(), quantity=24, released_at=NOW)
    market = make_outlet(name="Mill Square")
    ledger.move(
        lot=lot,
        quantity=Decimal(10),
        stamp=ledger.Stamp(on=TODAY, at=NOW),
        target=market,
    )
    text = page(owner_client, "lot-detail", lot.code)
    assert "14 jars" in text
    assert "10 jars at Mill Square" in text


def test_a_lot_that_is_not_there_is_not_found(owner_client):
    for name in ("lot-detail", "lot-freeze", "lot-write-off", "lot-count"):
        url = reverse(f"inventory:{name}", args=["nowhere"])
        assert owner_client.get(url).status_code == 404


def test_a_helper_freezes_a_part(helper_client):
    lot = make_lot(material=make_fruit(), quantity=8000)
    response = post(helper_client, "lot-freeze", lot.code, amount="5.5 kg", best_by="")
    frozen = lot.splits.get()
    assert response.url == frozen.get_absolute_url()
    assert ledger.balance(frozen) == 5500
    assert ledger.balance(lot) == 2500


def test_freezing_more_than_there_is_keeps_what_was_typed(owner_client):
    lot = make_lot(material=make_fruit(), quantity=1000)
    response = post(owner_client, "lot-freeze", lot.code, amount="5.5 kg", best_by="")
    text = response.content.decode()
    assert "are there; take less, or count the lot." in text
    assert 'value="5.5 kg"' in text
    assert not lot.splits.exists()


def test_a_measure_without_a_weight_is_refused_on_its_field(owner_client):
    lot = make_lot(material=make_fruit(name="Lemons"), quantity=1000)
    text = post(owner_client, "lot-freeze", lot.code, amount="4 each").content.decode()
    assert "set the weight of one lemon, or enter grams." in text


def test_writing_off_takes_a_reason(helper_client):
    lot = make_lot(product=make_product(), quantity=5, released_at=NOW)
    post(
        helper_client,
        "lot-write-off",
        lot.code,
        amount="2",
        reason="broken",
        note="fell",
    )
    row = lot.movements.latest("pk")
    assert (row.quantity, row.reason, row.note) == (-2, "broken", "fell")
    assert row.person.username.startswith("helper")


def test_a_customer_brings_a_jar_back(helper_client):
    lot = make_lot(product=make_product(), quantity=5, released_at=NOW)
    data = {"amount": "1", "refund": "9.00", "note": "did not set"}
    post(helper_client, "lot-return", lot.code, **data)
    assert ledger.balance(lot) == 5
    assert lot.movements.get(reason="returned").unit_price == 9
    post(helper_client, "lot-return", lot.code, **data, to_shelf="on")
    assert ledger.balance(lot) == 6


def test_movements_are_found_by_reason_and_text(
    owner_client, django_assert_max_num_queries
):
    lot = make_lot(product=make_product(name="Plum jam"), quantity=50, released_at=NOW)
    other = make_lot(material=make_material(name="Sugar"))
    for _ in range(20):
        ledger.write_off(
            lot=lot,
            quantity=Decimal(1),
            stamp=ledger.Stamp(on=TODAY, at=NOW),
            reason="given",
        )
    with django_assert_max_num_queries(9):
        text = page(owner_client, "ledger", reason="given", find="plum")
    assert text.count(lot.code) >= 20
    assert other.code not in text


def test_a_quantity_is_weighed_while_it_is_typed(helper_client):
    sugar = make_material(name="Sugar", cup_weights_g={"": "200"})
    line = {"line-0-material": sugar.name, "line-0-amount": "6 cups"}
    assert page(helper_client, "weigh", **line) == "= 2 lb 10.3 oz (1.2 kg)"
    jars = make_packaging()
    text = page(helper_client, "weigh", material=jars.pk, amount="2 dozen")
    assert text == "= 24 pieces"


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({}, "Choose the material"),
        ({"material": "x", "amount": "1 cup"}, "Choose the material"),
        ({"amount": "1 <b>"}, "&lt;b&gt;"),
        ({"amount": "4 each"}, "set the weight of one lemon, or enter grams."),
    ],
)
def test_what_cannot_be_weighed_says_why_while_it_is_typed(
    owner_client, typed, sentence
):
    lemons = make_material(name="Lemons")
    query = {"material": lemons.pk, **typed} if "amount" in typed else typed
    assert sentence in page(owner_client, "weigh", **query)


def test_a_lot_weighs_what_is_typed(owner_client):
    lot = make_lot(material=make_fruit(), quantity=1000)
    text = page(owner_client, "lot-freeze", lot.code)
    assert f'hx-get="{reverse("inventory:weigh")}"' in text
    assert "closest fieldset" in page(owner_client, "purchase-add")


def test_half_a_jar_is_not_written_off(owner_client):
    lot = make_lot(product=make_product(), quantity=5, released_at=NOW)
    text = post(
        owner_client, "lot-write-off", lot.code, amount="half", reason="broken"
    ).content.decode()
    assert "Enter whole jars" in text


@pytest.mark.parametrize(("typed", "left"), [("750 g", 750), ("0", 0)])
def test_counting_sets_the_book_right(owner_client, typed, left):
    lot = make_lot(quantity=1000)
    post(owner_client, "lot-count", lot.code, amount=typed, note="")
    assert ledger.balance(lot) == left


def test_a_row_is_put_right_by_a_new_one(owner_client):
    lot = make_lot(quantity=1000)
    row = lot.movements.get()
    response = post(
        owner_client, "movement-correct", row.pk, figure="900 g", note="typo"
    )
    assert response.status_code == 302
    assert ledger.balance(lot) == 900
    assert "corrects" in page(owner_client, "lot-detail", lot.code)


def test_a_correction_to_the_same_figure_is_refused(owner_client):
    row = make_lot(quantity=1000).movements.get()
    text = post(
        owner_client, "movement-correct", row.pk, figure="1000 g", note="again"
    ).content.decode()
    assert "That is the figure in the book already" in text
    assert 'value="again"' in text


def material_data(**overrides):
    values = {
        "name": "Strawberries",
        "kind": "fruit",
        "edible_yield": "0.94",
        "cups": "144 g\nsliced 166 g",
        "allergen_lines": "",
        "nested_parts": "",
        "acidity": "acid",
    }
    return {**values, **overrides}


def test_a_material_is_added_with_its_cups(owner_client):
    response = post(owner_client, "material-add", **material_data())
    material = Material.objects.get()
    assert response.url == material.get_absolute_url()
    assert material.read_amount("2 cups sliced") == 332
    assert material.read_amount("1 cup") == 144


def test_a_compound_ingredient_is_entered_as_its_label_nests_it(owner_client):
    data = material_data(
        name="Sauce",
        kind="ingredient",
        nested_parts="vinegar\nsoy sauce 15% [soy]\n  water",
        allergen_lines="soy\nfish anchovy",
    )
    post(owner_client, "material-add", **data)
    material = Material.objects.get()
    assert material.parts[1]["parts"][0]["name"] == "water"
    assert material.allergens[1] == {"kind": "fish", "species": "anchovy"}
    text = page(owner_client, "material-edit", material.pk)
    assert "soy sauce 15% [soy]\n  water" in text


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("cups", "sliced", "does not end in a weight"),
        ("cups", "sliced 0", "does not end in a weight"),
        ("allergen_lines", "gold", "is no allergen"),
        ("allergen_lines", "tree_nut", "needs its species"),
        ("nested_parts", "a\n      b", "indented too far"),
    ],
)
def test_a_material_entered_wrongly_keeps_the_text(
    owner_client, field, typed, sentence
):
    response = post(owner_client, "material-add", **material_data(**{field: typed}))
    text = response.content.decode()
    assert sentence in text
    assert typed in text
    assert not Material.objects.exists()


def test_a_material_is_changed(owner_client):
    material = make_material(name="Sugar")
    data = material_data(name="White sugar", kind="ingredient")
    post(owner_client, "material-edit", material.pk, **data)
    material.refresh_from_db()
    assert material.name == "White sugar"


def test_materials_are_filtered_by_season(owner_client, settings):
    fruit = make_fruit(name="Ever")
    SeasonWindow.objects.create(material=fruit, start_day=101, end_day=1231)
    make_fruit(name="Never")
    text = page(owner_client, "material-list", season="now")
    assert "Ever" in text
    assert "Never" not in text


def test_offers_are_compared_per_usable_kilogram(owner_client):
    """A 12-lb flat at 28.00 with 92 % usable is 2.54 a usable lb, 5.59 a kg."""
    fruit = make_fruit(edible_yield=Decimal("0.92"))
    supplier = make_supplier()
    data = {
        "supplier": supplier.pk,
        "as_typed": "12 lb",
        "price": "28.00",
        "priced_on": "2026-06-10",
        "is_current": "on",
    }
    post(owner_client, "pack-add", fruit.pk, **data)
    assert "$5.59" in page(owner_client, "material-detail", fruit.pk)
    pack = Pack.objects.get()
    post(owner_client, "pack-edit", pack.pk, **{**data, "price": "30.00"})
    pack.refresh_from_db()
    assert pack.price == 30


def test_a_pack_of_pieces_is_counted(owner_client):
    jars = make_packaging()
    make_pack(jars, quantity=Decimal(12), price=Decimal("18.00"))
    assert "$1.50" in page(owner_client, "material-detail", jars.pk)
    data = {"supplier": make_supplier().pk, "as_typed": "2 lb", "price": "1"}
    text = post(owner_client, "pack-add", jars.pk, **data).content.decode()
    assert "it is counted; enter pieces." in text


def test_a_season_may_wrap_over_the_new_year(owner_client):
    fruit = make_fruit()
    data = {"first_day": "2026-11-15", "last_day": "2026-02-10"}
    post(owner_client, "season-add", fruit.pk, **data)
    window = fruit.seasons.get()
    assert (window.start_day, window.end_day) == (1115, 210)
    assert "-11-15" in page(owner_client, "season-edit", window.pk)
    assert (
        owner_client.get(
            reverse("inventory:season-delete", args=[window.pk])
        ).status_code
        == 405
    )
    asked = post(owner_client, "season-delete", window.pk).content.decode()
    assert "0 other seasons" in asked
    assert fruit.seasons.exists()
    post(owner_client, "season-delete", window.pk, confirmed="yes")
    assert not fruit.seasons.exists()


def test_a_weighing_gives_the_kitchens_own_yield(helper_client):
    fruit = make_fruit()
    data = {"weighed_on": "2026-06-10", "bought_g": "1000 g", "usable_g": "1200 g"}
    text = post(helper_client, "weighing-add", fruit.pk, **data).content.decode()
    assert "More is usable than was bought" in text
    post(helper_client, "weighing-add", fruit.pk, **{**data, "usable_g": "920 g"})
    assert "2 lb 0.5 oz" in page(helper_client, "material-detail", fruit.pk)


def receipt(supplier, *lines, **overrides):
    data = {
        "supplier": supplier.pk,
        "bought_on": "2026-06-10",
        "freight": "0",
        "line-TOTAL_FORMS": "4",
        "line-INITIAL_FORMS": "0",
    }
    for number, (material, amount, cost) in enumerate(lines):
        data[f"line-{number}-material"] = material.name
        data[f"line-{number}-amount"] = amount
        data[f"line-{number}-cost"] = cost
    return {**data, **overrides}


def test_a_receipt_becomes_lots(owner_client):
    sugar, supplier = make_material(), make_supplier()
    data = receipt(supplier, (sugar, "25 lb", "18.75"), freight="1.25")
    response = post(owner_client, "purchase-add", **data)
    purchase = Purchase.objects.get()
    assert response.url == purchase.get_absolute_url()
    lot = purchase.lots.get()
    assert (ledger.balance(lot), lot.cost) == (Decimal("11339.809"), 20)
    assert "$20.00" in page(owner_client, "purchase-detail", purchase.pk)
    assert "$20.00" in page(owner_client, "purchase-list", supplier=supplier.pk)
    assert "$20.00" in page(owner_client, "supplier-detail", supplier.pk)


def test_a_receipt_with_a_wrong_line_keeps_everything(owner_client):
    sugar = make_material()
    data = receipt(make_supplier(), (sugar, "25 lb", "18.75"), (sugar, "lots", "2"))
    text = post(owner_client, "purchase-add", **data).content.decode()
    assert "does not say how much" in text
    assert 'value="25 lb"' in text
    assert not Purchase.objects.exists()
    assert not Movement.objects.exists()


def test_a_receipt_sent_twice_is_entered_once(owner_client):
    data = receipt(make_supplier(), (make_material(), "1 kg", "2"))
    data["token"] = "b7a4f3f0-8a35-4c2b-9d4c-0d6f3a1f2b3c"
    first = post(owner_client, "purchase-add", **data)
    assert post(owner_client, "purchase-add", **data).url == first.url
    assert Movement.objects.count() == 1


def test_a_picture_of_the_receipt_is_kept(
    owner_client, helper_client, settings, tmp_path
):
    settings.MEDIA_ROOT = tmp_path
    data = receipt(make_supplier(), (make_material(), "1 kg", "2"))
    picture = SimpleUploadedFile("receipt.jpg", b"a picture")
    post(owner_client, "purchase-add", **data, receipt=picture)
    purchase = Purchase.objects.get()
    url = reverse("inventory:purchase-receipt", args=[purchase.pk])
    assert b"".join(owner_client.get(url).streaming_content) == b"a picture"
    assert helper_client.get(url).status_code == 403
    without = reverse("inventory:purchase-receipt", args=[make_purchase().pk])
    assert owner_client.get(without).status_code == 404


@pytest.mark.parametrize(
    ("name", "size", "sentence"),
    [("receipt.exe", 9, "is not allowed"), ("receipt.png", 11_000_000, "10 MB")],
)
def test_a_receipt_is_a_picture_of_a_sensible_size(owner_client, name, size, sentence):
    data = receipt(make_supplier(), (make_material(), "1 kg", "2"))
    picture = SimpleUploadedFile(name, b"x" * size)
    text = post(owner_client, "purchase-add", **data, receipt=picture)
    assert sentence in text.content.decode()
    assert not Purchase.objects.exists()


def test_what_a_lot_cost_is_put_right_by_the_owner(owner_client, helper_client):
    lot = make_lot(quantity=1000, cost=Decimal(10))
    data = {"cost": "12.50", "best_by": "2027-01-31", "origin": "Hill Farm"}
    assert post(helper_client, "lot-edit", lot.code, **data).status_code == 403
    post(owner_client, "lot-edit", lot.code, **data)
    lot.refresh_from_db()
    assert (lot.cost, lot.origin) == (Decimal("12.50"), "Hill Farm")
    jars = make_lot(product=make_product())
    url = reverse("inventory:lot-edit", args=[jars.code])
    assert owner_client.get(url).status_code == 404


def test_a_receipt_needs_a_line(owner_client):
    text = post(owner_client, "purchase-add", **receipt(make_supplier()))
    assert "Enter at least one line" in text.content.decode()


def test_stock_from_before_the_book_is_entered(owner_client):
    data = {"material": make_material().name, "amount": "3 kg", "cost": "6"}
    post(owner_client, "opening-add", on="2026-01-01", **data)
    assert Lot.objects.get().movements.get().reason == "opening"


def test_a_supplier_is_added_and_changed(owner_client):
    post(owner_client, "supplier-add", name="Hill Farm", lead_days="2")
    supplier = make_purchase().supplier
    post(owner_client, "supplier-edit", supplier.pk, name="Dale Farm", lead_days="0")
    text = page(owner_client, "supplier-list")
    assert "Hill Farm" in text
    assert "Dale Farm" in text
    text = post(owner_client, "supplier-add", name="Dale Farm", lead_days="1")
    assert "already exists" in text.content.decode()


def test_the_freezer_shows_what_it_holds(owner_client):
    fruit = make_fruit(name="Plums")
    make_lot(material=fruit, quantity=20_000, is_frozen=True, best_by=TODAY)
    text = page(owner_client, "freezer")
    assert "Plums" in text
    assert ">21 <small>of 127 qt" in text
    make_lot(material=fruit, quantity=200_000, is_frozen=True)
    assert "overfull" in page(owner_client, "freezer")


def test_units_follow_the_sellers_choice(owner_client):
    lot = make_lot(quantity=1000)
    assert "2 lb 3.3 oz" in page(owner_client, "lot-detail", lot.code)
    from inventory.models import Business

    Business.objects.update(units="metric")
    assert "1 kg" in page(owner_client, "lot-detail", lot.code)


def test_an_unused_day_is_no_place(owner_client):
    make_market_day()
    assert "jars at" not in page(
        owner_client, "lot-detail", make_lot(product=make_product()).code
    )
