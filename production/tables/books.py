"""Lists of the books."""

from decimal import Decimal
from typing import Any

import django_tables2 as tables
from django.utils.translation import gettext_lazy as _

from inventory.models import Business
from inventory.money import format_money
from inventory.quantities import format_amount
from inventory.words import say
from production.models import Expense, Overhead

NUMBER = {"th": {"class": "number"}, "td": {"class": "number"}}


class MoneyColumn(tables.Column):
    """An amount in the seller's currency, right-aligned."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(attrs=NUMBER, **kwargs)

    def render(self, value: Decimal, table: tables.Table) -> str:
        business = table.business
        return format_money(value, currency=business.currency, locale=business.locale)


class OverheadTable(tables.Table):
    name = tables.Column(linkify=("production:overhead-edit", {"pk": tables.A("pk")}))
    amount = MoneyColumn()

    class Meta:
        model = Overhead
        fields = ["name", "amount", "years", "key", "starts_on", "ends_on"]
        empty_text = _(
            "No overheads yet: the yearly sum of My business is spread by jars."
        )

    def __init__(self, *args: Any, business: Business, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.business = business
        self.caption = say("Costs of years, and what they are spread by")


class ExpenseTable(tables.Table):
    amount = MoneyColumn()

    class Meta:
        model = Expense
        fields = ["on", "kind", "text", "amount"]
        empty_text = _(
            "No expenses entered: wages, supplies not in stock, other costs."
        )

    def __init__(self, *args: Any, business: Business, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.business = business
        self.caption = say("Money paid out that is no purchase of stock")


class WriteOffTable(tables.Table):
    on = tables.Column(verbose_name=_("day"))
    reason = tables.Column(verbose_name=_("reason"))
    name = tables.Column(verbose_name=_("what"))
    lot = tables.Column(verbose_name=_("lot"))
    quantity = tables.Column(attrs=NUMBER, verbose_name=_("quantity"))
    cost = MoneyColumn(verbose_name=_("at cost"))

    class Meta:
        empty_text = _("Nothing was written off.")

    def __init__(self, *args: Any, business: Business, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.business = business
        self.caption = say("What left unsold, at cost")

    def render_quantity(self, value: Decimal, record: Any) -> str:
        return format_amount(value, record.unit)
