"""Every field brings up the right keys on a phone, on every page that shows a form."""

import re
from html.parser import HTMLParser

import pytest
from django.urls import reverse

from inventory.templatetags.inventory_keys import BELOW_ZERO, CODES, name_of
from labels.models import LabelSheet
from tests import factories
from tests.browser.every_page import pages
from tests.production import kitchen as book

pytestmark = pytest.mark.django_db

KEYS = {"none", "text", "tel", "url", "email", "numeric", "decimal", "search"}
NO_KEYS = {
    "hidden", "checkbox", "radio", "submit", "button", "file", "color", "range",
    "password", "date", "time", "datetime-local",
}  # fmt: skip
DAYS = re.compile(r"(^|_)on$|^(first|last|since|until|best_by|valid_from)$")
WORDS_OF_DAYS = {"bought_on_text"}


class Fields(HTMLParser):
    """Every input of a page."""

    def __init__(self, page):
        super().__init__()
        self.found = []
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        if tag == "input":
            self.found.append(dict(attrs))


def wrong_with(field):
    """What a field lacks, in words."""
    kind, name = field.get("type", "text"), name_of(field.get("name", ""))
    if DAYS.search(name) and kind not in {"date", "datetime-local", "hidden"}:
        yield "a day is picked: type=date"
    if kind in NO_KEYS:
        return
    if (
        kind == "number"
        and name not in BELOW_ZERO
        and field.get("inputmode") not in {"numeric", "decimal"}
    ):
        yield "a number brings up the digits: inputmode"
    if field.get("inputmode", "text") not in KEYS:
        yield "no such inputmode"
    if kind != "number" and "enterkeyhint" not in field:
        yield "what Enter does: enterkeyhint"
    if kind != "number" and "autocomplete" not in field:
        yield "what may be filled in: autocomplete"
    if name in CODES and field.get("autocapitalize") not in {"none", "characters"}:
        yield "a code keeps its letters: autocapitalize"


def small_book(owner):
    """A row for every page that needs one."""
    batch = book.make_held(owner)
    cooking = book.make_cooking(owner)
    planned = book.make_planned()
    factories.make_supplier()
    lot = batch.inputs.first().movement.lot
    shop = factories.make_outlet(kind="consignment")
    day = factories.make_market_day()
    sheet = LabelSheet.objects.first()
    recipe = batch.version.recipe
    return {
        "inventory:material-edit": [lot.material_id],
        "inventory:pack-add": [lot.material_id],
        "inventory:season-add": [lot.material_id],
        "inventory:weighing-add": [lot.material_id],
        "inventory:lot-edit": [lot.code],
        "inventory:lot-write-off": [lot.code],
        "inventory:lot-count": [lot.code],
        "inventory:lot-return": [batch.outputs.get().lot.code],
        "inventory:movement-correct": [lot.movements.first().pk],
        "inventory:outlet-edit": [shop.pk],
        "inventory:visit-add": [shop.pk],
        "inventory:marketday-edit": [day.pk],
        "inventory:marketday-pack": [day.pk],
        "production:recipeversion-create": [recipe.slug],
        "production:recipe-prediction": [recipe.slug],
        "production:product-edit": [batch.product.code],
        "production:price-create": [batch.product.code],
        "production:jarsize-edit": [batch.product.jar_size_id],
        "production:jar-weights": [batch.pk, batch.outputs.get().pk],
        "labels:productlabel-edit": [batch.product.code],
        "labels:print": [batch.code],
        **({"labels:sheet-edit": [sheet.name]} if sheet else {}),
        "production:batch-detail": [[batch.pk], [cooking.pk], [planned.pk]],
    }


def addresses(owner):
    rows = small_book(owner)
    for _label, name, row in pages():
        if row == "[]":
            yield reverse(name)
    for name, row in rows.items():
        for args in row if isinstance(row[0], list) else [row]:
            yield reverse(name, args=args)


def test_every_field_brings_up_the_right_keys(owner, owner_client):
    wrong, seen = set(), 0
    for address in dict.fromkeys(addresses(owner)):
        page = owner_client.get(address, follow=True).content.decode()
        main = page.partition('id="main"')[2]
        for field in Fields(main).found:
            seen += field.get("type") != "hidden"
            wrong |= {
                f"{field.get('name')} at {address}: {w}" for w in wrong_with(field)
            }
    assert not wrong, "\n".join(sorted(wrong))
    assert seen > 250, f"only {seen} fields were looked at"


@pytest.mark.parametrize(
    ("field", "said"),
    [
        ({"type": "number", "name": "jars-3"}, "digits"),
        ({"type": "text", "name": "bought_on"}, "type=date"),
        ({"type": "text", "name": "note", "autocomplete": "off"}, "enterkeyhint"),
        (
            {"name": "code", "autocomplete": "off", "enterkeyhint": "search"},
            "autocapitalize",
        ),
    ],
)
def test_a_wrong_field_would_be_found(field, said):
    assert said in " ".join(wrong_with(field))


def test_the_sellers_own_facts_may_be_filled_in(owner_client):
    page = owner_client.get(reverse("inventory:business-edit")).content.decode()
    for token in ("organization", "address-line1", "postal-code", "tel", "email"):
        assert f'autocomplete="{token}"' in page
