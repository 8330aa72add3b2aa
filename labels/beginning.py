"""Beginning an empty book: the owner's account, five answers, and what they bring along."""

from dataclasses import dataclass
from decimal import Decimal

from django.contrib.auth.models import User
from django.core.management import call_command
from django.db import transaction

from inventory.models import Business, JarSize, Material, Outlet, OutletKind
from inventory.words import say
from labels.models import PlaceProfile

__all__ = ["JARS", "BeginningError", "Jar", "begin", "bring_fixtures", "is_empty"]

METRES_PER_FOOT = Decimal("0.3048")


@dataclass(frozen=True, slots=True, kw_only=True)
class Jar:
    """A usual jar, as a first guess; a seller measures their own.

    Capacities of the imperial sizes are exact conversions; bores and outer measures
    are from memory.
    """

    name: str
    brim_ml: Decimal
    diameter_mm: Decimal
    height_mm: Decimal
    label_height_mm: Decimal
    processing_size: str
    per_canner_load: int


JARS = (
    Jar(
        name="4 oz",
        brim_ml=Decimal("118.3"),
        diameter_mm=Decimal(63),
        height_mm=Decimal(66),
        label_height_mm=Decimal(40),
        processing_size="quarter-pint",
        per_canner_load=14,
    ),
    Jar(
        name="half-pint",
        brim_ml=Decimal("236.6"),
        diameter_mm=Decimal(73),
        height_mm=Decimal(98),
        label_height_mm=Decimal(62),
        processing_size="half-pint",
        per_canner_load=9,
    ),
    Jar(
        name="12 oz",
        brim_ml=Decimal("354.9"),
        diameter_mm=Decimal(73),
        height_mm=Decimal(128),
        label_height_mm=Decimal(80),
        processing_size="pint",
        per_canner_load=8,
    ),
    Jar(
        name="pint",
        brim_ml=Decimal("473.2"),
        diameter_mm=Decimal(83),
        height_mm=Decimal(127),
        label_height_mm=Decimal(80),
        processing_size="pint",
        per_canner_load=7,
    ),
)
BORE_CM2 = Decimal("28.27")
LID_MM = Decimal(70)


class BeginningError(ValueError):
    """A book that has begun already."""


def is_empty() -> bool:
    """Whether nobody has begun this book."""
    return not Business.objects.exists()


def bring_fixtures() -> None:
    """Load the places and the sheets that come with the program."""
    if not PlaceProfile.objects.exists():
        call_command("loaddata", "place_profiles", "label_sheets", verbosity=0)


@transaction.atomic
def begin(
    *,
    owner: User,
    business: Business,
    jars: list[str],
    market_name: str,
    market_weekday: int | None,
) -> Business:
    """Write the first answers into an empty book.

    Args:
        owner: an account, saved or not.
        business: with name, place, altitude, currency and units; not saved.
        jars: names out of ``JARS``.
        market_name: the first market; empty for none yet.
        market_weekday: 0 is Monday.

    Returns:
        The seller's row.

    Raises:
        BeginningError: somebody has begun meanwhile.
        ValidationError: an answer is not right.
    """
    if not is_empty():
        raise BeginningError(
            say("this book has begun already; sign in and change it there")
        )
    if owner._state.adding:
        owner.full_clean(exclude=["password"])
        owner.save()
    business.pk = 1
    business.full_clean()
    business.save(force_insert=True)
    for jar in JARS:
        if jar.name in jars:
            _add_jar(jar)
    if market_name:
        market = Outlet(
            name=market_name, kind=OutletKind.MARKET, weekday=market_weekday
        )
        market.full_clean()
        market.save()
    return business


def _add_jar(jar: Jar) -> None:
    glass = Material(name=f"Jar, {jar.name}", kind=Material.Kind.PACKAGING)
    lid, _ = Material.objects.get_or_create(
        name="Lid, 70 mm", defaults={"kind": Material.Kind.PACKAGING}
    )
    glass.full_clean()
    glass.save()
    size = JarSize(
        name=jar.name,
        brim_ml=jar.brim_ml,
        neck_area_cm2=BORE_CM2,
        diameter_mm=jar.diameter_mm,
        height_mm=jar.height_mm,
        label_height_mm=jar.label_height_mm,
        lid_diameter_mm=LID_MM,
        processing_size=jar.processing_size,
        per_canner_load=jar.per_canner_load,
        jar=glass,
        lid=lid,
    )
    size.full_clean()
    size.save()
