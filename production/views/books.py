"""The books: which jars lose money and where, what a jar costs, what is tried."""

from decimal import Decimal
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from inventory.measures import Measure, unit_of
from inventory.models import Business, Product
from inventory.money import format_money
from inventory.roles import owner_required
from inventory.words import say
from production.costing.breakdown import CostingError, JarCost, Part
from production.forms.books import WhatIfForm
from production.models import Batch
from production.pricing import PricingError
from production.selectors.batch_costs import batch_cost
from production.selectors.cost_book import read_cost_book
from production.selectors.jar_answer import answer_jar
from production.selectors.outlet_margins import MarginTable, margin_table
from production.selectors.season_history import fruit_prices, jars_by_month
from production.selectors.selling_prices import priced_products
from production.selectors.what_if import (
    NothingToTry,
    Offer,
    WhatIf,
    read_offer,
    starting_figures,
    try_figures,
)

LOSERS_SHOWN = 8
SLIDERS = ("price", "fruit_price", "labour_rate", "jars")


def _money(amount: Decimal, business: Business) -> str:
    return format_money(amount, currency=business.currency, locale=business.locale)


@owner_required
def books(request: HttpRequest) -> HttpResponse:
    today = timezone.localdate()
    book = read_cost_book(on=today)
    table = margin_table(book=book)
    losing = table.losing()
    context = {
        "book": book,
        "table": table,
        "losing": losing[:LOSERS_SHOWN],
        "more_losing": losing[LOSERS_SHOWN:],
        "losers": len(losing),
        "rows": _margin_rows(table, book.business.currency),
        "parts": list(Part),
        "margin_picture": _margin_picture(table, book.business),
        "cost_picture": _cost_picture(table, book.business),
        "year": today.year,
    }
    return render(request, "production/books_home.html", context)


def _parts_of(cost: JarCost, currency: str) -> list[Decimal | None]:
    """What each part costs as shown, in the order of the parts; None where none."""
    shown = cost.shown_parts(currency=currency)
    return [shown.get(part) for part in Part]


def _margin_rows(table: MarginTable, currency: str) -> list[dict[str, Any]]:
    return [
        {
            "product": product,
            "cost": table.costs[product.pk],
            "parts": _parts_of(table.costs[product.pk], currency),
            "cells": [table.cells.get((product.pk, o.pk)) for o in table.outlets],
        }
        for product in table.products
        if product.pk in table.costs
    ]


def _margin_picture(table: MarginTable, business: Business) -> str:
    from inventory.pictures import as_svg  # noqa: PLC0415 - drawings only when shown
    from production.books_pictures import draw_margin_map  # noqa: PLC0415 - as above

    products = [p for p in table.products if p.pk in table.costs]
    cells = {}
    for number, product in enumerate(products):
        for place, outlet in enumerate(table.outlets):
            kept = table.cells.get((product.pk, outlet.pk))
            if kept is not None and kept.kept_margin is not None:
                text = f"{_money(kept.kept, business)} · {kept.kept_margin:.0%}"
                cells[number, place] = (kept.kept_margin, text)
    if not cells:
        return ""
    drawing = draw_margin_map(
        [str(p) for p in products], [str(o) for o in table.outlets], cells
    )
    return as_svg(
        drawing,
        title=say("What is kept of a jar, by product and outlet"),
        description=say(
            "Edged in red loses money, green keeps some; the table below has the figures."
        ),
        name="margins",
    )


def _cost_picture(table: MarginTable, business: Business) -> str:
    from inventory.pictures import as_svg  # noqa: PLC0415 - drawings only when shown
    from production.books_pictures import Bar, draw_cost_bars  # noqa: PLC0415 - as above

    bars = [
        Bar(
            name=str(product),
            accent=product.accent,
            parts=table.costs[product.pk].cost_by_part(),
            total_text=_money(table.costs[product.pk].total_cost, business),
        )
        for product in table.products
        if product.pk in table.costs
    ]
    if not bars:
        return ""
    return as_svg(
        draw_cost_bars(bars),
        title=say("What a jar costs, part by part"),
        description=say(
            "One bar a product: ingredients, packaging, energy, labour, overhead."
        ),
        name="costs",
    )


@owner_required
def jar_cost(request: HttpRequest, code: str) -> HttpResponse:
    today = timezone.localdate()
    found = priced_products(Product.objects.filter(code=code), on=today)
    if not found:
        raise Http404(say("no product has this code"))
    context: dict[str, Any] = {"product": found[0].product}
    try:
        answer = answer_jar(found[0], on=today)
    except (CostingError, PricingError) as error:
        context["problem"] = str(error)
        return render(request, "production/books_jar.html", context)
    context |= {
        "answer": answer,
        "cost": answer.cost,
        "parts": answer.cost.shown_parts(currency=answer.book.business.currency),
        "shown": answer.cost.shown_lines(currency=answer.book.business.currency),
    }
    return render(request, "production/books_jar.html", context)


@owner_required
def batch_cost_page(request: HttpRequest, pk: int) -> HttpResponse:
    batch = get_object_or_404(
        Batch.objects.select_related("version__recipe", "product__jar_size"), pk=pk
    )
    context: dict[str, Any] = {"batch": batch}
    try:
        book = read_cost_book(on=timezone.localdate())
        result = batch_cost(batch, book=book)
    except CostingError as error:
        context["problem"] = str(error)
        return render(request, "production/books_batch.html", context)
    currency = book.business.currency
    context |= {
        "result": result,
        "reasons": result.comparison.shown_by_reason(currency=currency),
        "shown": result.actual.shown_lines(currency=currency),
    }
    return render(request, "production/books_batch.html", context)


@owner_required
def what_if(request: HttpRequest) -> HttpResponse:
    offer = read_offer(on=timezone.localdate())
    context: dict[str, Any] = {}
    pair = starting_figures(
        offer,
        product=request.GET.get("product", ""),
        outlet=_number(request.GET.get("outlet")),
    )
    if isinstance(pair, NothingToTry):
        context["problem"] = pair.problem
    else:
        context |= _tried(request, offer, pair)
    name = (
        "_books_what_if_answer" if getattr(request, "htmx", False) else "books_what_if"
    )
    return render(request, f"production/{name}.html", context)


def _number(text: str | None) -> int | None:
    return int(text) if text and text.isdecimal() else None


def _tried(request: HttpRequest, offer: Offer, pair: WhatIf) -> dict[str, Any]:
    """The form and what comes of its figures; today's where none were moved."""
    given = request.GET.copy()
    given["product"], given["outlet"] = str(pair.product), str(pair.outlet.pk)
    is_same = request.GET.get("started") == f"{pair.product.code}-{pair.outlet.pk}"
    for name, value in pair.figures().items():
        if not is_same or name not in given:
            given[name] = f"{value:.2f}"
    form = WhatIfForm(given, offer=offer)
    form.set_ranges(pair.figures())
    context: dict[str, Any] = {
        "form": form,
        "pair": pair,
        "started": f"{pair.product.code}-{pair.outlet.pk}",
        "sliders": [form[name] for name in SLIDERS],
    }
    if not form.is_valid():
        return context
    try:
        context["tried"] = try_figures(
            pair, form.change(), price=form.cleaned_data["price"]
        )
    except (CostingError, PricingError) as error:
        context["problem"] = str(error)
    return context


@owner_required
def history(request: HttpRequest) -> HttpResponse:
    from inventory.pictures import as_svg  # noqa: PLC0415 - drawings only when shown
    from production.books_pictures import draw_prices, draw_season  # noqa: PLC0415

    today = timezone.localdate()
    year = _number(request.GET.get("year")) or today.year
    prices, season = fruit_prices(on=today), jars_by_month(year=year)
    context: dict[str, Any] = {
        "year": year,
        "years": range(today.year, today.year - 4, -1),
        "prices": prices,
        "season": season,
    }
    if prices:
        context["price_picture"] = as_svg(
            draw_prices(prices),
            title=say("What a {unit} of fruit cost", unit=unit_of(Measure.GOODS)),
            description=say("One line a fruit, one dot a purchase."),
            name="prices",
        )
    if season:
        context["season_picture"] = as_svg(
            draw_season(season),
            title=say("Jars sold by month in {year}", year=year),
            description=say("One row a product; the greener the more jars."),
            name="season",
        )
    return render(request, "production/books_history.html", context)
