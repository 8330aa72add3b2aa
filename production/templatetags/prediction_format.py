"""Figures of a prediction as pages show them."""

from decimal import Decimal

from django import template

from production.science import working
from production.science.span import Span

register = template.Library()


@register.filter
def plain(value: Decimal, step: str = "0.1") -> str:
    """A figure rounded to a step, without trailing zeros."""
    return working.plain(value, step)


@register.filter
def span(value: Span, step: str = "0.1") -> str:
    """A figure with its range."""
    return value.text(step)


@register.filter
def weight_span(value: Span) -> str:
    """A weight with its range, in the seller's units."""
    return value.weight_text


@register.filter
def percent_span(value: Span) -> str:
    """A share with its range, in per cent."""
    return f"{value.scaled(Decimal(100)).text()} %"
