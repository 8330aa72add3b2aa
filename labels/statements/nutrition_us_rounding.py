"""Rounding of 21 CFR 101.9(c), (d)(7), and serving sizes of 101.9(b).

Half-way values go up: the regulation's own sample label shows potassium 235 mg,
5.0 % of 4,700 mg, as 6 %.
"""

from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal

from inventory.sourced import Kind, Sourced, Status

__all__ = [
    "DAILY_VALUES",
    "calories",
    "cholesterol_mg",
    "fat_g",
    "mineral_amount",
    "percent_daily_value",
    "servings_per_container",
    "sodium_mg",
    "spoonfuls",
    "vitamin_percent",
    "weight_of_serving_g",
    "whole_grams",
]

ZERO = Decimal(0)
HALF = Decimal("0.5")


def _daily(value: str, unit: str, status: Status = Status.SECONDARY) -> Sourced:
    return Sourced(
        value=Decimal(value),
        unit=unit,
        kind=Kind.LEGAL,
        source="21 CFR",
        section="101.9(c)(8)(iv), (c)(9)",
        edition="2016 rule",
        status=status,
    )


DAILY_VALUES = {
    "fat_g": _daily("78", "g"),
    "saturated_g": _daily("20", "g"),
    "cholesterol_mg": _daily("300", "mg"),
    "sodium_mg": _daily("2300", "mg"),
    "carbohydrate_g": _daily("275", "g"),
    "fibre_g": _daily("28", "g"),
    "added_sugars_g": _daily("50", "g"),
    "protein_g": _daily("50", "g", Status.VERIFIED),
    "vitamin_d_mcg": _daily("20", "mcg", Status.VERIFIED),
    "calcium_mg": _daily("1300", "mg", Status.VERIFIED),
    "iron_mg": _daily("18", "mg", Status.VERIFIED),
    "potassium_mg": _daily("4700", "mg", Status.VERIFIED),
}


def nearest(value: Decimal, step: Decimal | int) -> Decimal:
    """Return the multiple of a step nearest to a value, half-way up."""
    return (value / step).quantize(Decimal(1), ROUND_HALF_UP) * step


def calories(value: Decimal) -> Decimal:
    """Round kcal: 5 up to 50, 10 above; below 5 shown as 0 (101.9(c)(1))."""
    if value < 5:
        return ZERO
    return nearest(value, 5) if value <= 50 else nearest(value, 10)


def fat_g(value: Decimal) -> Decimal:
    """Round fat and its parts: 0.5 g below 5 g, 1 g above (101.9(c)(2))."""
    if value < HALF:
        return ZERO
    return nearest(value, HALF) if value < 5 else nearest(value, 1)


def cholesterol_mg(value: Decimal) -> str:
    """Round cholesterol to 5 mg; 2 to 5 mg is "less than 5mg" (101.9(c)(3))."""
    if value < 2:
        return "0mg"
    if value < 5:
        return "less than 5mg"
    return f"{nearest(value, 5)}mg"


def sodium_mg(value: Decimal) -> Decimal:
    """Round sodium: 0 below 5 mg, 5 mg to 140, 10 mg above (101.9(c)(4))."""
    if value < 5:
        return ZERO
    return nearest(value, 5) if value <= 140 else nearest(value, 10)


def whole_grams(value: Decimal) -> str:
    """Round carbohydrate, fibre, sugars, protein to 1 g (101.9(c)(6), (7)).

    Below 0.5 g "0g"; from there below 1 g "less than 1g".
    """
    if value < HALF:
        return "0g"
    if value < 1:
        return "less than 1g"
    return f"{nearest(value, 1)}g"


def mineral_amount(nutrient: str, value: Decimal) -> str:
    """Round the amount of vitamin D and minerals by the size of its daily value.

    Below 25 units to 0.1, from 250 to 10 (agency advice, secondary and memory).
    """
    unit = nutrient.rpartition("_")[2]
    step = Decimal("0.1") if DAILY_VALUES[nutrient].value < 25 else Decimal(10)
    return f"{nearest(value, step).normalize():f}{unit}"


def vitamin_percent(nutrient: str, value: Decimal) -> Decimal:
    """Round %DV of vitamins and minerals: 2 to 10 %, 5 to 50 %, 10 above.

    Below 2 % shown as 0. Source: 101.9(c)(8)(iii).
    """
    percent = value * 100 / DAILY_VALUES[nutrient].value
    if percent < 2:
        return ZERO
    step = 2 if percent <= 10 else 5 if percent <= 50 else 10
    return nearest(percent, step)


def percent_daily_value(nutrient: str, value: Decimal) -> Decimal:
    """Return %DV of other nutrients, nearest 1 % of the unrounded amount."""
    return nearest(value * 100 / DAILY_VALUES[nutrient].value, 1)


def weight_of_serving_g(value: Decimal) -> Decimal:
    """Round a serving's grams: whole from 5, half from 2, tenth below (b)(7)."""
    if value >= 5:
        return nearest(value, 1)
    return nearest(value, HALF if value >= 2 else Decimal("0.1"))


TABLESPOONS = (
    Decimal(1),
    Decimal(4) / 3,
    Decimal("1.5"),
    Decimal(5) / 3,
    Decimal(2),
    Decimal(3),
)
"""Numbers of tablespoons a serving may have: 101.9(b)(5)(i)."""


def spoonfuls(value: Decimal) -> Decimal:
    """Return the permitted number of tablespoons; half-way takes the larger."""
    below = max((size for size in TABLESPOONS if size <= value), default=TABLESPOONS[0])
    above = min(
        (size for size in TABLESPOONS if size >= value), default=TABLESPOONS[-1]
    )
    return below if value - below < above - value else above


def servings_per_container(net_g: Decimal, serving_g: Decimal) -> str:
    """Return the number of servings with "about" where it was rounded.

    Nearest whole; nearest half between 2 and 5. Source: 101.9(b)(8)(i).
    """
    exact = net_g / serving_g
    shown = nearest(exact, HALF) if 2 <= exact <= 5 else nearest(exact, 1)
    lead = "" if shown == exact else "about "
    return f"{lead}{shown.normalize():f}"


def share_of_reference(net_g: Decimal, reference_g: Decimal) -> Decimal:
    """Return the container's share of the reference amount, whole percent."""
    return (net_g * 100 / reference_g).quantize(Decimal(1), ROUND_DOWN)
