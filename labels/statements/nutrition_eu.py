"""The nutrition declaration per 100 g of the EU and the United Kingdom."""

from collections.abc import Iterable
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal

from labels.statements.label_text import NutritionPanel, NutritionRow
from labels.statements.nutrition import NutrientAmounts

__all__ = [
    "declaration",
    "energy_kcal",
    "energy_kj",
    "exempt",
    "grams_text",
    "reference_intake_percent",
    "salt_g",
    "salt_text",
    "saturates_text",
    "within_tolerance",
]

ENERGY_FACTORS = {
    "carbohydrate": (17, Decimal(4)),
    "polyols": (10, Decimal("2.4")),
    "protein": (17, Decimal(4)),
    "fat": (37, Decimal(9)),
    "alcohol": (29, Decimal(7)),
    "organic_acid": (13, Decimal(3)),
    "fibre": (8, Decimal(2)),
}
"""(kJ/g, kcal/g). Source: Regulation (EU) No 1169/2011, Annex XIV."""

REFERENCE_INTAKES = {
    "energy_kj": Decimal(8400),
    "fat": Decimal(70),
    "saturates": Decimal(20),
    "carbohydrate": Decimal(260),
    "sugars": Decimal(90),
    "protein": Decimal(50),
    "salt": Decimal(6),
}
"""g (energy kJ) a day. Source: Regulation (EU) No 1169/2011, Annex XIII.B."""

ADULT_STATEMENT = "Reference intake of an average adult (8 400 kJ/2 000 kcal)"
"""Prescribed: Art. 32(5)."""

SALT_PER_SODIUM = Decimal("2.5")
SMALLEST_SURFACE_CM2 = Decimal(25)


def _energy_parts(amounts: NutrientAmounts) -> dict[str, Decimal]:
    """Grams of each energy-giving part; carbohydrate here without fibre.

    ``amounts.carbohydrate_g`` is the carbohydrate of this declaration: it
    includes polyols and excludes fibre (Annex I.7).
    """
    return {
        "carbohydrate": amounts.carbohydrate_g - amounts.polyols_g,
        "polyols": amounts.polyols_g,
        "protein": amounts.protein_g,
        "fat": amounts.fat_g,
        "alcohol": amounts.alcohol_g,
        "organic_acid": amounts.organic_acid_g,
        "fibre": amounts.fibre_g,
    }


def energy_kj(amounts: NutrientAmounts) -> Decimal:
    """Return kJ, unrounded, from the kJ factors (never from kcal)."""
    parts = _energy_parts(amounts).items()
    return sum((ENERGY_FACTORS[name][0] * grams for name, grams in parts), Decimal(0))


def energy_kcal(amounts: NutrientAmounts) -> Decimal:
    """Return kcal, unrounded, from the kcal factors."""
    parts = _energy_parts(amounts).items()
    return sum((ENERGY_FACTORS[name][1] * grams for name, grams in parts), Decimal(0))


def available_carbohydrate(by_difference: NutrientAmounts) -> NutrientAmounts:
    """Return amounts with fibre taken out of carbohydrate by difference.

    Composition tables of the United States count fibre as carbohydrate.
    """
    available_g = by_difference.carbohydrate_g - by_difference.fibre_g
    return replace(by_difference, carbohydrate_g=available_g)


def salt_g(sodium_mg: Decimal) -> Decimal:
    """Return salt: sodium times 2.5 (Annex I.11)."""
    return sodium_mg * SALT_PER_SODIUM / 1000


def _rounded(value: Decimal, step: str) -> str:
    figure = value.quantize(Decimal(step), ROUND_HALF_UP)
    return f"{figure.normalize():f}"


def grams_text(value: Decimal) -> str:
    """Round fat, carbohydrate, sugars, protein, fibre as the guidance does.

    1 g from 10 g, 0.1 g from above 0.5 g, "<0.5 g" below. The band is read
    from the unrounded value.
    Source: Commission guidance of December 2012, summary table (secondary).
    """
    if value <= Decimal("0.5"):
        return "<0.5 g" if value else "0 g"
    return f"{_rounded(value, '1' if value >= 10 else '0.1')} g"


def saturates_text(value: Decimal) -> str:
    """Round saturates: 1 g from 10 g, 0.1 g above 0.1 g (same table, memory)."""
    if value <= Decimal("0.1"):
        return "<0.1 g" if value else "0 g"
    return f"{_rounded(value, '1' if value >= 10 else '0.1')} g"


def salt_text(value: Decimal) -> str:
    """Round salt: 0.1 g from 1 g, 0.01 g above 0.0125 g (same table)."""
    if value <= Decimal("0.0125"):
        return "<0.01 g" if value else "0 g"
    return f"{_rounded(value, '0.1' if value >= 1 else '0.01')} g"


def whole(value: Decimal) -> str:
    """Round energy to a whole figure, half up."""
    return _rounded(value, "1")


def reference_intake_percent(nutrient: str, value: Decimal) -> str:
    """Return the share of the adult reference intake, whole percent."""
    percent = value * 100 / REFERENCE_INTAKES[nutrient]
    return f"{whole(percent)} %"


def exempt(
    *,
    sold_by_maker_or_locally: bool,
    claims: Iterable[str] = (),
    largest_surface_cm2: Decimal | None = None,
) -> bool:
    """Say whether the declaration may be left off.

    A nutrition or health claim makes it due again.
    Source: Regulation (EU) No 1169/2011, Annex V.18, 19; Regulation (EC) No
    1924/2006, Art. 7.
    """
    if tuple(claims):
        return False
    small = (
        largest_surface_cm2 is not None and largest_surface_cm2 < SMALLEST_SURFACE_CM2
    )
    return sold_by_maker_or_locally or small


def within_tolerance(declared_g: Decimal, found_g: Decimal) -> bool:
    """Say whether a control finds carbohydrate, sugars, protein or fibre in order.

    Below 10 g 2 g, to 40 g a fifth, above 8 g.
    Source: Commission guidance of December 2012 on tolerances (secondary).
    """
    if declared_g < 10:
        allowed = Decimal(2)
    elif declared_g <= 40:
        allowed = declared_g * Decimal("0.2")
    else:
        allowed = Decimal(8)
    return abs(found_g - declared_g) <= allowed


def declaration(amounts: NutrientAmounts) -> NutritionPanel:
    """Return the table per 100 g in the prescribed order.

    Args:
        amounts: nutrients of 100 g, fibre not part of carbohydrate.

    Source: Regulation (EU) No 1169/2011, Arts. 30, 32, 34, Annex XV.
    """
    energy = f"{whole(energy_kj(amounts))} kJ / {whole(energy_kcal(amounts))} kcal"
    rows = (
        NutritionRow(label="Energy", amount=energy),
        NutritionRow(label="Fat", amount=grams_text(amounts.fat_g)),
        NutritionRow(
            label="of which saturates",
            amount=saturates_text(amounts.saturated_g),
            indent=1,
        ),
        NutritionRow(label="Carbohydrate", amount=grams_text(amounts.carbohydrate_g)),
        NutritionRow(
            label="of which sugars", amount=grams_text(amounts.sugars_g), indent=1
        ),
        NutritionRow(label="Protein", amount=grams_text(amounts.protein_g)),
        NutritionRow(label="Salt", amount=salt_text(salt_g(amounts.sodium_mg))),
    )
    words = "; ".join(f"{row.label.lower()} {row.amount}" for row in rows)
    return NutritionPanel(
        form="eu",
        title="Nutrition declaration",
        servings="",
        serving_size="per 100 g",
        calories="",
        percent_heading="",
        rows=rows,
        columns=("per 100 g",),
        linear=f"Nutrition declaration per 100 g: {words}",
    )
