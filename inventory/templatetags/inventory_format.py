"""How figures are shown on a page: money, weights, shares, and where one is."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import template
from django.template import Context
from django.urls import NoReverseMatch, reverse
from django.utils.translation import gettext as _

from inventory import money
from inventory.quantities import MeasureSystem, format_amount

register = template.Library()


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One place of the work in the navigation."""

    name: str
    address: str
    is_here: bool


def _rooms() -> list[tuple[str, str, str]]:
    return [
        (_("Week"), "production:week", "/week/"),
        (_("Kitchen"), "production:kitchen", "/kitchen/"),
        (_("Pantry"), "inventory:pantry", "/pantry/"),
        (_("Stall"), "inventory:stall", "/stall/"),
        (_("Labels"), "labels:home", "/labels/"),
        (_("Complaints"), "production:complaint-list", "/complaints/"),
        (_("Books"), "production:books", "/books/"),
    ]


@register.simple_tag(takes_context=True)
def places(context: Context) -> list[Place]:
    """The places of the work that this reader may enter."""
    request = context.get("request")
    here = request.path if request is not None else ""
    found = []
    for name, view, prefix in _rooms():
        if view == "production:books" and not context.get("is_owner"):
            continue
        try:
            address = reverse(view)
        except NoReverseMatch:
            continue
        at_home = here == "/" and prefix == "/week/"
        found.append(
            Place(
                name=name, address=address, is_here=at_home or here.startswith(prefix)
            )
        )
    return found


@register.simple_tag(takes_context=True, name="money")
def money_text(context: Context, amount: Decimal | None) -> str:
    """An amount in the seller's currency and locale, or a dash."""
    if amount is None:
        return "–"
    business = context.get("business")
    currency = getattr(business, "currency", "USD")
    locale = getattr(business, "locale", "en_US")
    return money.format_money(amount, currency=currency, locale=locale)


@register.simple_tag(takes_context=True)
def amount(context: Context, quantity: Decimal | None, unit: str) -> str:
    """A quantity of stock in the seller's units, or a dash."""
    if quantity is None:
        return "–"
    business = context.get("business")
    return format_amount(
        quantity,
        unit,
        system=MeasureSystem(getattr(business, "units", "us")),
        locale=getattr(business, "locale", "en_US"),
    )


@register.filter
def grams(value: Any) -> str:
    """A weight in grams, or in kilograms from 1,000 g, with its unit."""
    if value in {None, ""}:
        return "–"
    weight = Decimal(value)
    if abs(weight) >= 1000:
        return f"{(weight / 1000).quantize(Decimal('0.01'))} kg"
    return f"{weight.quantize(Decimal(1)) if weight >= 10 else weight.normalize():f} g"


@register.filter
def percent(value: Any, places_after: int = 0) -> str:
    """A share of one as per cent."""
    if value in {None, ""}:
        return "–"
    return f"{Decimal(value) * 100:.{places_after}f} %"
