"""How much added water an ingredient list counts: each place has its own sum."""

from decimal import Decimal

from inventory.quantity_format import format_mass
from inventory.sourced import Kind, Sourced, Status
from inventory.words import say
from labels.statements.ingredient_list import RecipeAsUsed, Retained

__all__ = ["EU_WATER_SHARE", "boiled_away", "less_than_share", "remaining_over_share"]

ZERO = Decimal(0)

EU_WATER_SHARE = Sourced(
    value=Decimal("0.05"),
    unit="1",
    kind=Kind.LEGAL,
    source="Regulation (EU) No 1169/2011",
    section="Annex VII.A.1",
    edition="consolidated to 1 April 2025",
)
ANZ_WATER_SHARE = Sourced(
    value=Decimal("0.05"),
    unit="1",
    kind=Kind.LEGAL,
    source="Food Standards Code",
    section="1.2.4-3",
    status=Status.SECONDARY,
)


def boiled_away(used_g: Decimal, others_g: Decimal, recipe: RecipeAsUsed) -> Retained:
    """Count all added water unless all of it was removed (US, Canada).

    Water counts as removed where the pot lost at least as much as was added: a
    working rule of this program. Source of the principle: FDA Food Labeling
    Guide, ch. VI (quoted); Food and Drug Regulations, B.01.008(3)(e).
    """
    lost_g = max(ZERO, used_g + others_g - recipe.finished_mass_g)
    if lost_g >= used_g:
        return Retained(
            mass_g=ZERO,
            reason=say(
                "all of it boiled away ({lost} were lost)", lost=format_mass(lost_g)
            ),
        )
    return Retained(mass_g=used_g)


def remaining_over_share(
    used_g: Decimal, others_g: Decimal, recipe: RecipeAsUsed
) -> Retained:
    """Count the water that is left in the food, if above a twentieth of it (EU).

    Water left is the finished weight less all other ingredients as used.
    """
    left_g = min(used_g, max(ZERO, recipe.finished_mass_g - others_g))
    share = left_g / recipe.finished_mass_g
    if share <= EU_WATER_SHARE.value:
        return Retained(
            mass_g=ZERO,
            reason=say("{share:.1f} % of the finished food is left", share=share * 100),
        )
    return Retained(mass_g=left_g)


def less_than_share(
    used_g: Decimal, others_g: Decimal, recipe: RecipeAsUsed
) -> Retained:
    """Count added water unless removed or under a twentieth of the food (ANZ)."""
    left_g = min(used_g, max(ZERO, recipe.finished_mass_g - others_g))
    share = left_g / recipe.finished_mass_g
    if share < ANZ_WATER_SHARE.value:
        return Retained(
            mass_g=ZERO,
            reason=say("{share:.1f} % of the finished food is left", share=share * 100),
        )
    return Retained(mass_g=used_g)
