"""Reading a place profile from the form it is kept in."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from inventory.words import say
from labels.statements.places import (
    Answer,
    Cap,
    Completeness,
    Particular,
    ParticularCode,
    Place,
    PlaceError,
    Sign,
    StatementBasis,
    StatementType,
    Variant,
)

__all__ = ["read_place"]


def read_place(row: Mapping[str, Any]) -> Place:
    """Read a profile from one flat mapping of its fields and body.

    Raises:
        PlaceError: a field is missing or not of the form the profile has.
    """
    try:
        return _read(row)
    except (KeyError, TypeError, AttributeError) as error:
        raise PlaceError(
            say(
                'the place profile "{code}" is not complete: {error}',
                code=row.get("code", "?"),
                error=error,
            )
        ) from error


def _read(row: Mapping[str, Any]) -> Place:
    cap = row.get("annual_sales_cap") or {}
    registration = row.get("registration") or {}
    channels = dict(row.get("sales_channels") or {})
    note = channels.pop("note", None)
    sign = row.get("display_sign_rule")
    return Place(
        code=row["code"],
        place=row["place"],
        country=row["country"],
        region=row.get("region") or "",
        law_name=row.get("law_name") or "",
        citation=row.get("citation") or "",
        authority=row.get("authority") or "",
        text_date=row.get("text_date") or "",
        completeness=Completeness(row["completeness"]),
        status=row["status"],
        read_on=_day(row["read_on"]),
        caution=row.get("caution") or "",
        basis=StatementBasis(row.get("statement_basis") or "unknown"),
        statement=row.get("required_statement") or "",
        own_statement=row.get("own_statement") or "",
        variants=tuple(Variant(**item) for item in row.get("statement_variants") or ()),
        type=_type(row.get("statement_type_rules") or {}),
        particulars=tuple(map(_particular, row.get("other_label_elements") or ())),
        address_alternative=row.get("address_alternative") or "",
        caps_kind=cap.get("kind") or "unknown",
        caps=tuple(map(_cap, cap.get("limits") or ())),
        on_exceeding=cap.get("on_exceeding") or "",
        registration_kind=registration.get("kind") or "unknown",
        registration_detail=registration.get("detail") or "",
        channels=tuple((name, _answer(value)) for name, value in channels.items()),
        channels_note=note or "",
        jams_allowed=_answer(row.get("jams_allowed")),
        jams_notes=tuple(row.get("jams_notes") or ()),
        sign=_sign(sign) if sign else None,
        records=row.get("record_keeping_rule") or "",
        inspection=row.get("inspection") or "",
        sources=tuple(map(_source, row.get("source") or ())),
    )


def _day(value: date | str) -> date:
    return value if isinstance(value, date) else date.fromisoformat(value)


def _answer(value: str | None) -> Answer:
    return Answer(value) if value else Answer.UNKNOWN


def _decimal(value: object) -> Decimal | None:
    return None if value is None else Decimal(str(value))


def _type(rules: Mapping[str, Any]) -> StatementType:
    return StatementType(
        min_point_size=_decimal(rules.get("min_point_size")),
        min_height_mm=_decimal(rules.get("min_height_mm")),
        all_caps=rules.get("all_caps") or "",
        contrast_required=bool(rules.get("contrast_required")),
        bold=bool(rules.get("bold")),
        on_principal_panel=(rules.get("panel") == "principal_display"),
        all_text=bool(rules.get("all_text")),
        note=rules.get("other") or "",
    )


def _particular(item: Mapping[str, Any]) -> Particular:
    return Particular(
        code=ParticularCode(item["code"]),
        required=item["required"],
        detail=item.get("detail") or "",
    )


def _cap(item: Mapping[str, Any]) -> Cap:
    return Cap(
        amount=Decimal(str(item["amount"])),
        currency=item["currency"],
        less_than=item["comparison"] == "less_than",
        basis=item["basis"],
        period=item["period"],
        scope=item.get("scope") or "",
        indexed=bool(item.get("indexed")),
        applies_to_jam=bool(item.get("applies_to_jam")),
        note=item.get("note") or "",
    )


def _sign(item: Mapping[str, Any]) -> Sign:
    return Sign(
        required=item["required"],
        text=item.get("text") or "",
        detail=item.get("detail") or "",
    )


def _source(item: Mapping[str, Any]) -> str:
    parts = (item.get("title"), item.get("edition_or_date"), item.get("address"))
    return ", ".join(part for part in parts if part)
