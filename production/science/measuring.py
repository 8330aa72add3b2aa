"""From an amount and a material to what goes into the pot, with the doubt of a cup.

A weight of fruit is as bought: stems, pits and cores come off. A volume is of the
fruit as prepared. A count is of edible pieces. Words of the recipe change that
("measured whole", "prepared", "pressed for juice").
"""

from dataclasses import dataclass, replace
from decimal import Decimal

from inventory.quantities import (
    ML_PER_US_CUP,
    MaterialMeasures,
    Quantity,
    QuantityError,
    to_grams,
)
from inventory.units import Dimension
from inventory.words import say
from production.science.amounts import Amount
from production.science.balance import PotLine, Role
from production.science.forms import Form, Preparation
from production.science.materials import Material
from production.science.span import Span

__all__ = ["PRESSED_JUICE", "Weighed", "pot_line", "weigh"]

PLANTS = frozenset({Role.FRUIT, Role.VEGETABLE})
CUP_DOUBT = Decimal("0.05")
BORROWED_CUP_DOUBT = Decimal("0.10")
PIECE_DOUBT = Decimal("0.15")
HEAPED_PINT = Decimal("1.25")
PRESSED_JUICE = Span(low=Decimal("0.5"), likely=Decimal("0.65"), high=Decimal("0.8"))
SIEVED = {
    "berry": Span(low=Decimal("0.75"), likely=Decimal("0.85"), high=Decimal("0.95")),
    "pepper": Span(low=Decimal("0.6"), likely=Decimal("0.7"), high=Decimal("0.85")),
}
SIEVED_OTHERS = Span(low=Decimal("0.85"), likely=Decimal("0.93"), high=Decimal(1))
COOKED_DOWN = Span(low=Decimal(1), likely=Decimal("1.2"), high=Decimal("1.5"))
"""Shares kept by pressing and sieving, and solids gained by a first simmer
(common practice)."""
UNKNOWN_SOLIDS = Span(low=Decimal(0), likely=Decimal("0.12"), high=Decimal("0.60"))
UNKNOWN_CUP_G = Span(low=Decimal(120), likely=Decimal(200), high=Decimal(250))
UNKNOWN_PIECE_G = Span(low=Decimal(0), likely=Decimal(0), high=Decimal(200))
SIZE_FACTORS = {
    "small": Decimal("0.75"),
    "medium": Decimal(1),
    "large": Decimal("1.35"),
    "extra large": Decimal("1.8"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """Edible grams of one line, or why they cannot be told."""

    grams: Span
    missing: tuple[str, ...] = ()


def weigh(material: Material, amount: Amount, preparation: Preparation) -> Weighed:
    """Edible grams that an amount of a material brings into the pot.

    Args:
        material: the material.
        amount: as the recipe prints it.
        preparation: what was done to it.

    Returns:
        Grams with their range; nothing, and what is missing, where the material
        has no such measure.
    """
    measures = _measures(material, preparation.form)
    poured = material.is_juice
    try:
        low, high = (
            to_grams(_by_volume(end) if poured else end, measures=measures)
            for end in (amount.low, amount.high)
        )
    except QuantityError as error:
        return Weighed(grams=UNKNOWN_PIECE_G, missing=(str(error),))
    printed = Span(low=low, likely=(low + high) / 2, high=high)
    doubtful = printed.times(_measuring_doubt(material, amount.low, preparation.form))
    ready = replace(preparation, ready=preparation.ready or amount.is_packed)
    return Weighed(grams=doubtful.times(_used_share(material, amount.low, ready)))


def _by_volume(quantity: Quantity) -> Quantity:
    """Ounces of a juice are fluid ounces, as its cans and bottles count them."""
    return Quantity(
        text=quantity.text,
        parts=tuple(
            replace(part, unit="fluid_ounce") if part.unit == "ounce" else part
            for part in quantity.parts
        ),
    )


def pot_line(
    material: Material,
    grams: Span,
    preparation: Preparation,
    *,
    missing: tuple[str, ...] = (),
    name: str = "",
) -> PotLine:
    """The line of the balance for grams of a material.

    Args:
        material: the material.
        grams: edible grams.
        preparation: what was done to it.
        missing: what is not known about the amount.
        name: as the recipe calls it; the material's own name where empty.
    """
    solids = material.solids
    juice = preparation.form is Form.JUICE or preparation.pressed
    if juice and material.juice_solids:
        solids = material.juice_solids
    if solids is None:
        missing = (
            *missing,
            say("the soluble solids of {material}", material=material.name),
        )
        solids = UNKNOWN_SOLIDS
    if preparation.form is Form.COOKED and material.role in PLANTS:
        richer = solids.times(COOKED_DOWN)
        solids = replace(richer, high=min(richer.high, Decimal(1)))
    insoluble = Decimal(0) if juice else material.insoluble
    if preparation.sieved:
        insoluble *= Decimal("0.3")
    return PotLine(
        name=name or material.name,
        grams=grams,
        solids=solids,
        insoluble=insoluble,
        role=material.role,
        missing=missing,
    )


def _measures(material: Material, form: Form | None) -> MaterialMeasures:
    cup = material.grams_per_cup(form)
    medium = material.each_g.get("medium") or next(iter(material.each_g.values()), None)
    named = dict(material.pack_g)
    if medium is not None:
        for size, factor in SIZE_FACTORS.items():
            grams = material.each_g.get(size, medium * factor)
            named |= {size: grams, f"piece {size}": grams}
        named |= {
            size: grams for size, grams in material.each_g.items() if size != "each"
        }
    if "pint" in named:
        named["quart"] = named["pint"] * 2
    if form not in {None, Form.WHOLE, Form.CRUSHED}:
        named.pop("pint", None)
        named.pop("quart", None)
    return MaterialMeasures(
        name=material.name,
        density_g_per_ml=cup / ML_PER_US_CUP.value if cup else None,
        piece_g=medium,
        named_g=named,
    )


def _measuring_doubt(material: Material, quantity: Quantity, form: Form | None) -> Span:
    """How far the measure itself may be out, as a factor."""
    exact = Span.exactly(Decimal(1))
    if quantity.dimension is Dimension.MASS or material.role not in PLANTS:
        return exact
    if quantity.dimension is not Dimension.VOLUME:
        return Span.about(Decimal(1), PIECE_DOUBT)
    own = material.is_juice or material.has_own_cup(form)
    doubt = CUP_DOUBT if own or form is Form.JUICE else BORROWED_CUP_DOUBT
    spread = Span.about(Decimal(1), doubt)
    return (
        replace(spread, high=HEAPED_PINT) if _is_dry_measure(quantity, form) else spread
    )


def _is_dry_measure(quantity: Quantity, form: Form | None) -> bool:
    """A pint or quart basket of whole fruit, which is heaped."""
    return form in {None, Form.WHOLE} and quantity.parts[0].unit in {"pint", "quart"}


def _used_share(
    material: Material, quantity: Quantity, preparation: Preparation
) -> Span:
    """Share of the measured amount that ends in the pot."""
    share = Span.exactly(Decimal(1))
    if material.role in PLANTS and not preparation.ready:
        if quantity.dimension is Dimension.MASS:
            share = _trimmed(_kept(material, preparation))
        elif quantity.dimension is not Dimension.VOLUME:
            share = Span.exactly(_kept(material, preparation) / material.edible)
    if preparation.pressed:
        share = share.times(PRESSED_JUICE)
    if preparation.sieved:
        share = share.times(SIEVED.get(material.family, SIEVED_OTHERS))
    return share


def _trimmed(kept: Decimal) -> Span:
    return Span(low=kept, likely=kept, high=(1 + kept) / 2)


def _kept(material: Material, preparation: Preparation) -> Decimal:
    if preparation.peeled and material.peeled is not None:
        return material.peeled
    if _peel_goes_in(material, preparation) and material.whole_use is not None:
        return material.whole_use
    return material.edible


def _peel_goes_in(material: Material, preparation: Preparation) -> bool:
    inside_only = {Form.SECTIONS, Form.PULP, Form.JUICE}
    return (
        material.whole_use is not None
        and not preparation.peeled
        and not preparation.pressed
        and preparation.form not in inside_only
    )
