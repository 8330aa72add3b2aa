"""What a jar would cost if a price, a rate or a yield were another."""

from dataclasses import dataclass, replace
from decimal import Decimal

from inventory.words import say
from production.costing.breakdown import CostingError, Part
from production.costing.jar import JarCostInput, MaterialUse
from production.costing.overheads import OverheadKey

__all__ = ["Change", "change_input", "main_material"]

GRAMS_PER_KG = Decimal(1000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """Figures to try; None leaves a figure as it is.

    Attributes:
        fruit_kg_price: money per kg of the dearest ingredient, as bought.
        hourly_rate: the seller's rate.
        jars: jars a batch fills.
    """

    fruit_kg_price: Decimal | None = None
    hourly_rate: Decimal | None = None
    jars: Decimal | None = None

    def __post_init__(self) -> None:
        for name, value in (
            (say("fruit price"), self.fruit_kg_price),
            (say("labour rate"), self.hourly_rate),
        ):
            if value is not None and value < 0:
                raise CostingError(
                    say(
                        "a {name} of {value}: try nought or more",
                        name=name,
                        value=value,
                    )
                )
        if self.jars is not None and self.jars <= 0:
            raise CostingError(
                say("a batch of {jars} jars: try more than nought", jars=self.jars)
            )


def main_material(given: JarCostInput) -> MaterialUse:
    """The ingredient that costs most in a batch.

    Raises:
        CostingError: the jar has no ingredient.
    """
    ingredients = [use for use in given.materials if use.part is Part.INGREDIENTS]
    if not ingredients:
        raise CostingError(
            say("the recipe has no ingredient yet: write its lines first")
        )
    return max(ingredients, key=lambda use: use.bought_quantity * use.unit_price)


def change_input(given: JarCostInput, change: Change) -> JarCostInput:
    """The same jar with the figures changed; everything else stays.

    More jars from the same pot share its cost among more; each still takes its own
    glass and lid, and its own part of what is spread by jars.
    """
    main = main_material(given)
    materials = given.materials
    if change.fruit_kg_price is not None:
        price = change.fruit_kg_price / GRAMS_PER_KG
        materials = tuple(
            replace(use, unit_price=price, sources=()) if use.name == main.name else use
            for use in materials
        )
    labour = given.labour
    if change.hourly_rate is not None:
        labour = tuple(
            replace(use, hourly_rate=change.hourly_rate) if use.is_own_time else use
            for use in labour
        )
    jars = change.jars or given.jars
    overheads = tuple(
        replace(use, batch_amount=use.batch_amount * jars / given.jars)
        if use.key == OverheadKey.JARS.value
        else use
        for use in given.overheads
    )
    return replace(
        given, materials=materials, labour=labour, jars=jars, overheads=overheads
    )
