"""Lists of the stall."""

from typing import Any

import django_tables2 as tables
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext_lazy as _

from inventory import selectors
from inventory.models import ConsignmentVisit, MarketDay, MarketLine, Outlet
from inventory.money import format_money
from inventory.tables.columns import (
    DayColumn,
    MoneyColumn,
    NumberColumn,
    business_of,
    fruit_cell,
)
from inventory.words import say

__all__ = ["DayTable", "LineTable", "OutletTable", "VisitTable"]

STATUS_COLOUR = {"planned": "", "out": "warn", "counted": "good", "cancelled": ""}


class OutletTable(tables.Table):
    caption = _("Outlets")
    name = tables.Column(linkify=True)
    kind = tables.Column()
    weekday = tables.Column(default="")
    contact = tables.Column()
    day_fee = MoneyColumn(verbose_name=_("Fee of a day"))

    class Meta:
        model = Outlet
        fields = ("name", "kind", "weekday", "contact", "day_fee")
        empty_text = _("No outlet yet. Add the market, shop or gate where you sell.")

    def render_weekday(self, value: int) -> str:
        names = say("Monday Tuesday Wednesday Thursday Friday Saturday Sunday")
        return names.split()[value]


class DayTable(tables.Table):
    caption = _("Market days, the newest first")
    on = DayColumn(linkify=True, verbose_name=_("Day"))
    outlet = tables.Column()
    status = tables.Column()
    taken = NumberColumn(verbose_name=_("Jars taken"))
    sold = NumberColumn(verbose_name=_("Sold"))
    takings = MoneyColumn(verbose_name=_("Takings"))

    class Meta:
        model = MarketDay
        fields = ("on", "outlet", "status", "taken", "sold", "takings")
        order_by = "-on"
        empty_text = _("No market day yet. Plan the next one, then pack for it.")

    def render_status(self, value: str, record: MarketDay) -> SafeString:
        colour = STATUS_COLOUR.get(record.status, "")
        return format_html('<span class="status {}">{}</span>', colour, value)


class LineTable(tables.Table):
    caption = _("Jars of the day by lot")
    lot = tables.Column(
        linkify=True, verbose_name=_("Jars"), attrs=fruit_cell("lot", "product")
    )
    packed = NumberColumn(
        verbose_name=_("Packed"), footer=lambda table: _sum(table, "packed")
    )
    taken = NumberColumn(footer=lambda table: _sum(table, "taken"))
    sold = NumberColumn(footer=lambda table: _sum(table, "sold"))
    sampled = NumberColumn(footer=lambda table: _sum(table, "sampled"))
    broken = NumberColumn(footer=lambda table: _sum(table, "broken"))
    given = NumberColumn(footer=lambda table: _sum(table, "given"))
    brought_back = NumberColumn(footer=lambda table: _sum(table, "brought_back"))
    unaccounted = NumberColumn(
        footer=lambda table: _sum(table, "unaccounted"), verbose_name=_("unaccounted")
    )

    class Meta:
        model = MarketLine
        fields = (
            "lot",
            "packed",
            "taken",
            "sold",
            "sampled",
            "broken",
            "given",
            "brought_back",
            "unaccounted",
        )
        orderable = False
        empty_text = _("Nothing packed yet. Write the packing list first.")


class VisitTable(tables.Table):
    caption = _("Visits and deliveries, the newest first")
    on = DayColumn(linkify=True, verbose_name=_("Day"))
    outlet = tables.Column(verbose_name=_("Shop"))
    due = MoneyColumn(verbose_name=_("Due"), orderable=False, empty_values=())
    paid_on = DayColumn(verbose_name=_("Paid on"), default="")

    class Meta:
        model = ConsignmentVisit
        fields = ("on", "outlet", "due", "paid_on")
        order_by = "-on"
        empty_text = _(
            "No visit yet. Open a shop's page and enter what you left there."
        )

    def render_due(self, record: ConsignmentVisit) -> str:
        business = business_of(self)
        due = selectors.visit_due(record)
        return format_money(due, business.currency, business.locale)


def _sum(table: Any, column: str) -> int:
    return sum((int(getattr(line, column)) for line in table.data), 0)
