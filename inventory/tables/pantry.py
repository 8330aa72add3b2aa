"""Lists of the pantry."""

from typing import Any

import django_tables2 as tables
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext_lazy as _

from inventory.models import Lot, Material, Movement, Pack, Purchase, Supplier
from inventory.money import format_money
from inventory.tables.columns import (
    CODE_CELL,
    NAME_CELL,
    AmountColumn,
    DayColumn,
    MoneyColumn,
    NumberColumn,
    business_of,
    fruit_cell,
)
from inventory.words import say

__all__ = [
    "FreezerTable",
    "LedgerTable",
    "LotTable",
    "MaterialTable",
    "MovementTable",
    "PackTable",
    "PurchaseTable",
    "SupplierTable",
]


class MaterialTable(tables.Table):
    caption = _("Materials, with what is at home")
    name = tables.Column(linkify=True)
    kind = tables.Column()
    at_home = AmountColumn(verbose_name=_("At home"))
    edible_yield = NumberColumn(verbose_name=_("Usable"))
    fresh_days = NumberColumn(verbose_name=_("Fresh (days)"), default="")

    class Meta:
        model = Material
        fields = ("name", "kind", "at_home", "edible_yield", "fresh_days")
        empty_text = _("No material yet. Add what you cook with: fruit, sugar, jars.")
        order_by = "name"

    def render_edible_yield(self, value: Any) -> str:
        return f"{value * 100:.0f} %"


class SupplierTable(tables.Table):
    caption = _("Suppliers")
    name = tables.Column(linkify=True)
    phone = tables.Column()
    lead_days = NumberColumn(verbose_name=_("Lead time (days)"))
    purchases = NumberColumn(
        verbose_name=_("Purchases"),
        accessor="purchases_count",
        order_by="purchases_count",
    )

    class Meta:
        model = Supplier
        fields = ("name", "phone", "lead_days", "purchases")
        empty_text = _("No supplier yet. Add the farm or shop you buy from.")


class PurchaseTable(tables.Table):
    caption = _("Purchases, the newest first")
    bought_on = DayColumn(linkify=True, verbose_name=_("Bought on"))
    supplier = tables.Column(linkify=True)
    reference = tables.Column()
    lots = NumberColumn(accessor="lot_count", verbose_name=_("Lots"))
    cost = MoneyColumn(accessor="total", verbose_name=_("Cost"))

    class Meta:
        model = Purchase
        fields = ("bought_on", "supplier", "reference", "lots", "cost")
        empty_text = _(
            "No purchase yet. Enter a receipt, and its lots are in the pantry."
        )


class LotTable(tables.Table):
    caption = _("Lots, with what is left at home")
    code = tables.Column(linkify=True, verbose_name=_("Lot"), attrs=CODE_CELL)
    name = tables.Column(
        order_by=("material__name", "product__name"),
        attrs=fruit_cell("product"),
        verbose_name=_("name"),
    )
    home_balance = AmountColumn(verbose_name=_("At home"))
    best_by = DayColumn(verbose_name=_("Best by"))
    received_on = DayColumn(verbose_name=_("Received"))
    state = tables.Column(empty_values=(), orderable=False, verbose_name=_("state"))
    cost = MoneyColumn(verbose_name=_("Cost of the lot"))

    class Meta:
        model = Lot
        fields = (
            "code",
            "name",
            "home_balance",
            "best_by",
            "received_on",
            "state",
            "cost",
        )
        empty_text = _("Nothing here. Enter a purchase, or the stock you already have.")

    def render_state(self, record: Lot) -> SafeString | str:
        if record.stopped_at:
            return format_html('<span class="status bad">{}</span>', say("stopped"))
        if record.product_id and not record.released_at:
            return format_html('<span class="status warn">{}</span>', say("held"))
        return say("frozen") if record.is_frozen else ""


class FreezerTable(tables.Table):
    caption = _("Frozen lots, the first to use first")
    best_by = DayColumn(verbose_name=_("Use by"))
    code = tables.Column(linkify=True, verbose_name=_("Lot"), attrs=CODE_CELL)
    name = tables.Column(attrs=NAME_CELL, verbose_name=_("name"))
    home_balance = AmountColumn(verbose_name=_("Left"))
    received_on = DayColumn(verbose_name=_("Frozen on"))

    class Meta:
        orderable = False
        empty_text = _(
            "The freezer is empty. Freeze a part of a lot from the lot's page."
        )


class MovementTable(tables.Table):
    caption = _("Movements, the newest first")
    on = DayColumn(verbose_name=_("Day"))
    quantity = AmountColumn()
    reason = tables.Column()
    place = tables.Column(default=_("home"))
    person = tables.Column(default="")
    cause = tables.Column(verbose_name=_("Because of"))
    note = tables.Column()
    correct = tables.TemplateColumn(
        '{% load i18n %}{% if record.corrects_id %}{% translate "corrects" %} {{ record.corrects.on|date:"SHORT_DATE_FORMAT" }}'
        "{% elif record.reason != 'moved' and record.reason != 'split' %}"
        "<a href=\"{% url 'inventory:movement-correct' record.pk %}\">{% translate 'Correct' %}</a>{% endif %}",
        verbose_name=_("Put right"),
        orderable=False,
    )

    class Meta:
        model = Movement
        fields: tuple[str, ...] = (
            "on",
            "quantity",
            "reason",
            "place",
            "person",
            "cause",
            "note",
            "correct",
        )
        orderable = False
        empty_text = _("Nothing has happened to this lot.")


class LedgerTable(MovementTable):
    caption = _("Every movement, the newest first")
    lot = tables.Column(linkify=True, attrs=NAME_CELL)

    class Meta(MovementTable.Meta):
        fields: tuple[str, ...] = ("on", "lot", *MovementTable.Meta.fields[1:])
        sequence = ("on", "lot", "...")
        empty_text = _("Nothing has moved yet. Enter a purchase, and it begins.")


class PackTable(tables.Table):
    caption = _("Offers, the cheapest first")
    supplier = tables.Column()
    as_typed = tables.Column(verbose_name=_("Pack"))
    price = MoneyColumn()
    per_kg = NumberColumn(
        accessor="unit_price", verbose_name=_("Per usable kg or piece")
    )
    priced_on = DayColumn(verbose_name=_("Priced on"))
    edit = tables.TemplateColumn(
        "<a href=\"{% url 'inventory:pack-edit' record.pk %}\">Change</a>",
        verbose_name=_("Change"),
        orderable=False,
    )

    class Meta:
        model = Pack
        fields = ("supplier", "as_typed", "price", "per_kg", "priced_on", "edit")
        orderable = False
        empty_text = _(
            "No offer yet. Add a pack size with its price to compare suppliers."
        )

    def render_per_kg(self, value: Any, record: Pack) -> str:
        business = business_of(self)
        material = record.material
        if not material.is_edible:
            return format_money(value, business.currency, business.locale)
        usable = value * 1000 / material.edible_yield
        return format_money(usable, business.currency, business.locale)
