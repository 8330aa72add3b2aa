"""Least type sizes of each place, as rules to be asked with an area."""

from decimal import Decimal

from inventory.sourced import Kind, Sourced, Status
from labels.statements.label_text import (
    AreaOf,
    MeasuredOn,
    Role,
    SizeStep,
    TypeSize,
    TypeSizeRule,
)

__all__ = [
    "CA_INGREDIENTS",
    "CA_NET_QUANTITY",
    "CA_OTHER",
    "EU_TEXT",
    "US_ALLERGENS",
    "US_IDENTITY",
    "US_NET_QUANTITY",
    "US_NUTRITION",
    "US_TEXT",
    "eu_net_quantity",
    "in_points",
    "place_statement",
]

INCH_MM = Decimal("25.4")
POINT_MM = INCH_MM / 72
CM2_PER_SQUARE_INCH = Decimal("2.54") ** 2


def in_points(points: Decimal) -> Decimal:
    """Return a nominal size in mm."""
    return points * POINT_MM


def _steps(
    rows: tuple[tuple[Decimal | None, Decimal], ...],
    measured_on: MeasuredOn,
    citation: str,
) -> tuple[SizeStep, ...]:
    return tuple(
        SizeStep(
            up_to_cm2=area_cm2,
            size=TypeSize(
                minimum_mm=height_mm, measured_on=measured_on, citation=citation
            ),
        )
        for area_cm2, height_mm in rows
    )


_SIXTEENTH_IN = INCH_MM / 16
US_TEXT_SIZE = TypeSize(
    minimum_mm=_SIXTEENTH_IN,
    measured_on=MeasuredOn.LOWER_CASE_O,
    citation="21 CFR 101.2(c)",
)
US_TEXT = TypeSizeRule.fixed(US_TEXT_SIZE)
"""1/16 in for everything required on the front or the information panel."""

US_ALLERGENS = TypeSizeRule(
    steps=(SizeStep(up_to_cm2=None, size=US_TEXT_SIZE),), not_below=Role.INGREDIENTS
)
"""Not smaller than the ingredient list (21 USC 343(w)(1)(A))."""

IDENTITY_SHARE = Sourced(
    value=Decimal("0.5"),
    unit="1",
    kind=Kind.CONVENTION,
    source="FDA Food Labeling Guide",
    section="statement of identity",
    status=Status.MEMORY,
)
US_IDENTITY = TypeSizeRule(
    steps=(SizeStep(up_to_cm2=None, size=US_TEXT_SIZE),),
    share_of_largest=IDENTITY_SHARE.value,
)
"""A principal feature; working figure half the largest print on the panel."""


def _square_inches(value: int) -> Decimal:
    return value * CM2_PER_SQUARE_INCH


US_NET_QUANTITY = TypeSizeRule(
    steps=_steps(
        (
            (_square_inches(5), INCH_MM / 16),
            (_square_inches(25), INCH_MM / 8),
            (_square_inches(100), INCH_MM * 3 / 16),
            (_square_inches(400), INCH_MM / 4),
            (None, INCH_MM / 2),
        ),
        MeasuredOn.LOWER_CASE_O,
        "21 CFR 101.7(i)",
    )
)
US_NUTRITION = TypeSizeRule.fixed(
    TypeSize(
        minimum_mm=in_points(Decimal(6)),
        measured_on=MeasuredOn.POINT,
        citation="21 CFR 101.9(d)(1)(iii), (j)(13)(i)(B)",
    )
)

_EU_CITATION = "Regulation (EU) No 1169/2011 Art. 13(2), (3), Annex IV"
_BELOW_80_CM2 = Decimal("79.999999")
"""The smaller type is for surfaces under 80 cm2, not for 80 itself."""

EU_TEXT = TypeSizeRule(
    steps=_steps(
        ((_BELOW_80_CM2, Decimal("0.9")), (None, Decimal("1.2"))),
        MeasuredOn.X_HEIGHT,
        _EU_CITATION,
    ),
    area_of=AreaOf.LARGEST_SURFACE,
)

EU_FIGURES = (
    (Decimal(50), Decimal(2)),
    (Decimal(200), Decimal(3)),
    (Decimal(1000), Decimal(4)),
)
"""Height of the figures by nominal quantity: Directive 76/211/EEC, Annex I 3.1."""


def eu_net_quantity(nominal: Decimal) -> TypeSizeRule:
    """Return the height of the figures for a nominal quantity, g or ml."""
    height = next((mm for limit, mm in EU_FIGURES if nominal <= limit), Decimal(6))
    return TypeSizeRule.fixed(
        TypeSize(
            minimum_mm=height,
            measured_on=MeasuredOn.NUMERAL,
            citation="Directive 76/211/EEC Annex I 3.1",
        )
    )


CA_NET_QUANTITY = TypeSizeRule(
    steps=_steps(
        (
            (Decimal(32), Decimal("1.6")),
            (Decimal(258), Decimal("3.2")),
            (Decimal(645), Decimal("6.4")),
            (Decimal(2580), Decimal("9.5")),
            (None, Decimal("12.7")),
        ),
        MeasuredOn.NUMERAL,
        "Safe Food for Canadians Regulations ss. 229, 230(b), Sch. 6",
    )
)
CA_OTHER = TypeSizeRule(
    steps=_steps(
        ((Decimal(10), Decimal("0.8")), (None, Decimal("1.6"))),
        MeasuredOn.LOWER_CASE_O,
        "Safe Food for Canadians Regulations ss. 210, 211",
    )
)
CA_INGREDIENTS = TypeSizeRule.fixed(
    TypeSize(
        minimum_mm=Decimal("1.1"),
        measured_on=MeasuredOn.X_HEIGHT,
        citation="Food and Drug Regulations B.01.008.1(1), (6)",
    )
)


def place_statement(
    min_point_size: Decimal | None,
    min_height_mm: Decimal | None,
    citation: str,
    base: TypeSizeRule | None,
) -> TypeSizeRule | None:
    """Return the size a place asks for its statement, else the general one."""
    if min_height_mm is not None:
        return TypeSizeRule.fixed(
            TypeSize(
                minimum_mm=min_height_mm,
                measured_on=MeasuredOn.LOWER_CASE_O,
                citation=citation,
            )
        )
    if min_point_size is not None:
        return TypeSizeRule.fixed(
            TypeSize(
                minimum_mm=in_points(min_point_size),
                measured_on=MeasuredOn.POINT,
                citation=citation,
            )
        )
    return base
