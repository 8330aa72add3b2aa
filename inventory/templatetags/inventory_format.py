"""How figures are shown on a page: money, measures, shares, and where one is."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import template
from django.template import Context
from django.urls import NoReverseMatch, reverse
from django.utils.translation import gettext as _

from inventory import measures, money, words
from inventory.measures import Measure
from inventory.quantities import format_amount, format_mass

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


@register.simple_tag
def amount(quantity: Decimal | None, unit: str) -> str:
    """A quantity of stock in the seller's units, or a dash."""
    return "–" if quantity is None else format_amount(quantity, unit)


@register.filter
def weight(value: Any) -> str:
    """A weight with its unit, as the seller weighs: "2 lb 4 oz", "1.02 kg"."""
    return _shown(value, format_mass)


@register.filter
def grams(value: Any, places_after: int = 1) -> str:
    """A weight as the scale shows it, in grams whatever the setting: "227.4 g"."""
    return _shown(value, lambda known: f"{measures.figure(known, places_after)} g")


@register.filter
def temperature(value: Any) -> str:
    """A temperature, stored in degrees C, on the seller's scale."""
    return _measured(value, Measure.TEMPERATURE)


@register.filter
def temperatures(value: Any) -> str:
    """A temperature on both scales, the seller's first, where it can hurt."""
    return _shown(value, measures.format_temperature)


@register.filter
def degrees(value: Any) -> str:
    """A difference of temperatures, stored in C degrees."""
    return _measured(value, Measure.DEGREES)


@register.filter
def altitude(value: Any) -> str:
    """A height above the sea, stored in metres."""
    return _measured(value, Measure.ALTITUDE)


@register.filter
def short_length(value: Any) -> str:
    """A short length, stored in mm; `length` is Django's own count of rows."""
    return _measured(value, Measure.LENGTH)


@register.filter
def headspace(value: Any) -> str:
    """The empty height of a jar, stored in mm."""
    return _shown(value, measures.format_headspace)


@register.filter
def volume(value: Any) -> str:
    """What a jar holds, stored in ml."""
    return _shown(value, measures.format_volume)


@register.filter
def space(value: Any) -> str:
    """Room in the freezer, stored in litres."""
    return _measured(value, Measure.SPACE)


@register.filter
def distance(value: Any) -> str:
    """A way driven, stored in km."""
    return _measured(value, Measure.DISTANCE)


@register.filter
def goods(value: Any) -> str:
    """Fruit by the kilogram or the pound, stored in kg."""
    return _measured(value, Measure.GOODS)


@register.filter
def density(value: Any) -> str:
    """How heavy a material is for its size, stored in g/ml."""
    return _measured(value, Measure.DENSITY)


@register.filter
def as_figure(value: Any, places_after: int = 1) -> str:
    """A bare number as the seller writes it."""
    return _shown(value, lambda known: measures.figure(known, places_after))


@register.filter
def in_unit(value: Any, measure: str) -> str:
    """A stored figure without its unit, which stands in the heading."""
    scale = measures.scale_of(Measure(measure))
    return _shown(
        value, lambda known: measures.figure(scale.shown(known), scale.places)
    )


@register.simple_tag
def unit(measure: str) -> str:
    """The seller's unit of a measure, for a heading: "°F", "kg"."""
    return measures.unit_of(Measure(measure))


@register.filter
def by(stored: Any, measure: str) -> Decimal | None:
    """Money a kg or a km as money by the seller's unit, a lb or a mile."""
    if stored in {None, ""}:
        return None
    return measures.rate(Decimal(stored), Measure(measure))


def _measured(value: Any, measure: Measure) -> str:
    return _shown(value, lambda known: measures.format_measure(known, measure))


def _shown(value: Any, written: Callable[[Decimal], str]) -> str:
    return "–" if value in {None, ""} else written(Decimal(value))


@register.filter
def percent(value: Any, places_after: int = 0) -> str:
    """A share of one as per cent."""
    if value in {None, ""}:
        return "–"
    share = words.figures(f"{Decimal(value) * 100:.{places_after}f}")
    return f"{share} %"
