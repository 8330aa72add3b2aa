"""What a jar costs and what is kept of it: one answer for the page and the command."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from inventory.models import Outlet, Product
from inventory.money import round_money
from inventory.sourced import Kind, Sourced
from inventory.words import say
from production.costing.breakdown import CostingError, JarCost, Line, Source
from production.margins import (
    Kept,
    KeptInput,
    WholesaleFloor,
    kept_of_a_jar,
    wholesale_floor,
)
from production.models import BatchOutput
from production.selectors.batch_costs import BatchCost, output_cost
from production.selectors.cost_book import CostBook, read_cost_book
from production.selectors.costed_outputs import costed_outputs
from production.selectors.outlet_margins import outlet_terms, with_days_attended
from production.selectors.selling_prices import PricedProduct

__all__ = [
    "SHOP_MARGIN",
    "JarAnswer",
    "OutletAnswer",
    "answer_jar",
    "as_data",
    "find_product",
]

SHOP_MARGIN = Sourced(
    value=Decimal("0.40"),
    unit="1",
    kind=Kind.CONVENTION,
    source="Alberta Agriculture, Pricing Processed Food Products, Agdex 845-3",
    section="specialty shops take 30 to 40 % of the shelf price",
    edition="Aug 2016",
)
"""What a specialty shop usually wants of its shelf price; the upper end of the span."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OutletAnswer:
    """What is kept of the jar at one outlet."""

    outlet: Outlet
    kept: Kept


@dataclass(frozen=True, slots=True, kw_only=True)
class JarAnswer:
    """Standard cost, what each outlet keeps, and what the last batches cost.

    Attributes:
        floors: least prices to a shop, by the margin wanted (per cent).
        problems: batches whose cost could not be worked out, and why.
    """

    product: Product
    book: CostBook
    cost: JarCost
    outlets: tuple[OutletAnswer, ...]
    batches: tuple[BatchCost, ...]
    floors: dict[int, WholesaleFloor]
    problems: tuple[str, ...]


def find_product(text: str) -> Product:
    """A product by its code, or by its name when only one has it.

    Raises:
        CostingError: none, or several.
    """
    products = Product.objects.select_related("jar_size__jar", "jar_size__lid")
    exact = products.filter(code=text).first()
    if exact is not None:
        return exact
    named = list(products.filter(name__iexact=text)[:5])
    if len(named) == 1:
        return named[0]
    known = named or list(products.order_by("code")[:8])
    codes = ", ".join(product.code for product in known) or say("none yet")
    what = say("several products are") if named else say("no product is")
    raise CostingError(
        say(
            '{what} called "{text}"; use a code, such as {codes}',
            what=what,
            text=text,
            codes=codes,
        )
    )


def answer_jar(
    product: Product | PricedProduct,
    *,
    on: datetime.date,
    outlet_name: str = "",
    last_batches: int = 3,
) -> JarAnswer:
    """Work out what a jar of a product costs and what is kept of it.

    Args:
        product: with its jar size, or with its prices of the day too.
        on: the day whose prices hold.
        outlet_name: only this outlet, with or without a price for the jar.
        last_batches: how many of the newest batches to cost.

    Raises:
        CostingError: a price, a recipe or the outlet is missing.
    """
    number = product.pk if isinstance(product, Product) else product.product.pk
    outputs = costed_outputs(product_id=number, limit=last_batches)
    book = read_cost_book(on=on, versions={o.batch.version_id for o in outputs})
    priced = book.with_prices(product)
    product, prices = priced.product, priced.prices
    cost = book.standard_cost(priced)
    outlets = _outlets(outlet_name, on=on)
    terms = outlet_terms(outlets, on=on, business=book.business)
    kept = [
        OutletAnswer(
            outlet=outlet,
            kept=kept_of_a_jar(
                KeptInput(
                    product=str(product),
                    price=prices[outlet.kind],
                    cost=cost.total_cost,
                    outlet=terms[outlet.pk],
                )
            ),
        )
        for outlet in outlets
        if outlet.kind in prices
    ]
    if outlet_name and not kept:
        raise CostingError(
            say(
                "{product} has no price at {outlets}: set one for a {kind}",
                product=product,
                outlets=outlets[0],
                kind=outlets[0].get_kind_display(),
            )
        )
    batches, problems = _batches(outputs, book, priced)
    return JarAnswer(
        product=product,
        book=book,
        cost=cost,
        outlets=tuple(kept),
        batches=tuple(batches),
        floors=_floors(cost),
        problems=tuple(problems),
    )


def _floors(cost: JarCost) -> dict[int, WholesaleFloor]:
    """Least price to a shop that leaves nought, a fifth or two fifths of it."""
    return {
        percent: wholesale_floor(
            cost.total_cost,
            wanted_margin=Decimal(percent) / 100,
            shop_margin=SHOP_MARGIN.value,
        )
        for percent in (0, 20, 40)
    }


def _outlets(name: str, *, on: datetime.date) -> list[Outlet]:
    open_outlets = Outlet.objects.filter(closed_on__isnull=True)
    outlets = list(with_days_attended(open_outlets, on=on))
    if not name:
        return outlets
    found = [outlet for outlet in outlets if outlet.name.lower() == name.lower()]
    if not found:
        names = ", ".join(outlet.name for outlet in outlets) or say("none yet")
        raise CostingError(
            say(
                'no open outlet is called "{name}"; there are: {names}',
                name=name,
                names=names,
            )
        )
    return found


def _batches(
    outputs: Sequence[BatchOutput], book: CostBook, priced: PricedProduct
) -> tuple[list[BatchCost], list[str]]:
    found, problems = [], []
    for output in outputs:
        try:
            found.append(output_cost(output, book=book, priced=priced))
        except CostingError as error:
            problems.append(f"{output.batch.code}: {error}")
    return found, problems


def as_data(answer: JarAnswer) -> dict[str, Any]:
    """The answer as plain data with stable keys: money as text, dates as ISO 8601."""
    currency = answer.book.business.currency
    cost = answer.cost
    return {
        "product": answer.product.code,
        "name": str(answer.product),
        "on": answer.book.on.isoformat(),
        "currency": currency,
        "jars_per_batch": f"{cost.jars:.2f}",
        "cost": _money(cost.total_cost, currency),
        "cost_without_my_time": _money(cost.cost_without_my_time, currency),
        "cost_for_the_books": _money(cost.cost_for_the_books, currency),
        "parts": {
            part.value: str(shown)
            for part, shown in cost.shown_parts(currency=currency).items()
        },
        "lines": [
            _line_data(shown.line, shown.shown_cost)
            for shown in cost.shown_lines(currency=currency)
        ],
        "outlets": [_outlet_data(row, currency) for row in answer.outlets],
        "wholesale_floors": [
            {
                "margin_percent": percent,
                "price_to_shop": _money(floor.floor_price, currency),
                "shelf_price": _money(floor.shelf_price, currency),
            }
            for percent, floor in answer.floors.items()
        ],
        "last_batches": [_batch_data(row, currency) for row in answer.batches],
    }


def _money(amount: Decimal | None, currency: str) -> str | None:
    return None if amount is None else str(round_money(amount, currency=currency))


def _share(amount: Decimal | None) -> str | None:
    return None if amount is None else f"{amount:.4f}"


def _line_data(line: Line, shown_cost: Decimal) -> dict[str, Any]:
    return {
        "part": line.part.value,
        "name": line.name,
        "cost": str(shown_cost),
        "my_time": line.is_own_time,
        "factors": [
            {
                "name": factor.name,
                "value": f"{factor.value:.6f}",
                "unit": factor.unit,
                "divides": factor.divides,
            }
            for factor in line.factors
        ],
        "sources": _sources_data(line.sources),
    }


def _sources_data(sources: Sequence[Source]) -> list[dict[str, Any]]:
    return [
        {
            "text": source.text,
            "key": source.key,
            "quantity": f"{source.quantity:.3f}",
            "unit_cost": f"{source.unit_cost:.6f}",
            "parts": _sources_data(source.parts),
        }
        for source in sources
    ]


def _outlet_data(row: OutletAnswer, currency: str) -> dict[str, Any]:
    kept = row.kept
    return {
        "outlet": row.outlet.name,
        "price": _money(kept.given.price, currency),
        "contribution": _money(kept.contribution, currency),
        "kept": _money(kept.kept, currency),
        "kept_margin": _share(kept.kept_margin),
        "margin_on_cost_alone": _share(kept.gross_margin),
        "markup_on_cost": _share(kept.gross_markup),
        "break_even_price": _money(kept.break_even_price, currency),
        "break_even_jars": kept.break_even_jars,
        "loses_money": kept.loses_money,
        "terms": [
            {"name": term.name, "amount": f"{term.amount:.4f}"}
            for term in (*kept.jar_terms, *kept.day_terms)
        ],
    }


def _batch_data(row: BatchCost, currency: str) -> dict[str, Any]:
    comparison = row.comparison
    return {
        "batch": row.batch.code,
        "made_on": row.batch.made_on.isoformat() if row.batch.made_on else None,
        "actual_cost": _money(comparison.actual_cost, currency),
        "standard_cost": _money(comparison.standard_cost, currency),
        "good_jars": f"{comparison.jars.good:.0f}",
        "difference": {
            reason: str(amount)
            for reason, amount in comparison.shown_by_reason(currency=currency).items()
        },
        "assumed": list(row.assumed),
    }
