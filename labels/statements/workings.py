"""The sums behind the figures a label states, with their numbers. Pure.

Sources: 21 CFR 101.7 and NIST SP 811, appendix B (net quantity); Directive
2001/113/EC, Annex I (fruit); 21 CFR 101.9 (nutrition of a serving).
"""

from collections.abc import Iterator
from decimal import Decimal

from inventory.words import figures, say
from labels.statements.fruit_content import fruit_content
from labels.statements.label_input import LabelInput
from labels.statements.net_quantity import (
    GRAMS_PER_OUNCE,
    ML_PER_FLUID_OUNCE,
    QuantityUnit,
)
from production.best_by import add_months
from production.science.working import Working

__all__ = ["label_workings"]

NUTRIENTS = ("carbohydrate_g", "sugars_g", "added_sugars_g", "fat_g", "protein_g")


def label_workings(given: LabelInput) -> tuple[Working, ...]:
    """The sums behind one label's figures.

    Args:
        given: what the label is written from.
    """
    return (*_quantity(given), *_fruit(given), *_best_by(given), *_nutrition(given))


def _quantity(given: LabelInput) -> Iterator[Working]:
    declared = given.quantity
    exact = declared.exact_metric
    units = {
        QuantityUnit.OUNCE: (GRAMS_PER_OUNCE, "g"),
        QuantityUnit.FLUID_OUNCE: (ML_PER_FLUID_OUNCE, "ml"),
    }
    if declared.unit in units:
        factor, unit = units[declared.unit]
        formula = say(
            "{amount} × {factor} = {exact} {unit}, cut off and never rounded up",
            amount=_plain(declared.amount),
            factor=_plain(factor, 4),
            exact=_plain(exact, 2),
            unit=unit,
        )
    else:
        factor = GRAMS_PER_OUNCE if declared.by_weight else ML_PER_FLUID_OUNCE
        formula = say(
            "{amount} ÷ {factor} = {ounces} oz, cut off and never rounded up",
            amount=_plain(declared.amount),
            factor=_plain(factor, 4),
            ounces=_plain(exact / factor, 3),
        )
    yield Working(
        figure=say("net quantity"),
        value=f"{_plain(declared.amount)} {declared.unit.value}",
        formula=formula,
        source="21 CFR 101.7; NIST Handbook 133 2.3.3",
    )


def _fruit(given: LabelInput) -> Iterator[Working]:
    if not given.is_jam:
        return
    content = fruit_content(given.recipe.ingredients, given.recipe.finished_mass_g)
    if not content.fruit_g:
        return
    terms = " + ".join(f"{_plain(grams)} ({name})" for name, grams in content.terms)
    yield Working(
        figure=say("fruit"),
        value=say("{grams} g per 100 g", grams=_plain(content.per_100_g)),
        formula=f"({terms}) g × 100 ÷ {_plain(content.finished_mass_g)} g = "
        f"{_plain(content.per_100_g)} g",
        source="Directive 2001/113/EC, Art. 2(3), Annex I.I",
    )


def _best_by(given: LabelInput) -> Iterator[Working]:
    made, best = given.made_on, given.best_before_on
    if made is None or best is None:
        return
    months = (best.year - made.year) * 12 + best.month - made.month
    is_from_code_day = add_months(made, months) == best
    yield Working(
        figure=say("best by"),
        value=say("{best:%d %b %Y}", best=best),
        formula=say(
            "{made:%d %b %Y} + {months} months = {best:%d %b %Y}"
            if is_from_code_day
            else "{months} months from the day the jars were filled; the day in the "
            "code is {made:%d %b %Y}",
            made=made,
            months=months,
            best=best,
        ),
        source=say("the keeping time you set"),
    )


def _nutrition(given: LabelInput) -> Iterator[Working]:
    amounts = given.nutrition
    if amounts is None:
        return
    parts = []
    for nutrient in NUTRIENTS:
        held = getattr(amounts, nutrient)
        served = held * given.serving_g / amounts.mass_g
        name = nutrient.removesuffix("_g").replace("_", " ")
        parts.append(
            f"{say(name)}: {_plain(held, 2)} × {_plain(given.serving_g)} ÷ "
            f"{_plain(amounts.mass_g)} = {_plain(served, 2)} g"
        )
    yield Working(
        figure=say("nutrition of a serving"),
        value=say("{grams} g", grams=_plain(given.serving_g)),
        formula="; ".join(parts),
        source="21 CFR 101.9(b), (c)",
        estimate=True,
    )


def _plain(value: Decimal, places: int = 1) -> str:
    text = f"{round(value, places):f}"
    return figures(text.rstrip("0").rstrip(".") if "." in text else text)
