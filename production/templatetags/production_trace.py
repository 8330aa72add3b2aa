"""How figures, pictures and repeated fields of the tracing pages are shown."""

from decimal import Decimal
from typing import Any

from django import template
from django.forms import BoundField
from django.utils.safestring import SafeString, mark_safe

from inventory.words import figures
from production.jar_balance import JarBalance
from production.trace_answer import number_text

register = template.Library()


@register.filter
def number(value: Decimal | int | None) -> str:
    """A count or weight without trailing zeros."""
    return "" if value is None else figures(number_text(Decimal(value)))


@register.simple_tag
def share(balance: JarBalance, jars: Decimal) -> str:
    """Jars in per cent of those made."""
    return figures(number_text(balance.percent(jars)))


@register.simple_tag
def hundred(fraction: Decimal) -> str:
    """A share of one in per cent, to two places."""
    return figures(f"{100 * fraction:.2f}")


@register.filter
def safe_svg(svg: str) -> SafeString:
    """A picture made by ``inventory.pictures``, whose words are escaped there."""
    return mark_safe(svg)  # noqa: S308 - written by an XML writer, no outside markup


@register.simple_tag
def with_id(field: BoundField, number: int) -> Any:
    """A field of a form that stands several times on a page, with its own id."""
    return field.as_widget(attrs={"id": f"c{number}-{field.name}"})
