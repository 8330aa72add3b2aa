"""Figures of a prediction as pages show them."""

from decimal import Decimal

from django import template

from production.science import temperature, working
from production.science.span import Span

register = template.Library()


@register.filter
def both_scales(temperature_c: Decimal) -> str:
    """A temperature in degrees C and F."""
    return temperature.both_scales(temperature_c)


@register.filter
def plain(value: Decimal, step: str = "0.1") -> str:
    """A figure rounded to a step, without trailing zeros."""
    return working.plain(value, step)


@register.filter
def span(value: Span, step: str = "0.1") -> str:
    """A figure with its range."""
    return value.text(step)


@register.filter
def percent_span(value: Span) -> str:
    """A share with its range, in per cent."""
    return f"{value.scaled(Decimal(100)).text()} %"
