"""One ingredient of a batch, as the balance, the acid question and the name see it."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from inventory.quantities import QuantityError
from inventory.words import say
from production.science.amounts import read_amount
from production.science.balance import PotLine, Role
from production.science.forms import Form, Preparation, read_preparation
from production.science.materials import Acidity, Material, find
from production.science.measuring import (
    PRESSED_JUICE,
    UNKNOWN_CUP_G,
    UNKNOWN_SOLIDS,
    pot_line,
    weigh,
)
from production.science.span import Span, total
from production.science.working import ScienceError, plain

__all__ = [
    "BatchLine",
    "WrittenLine",
    "batch_line",
    "line_of_grams",
    "measured_after_preparation",
    "sets_by_itself",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenLine:
    """An ingredient as a recipe writes it.

    Attributes:
        quantity: "5 1/2 cups", "1 package (3 oz)".
        name: the material in the recipe's words.
        form: what was done to it ("crushed", "juice, strained").
        in_pot: False for water that is drained off, a bag that is lifted out.
    """

    quantity: str
    name: str
    form: str = ""
    in_pot: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchLine:
    """One ingredient of a batch.

    Attributes:
        pot: what it brings into the pot.
        material: its row of the built-in table; None where the name is unknown.
        preparation: what was done to it.
        written: the quantity as typed.
    """

    pot: PotLine
    material: Material | None
    preparation: Preparation
    written: str = ""

    @property
    def grams(self) -> Decimal:
        """Edible grams, likely."""
        return self.pot.grams.likely

    @property
    def acidity(self) -> Acidity:
        """How the material stands to pH 4.6; unknown where the material is."""
        return self.material.acidity if self.material else Acidity.UNKNOWN

    @property
    def is_peel(self) -> bool:
        """Peel or rind of citrus, by itself."""
        return self.material is not None and self.material.family == "peel"

    @property
    def is_juice(self) -> bool:
        """Goes in as juice."""
        poured = self.material is not None and self.material.is_juice
        return poured or self.preparation.pressed or self.preparation.form is Form.JUICE


def sets_by_itself(lines: Iterable[BatchLine]) -> bool:
    """Pectin or gelatin is in the pot: it sets without being boiled down."""
    return any(
        line.pot.role is Role.PECTIN
        or (line.material is not None and line.material.name == "gelatin")
        for line in lines
    )


def batch_line(written: WrittenLine, *, press: bool = False) -> BatchLine | None:
    """Read one ingredient line of a recipe.

    Args:
        written: the line in the recipe's words.
        press: the product is a jelly, so only the juice of fruit goes in.

    Returns:
        The line, with whatever is unknown about it listed in ``pot.missing``;
        None where it does not stay in the pot.
    """
    preparation = read_preparation(f"{written.name} {written.form}")
    if not written.in_pot or preparation.left_out:
        return None
    material = find(written.name, written.form)
    if press and material is not None and _is_pressed(material, preparation):
        preparation = replace(preparation, pressed=True)
    pot = (
        _unknown(written, preparation)
        if material is None
        else _known(written, material, preparation)
    )
    return BatchLine(
        pot=pot, material=material, preparation=preparation, written=written.quantity
    )


def _is_pressed(material: Material, preparation: Preparation) -> bool:
    """Fruit of a jelly that is not juice yet; peel and dried fruit stay."""
    poured = preparation.form is Form.JUICE or material.is_juice
    kept = material.family in {"peel", "dried"}
    return material.role is Role.FRUIT and not poured and not kept


def line_of_grams(
    name: str,
    grams: Decimal,
    *,
    form: str = "",
    solids: Decimal | None = None,
    role: Role | None = None,
    press: bool = False,
) -> BatchLine:
    """The line for edible grams already known, as the seller's book holds them.

    Args:
        name: the material as the book calls it.
        grams: edible grams.
        form: what was done to it.
        solids: the book's own soluble solids; the built-in range where None.
        role: what it does in the pot, where the book knows better.
        press: the product is a jelly, so only the juice of fruit goes in.
    """
    preparation = read_preparation(f"{name} {form}")
    material = find(name, form)
    into_pot = Span.exactly(grams)
    if press and material is not None and _is_pressed(material, preparation):
        preparation = replace(preparation, pressed=True)
        into_pot = into_pot.times(PRESSED_JUICE)
    missing = () if material or solids is not None else (_no_solids(name),)
    pot = (
        pot_line(material, into_pot, preparation, name=name)
        if material
        else PotLine(
            name=name, grams=Span.exactly(grams), solids=UNKNOWN_SOLIDS, missing=missing
        )
    )
    if solids is not None:
        pot = replace(pot, solids=_around(pot.solids, solids), missing=())
    if role is not None:
        pot = replace(pot, role=role)
    return BatchLine(pot=pot, material=material, preparation=preparation)


def _around(usual: Span, measured: Decimal) -> Span:
    """The book's own figure with the usual spread of the fruit about it."""
    if usual == UNKNOWN_SOLIDS:
        return Span.exactly(measured)
    low = max(Decimal(0), measured - (usual.likely - usual.low))
    high = min(Decimal(1), measured + (usual.high - usual.likely))
    return Span(low=low, likely=measured, high=high)


def _known(
    written: WrittenLine, material: Material, preparation: Preparation
) -> PotLine:
    try:
        weighed = weigh(material, read_amount(written.quantity), preparation)
    except QuantityError as error:
        nothing = Span.exactly(Decimal(0))
        missing = (
            ()
            if _is_by_taste(written, material)
            else (
                say("how much {written}: {error}", written=written.name, error=error),
            )
        )
        return pot_line(
            material, nothing, preparation, missing=missing, name=written.name
        )
    return pot_line(
        material, weighed.grams, preparation, missing=weighed.missing, name=written.name
    )


def _unknown(written: WrittenLine, preparation: Preparation) -> PotLine:
    """A material that no table knows: its measure guessed, its solids left wide."""
    letters = " ".join(re.findall(r"[^\W\d_]+", written.name)) or "it"
    stand_in = Material(name=letters, cup_g={"whole": UNKNOWN_CUP_G.likely})
    missing = [_no_solids(written.name)]
    grams = Span.exactly(Decimal(0))
    try:
        weighed = weigh(
            stand_in, read_amount(written.quantity), replace(preparation, form=None)
        )
    except QuantityError as error:
        missing.append(
            say("how much {written}: {error}", written=written.name, error=error)
        )
    else:
        grams = weighed.grams
        missing.extend(weighed.missing)
    if not weighed_by_weight(written.quantity) and grams.is_exact:
        grams = grams.times(UNKNOWN_CUP_G).scaled(1 / UNKNOWN_CUP_G.likely)
    return PotLine(
        name=written.name, grams=grams, solids=UNKNOWN_SOLIDS, missing=tuple(missing)
    )


def _is_by_taste(written: WrittenLine, material: Material) -> bool:
    """A seasoning of no said amount, which moves nothing."""
    text = f"{written.quantity} {written.name} {written.form}".lower()
    words = ("desired", "optional", "to taste", "pinch", "dash")
    return material.role is Role.OTHER and any(word in text for word in words)


def weighed_by_weight(quantity: str) -> bool:
    """Whether the amount is a weight, which needs no density."""
    try:
        return read_amount(quantity).low.dimension == "mass"
    except QuantityError:
        return True


def _no_solids(name: str) -> str:
    low, high = UNKNOWN_SOLIDS.low * 100, UNKNOWN_SOLIDS.high * 100
    return say(
        "{name} is not in the material table: its soluble solids are taken "
        "as {low} to {high} %",
        name=name,
        low=plain(low),
        high=plain(high),
    )


def measured_after_preparation(
    lines: Sequence[BatchLine], *, quantity: str, what: str
) -> tuple[BatchLine, ...]:
    """Replace fruit by the measured juice or pulp made from it.

    The recipe names whole fruit, but only so many cups of what was made of it go
    into the pot. Each fruit keeps its share; water that it was cooked in is in it.

    Args:
        lines: the recipe's lines.
        quantity: what goes in ("3 1/2 cups").
        what: its words ("mixed juice", "cooked pulp").

    Returns:
        The lines with the fruit's grams replaced.

    Raises:
        ScienceError: no line is fruit, or the quantity cannot be read.
    """
    said = read_preparation(what)
    preparation = replace(
        said, form=said.form or Form.CRUSHED, pressed=False, sieved=False
    )
    chosen = _made_into(lines, preparation)
    weight = total(line.pot.grams for line in chosen).likely
    if weight <= 0:
        raise ScienceError(
            say(
                '"{quantity} {what}" is measured after preparation, but no fruit '
                "to prepare is listed with an amount",
                quantity=quantity,
                what=what,
            )
        )
    try:
        amount = read_amount(quantity)
    except QuantityError as error:
        raise ScienceError(str(error)) from error
    replaced = []
    for line in lines:
        if line.pot.role is Role.WATER:
            continue
        if line not in chosen or line.material is None:
            replaced.append(line)
            continue
        grams = weigh(line.material, amount, replace(preparation, ready=True)).grams
        share = grams.scaled(line.grams / weight)
        pot = pot_line(line.material, share, preparation, name=line.pot.name)
        replaced.append(replace(line, pot=pot, preparation=preparation))
    return tuple(replaced)


def _made_into(lines: Sequence[BatchLine], preparation: Preparation) -> list[BatchLine]:
    plants = [
        line
        for line in lines
        if line.material and line.pot.role in {Role.FRUIT, Role.VEGETABLE}
    ]
    pressed = [line for line in plants if line.preparation.pressed]
    if pressed and preparation.form is Form.JUICE:
        return pressed
    heavy = max((line.grams for line in plants), default=Decimal(0)) / 10
    return [line for line in plants if line.grams >= heavy and not line.is_peel]
