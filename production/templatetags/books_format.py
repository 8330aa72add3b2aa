"""How the books show the working of a figure and where it came from."""

from decimal import Decimal

from django import template
from django.urls import NoReverseMatch, reverse

from inventory.measures import Measure, rate, scale_of
from inventory.money import round_money
from inventory.quantities import format_mass
from inventory.words import figures, say
from production.costing.breakdown import Source

register = template.Library()

WHOLE_DIGITS_SHOWN = 4


@register.filter
def figure(value: Decimal | None) -> str:
    """A number with at most four figures after the point that matter."""
    if value is None:
        return "–"
    after = WHOLE_DIGITS_SHOWN - value.adjusted() - 1 if value else 0
    places = min(max(after, 0), 6)
    text = f"{value:,.{places}f}"
    return figures(text.rstrip("0").rstrip(".") if "." in text else text)


@register.filter
def amount(value: Decimal) -> str:
    """A quantity exactly as the ledger has it, without needless noughts."""
    text = f"{value:,f}"
    return figures(text.rstrip("0").rstrip(".") if "." in text else text)


@register.simple_tag
def quantity(value: Decimal, unit: str) -> str:
    """A quantity of stock: weights as the seller weighs, the rest exactly."""
    if unit == "g":
        return format_mass(value)
    return f"{amount(value)} {say(unit)}".strip()


@register.simple_tag
def factor(value: Decimal, unit: str) -> str:
    """One number of a working: weights in one unit, so that the sum can be checked."""
    goods = scale_of(Measure.GOODS)
    if unit == "g":
        shown = goods.shown(value / 1000)
        return f"{figure(Decimal(shown.numerator) / shown.denominator)} {goods.unit}"
    if unit == say("per {unit}", unit=say("g")):
        by_weight = figure(rate(value * 1000, Measure.GOODS))
        return f"{by_weight} {say('per {unit}', unit=goods.unit)}"
    return f"{figure(value)} {say(unit)}".strip()


@register.simple_tag
def unit_cost(value: Decimal, unit: str) -> str:
    """Money by what is counted, or by the seller's unit of weight."""
    return (
        factor(value, say("per {unit}", unit=say("g")))
        if unit == "g"
        else figure(value)
    )


@register.filter
def signed(value: Decimal | None) -> str:
    """An amount with its sign, to the cent."""
    if value is None:
        return "–"
    rounded = round_money(value)
    return figures(f"{rounded:+.2f}" if rounded else "0.00")


@register.filter
def source_address(source: Source) -> str:
    """The page a source leads to; empty when it has none."""
    kind, _, rest = source.key.partition(":")
    routes = {
        "lot": ("inventory:lot-detail", [rest]),
        "material": ("inventory:material-detail", [rest]),
        "version": ("production:recipeversion-detail", rest.split(":")),
        "business": ("inventory:business-edit", []),
        "overheads": ("production:overhead-list", []),
    }
    if kind not in routes:
        return ""
    view, arguments = routes[kind]
    try:
        return reverse(view, args=arguments)
    except NoReverseMatch:
        return ""


@register.filter
def get(mapping: dict[object, object], key: object) -> object:
    """A value of a mapping by a key that only the loop knows."""
    return mapping.get(key)
