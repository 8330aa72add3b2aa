"""The yearly sales cap of a place profile, for the books.

The books live below this app and ask through the setting ``SALES_CAP_SOURCE``. Where
a profile names several limits the newest count, and of those the smallest: the
seller is better warned too early.
"""

import datetime
from decimal import Decimal
from typing import Any

from labels.models import PlaceProfile
from production.year import SalesCap

__all__ = ["annual_cap"]

COMPARISONS = {
    "must_not_exceed": "must not exceed",
    "less_than": "must stay below",
}


def annual_cap(place_code: str, *, on: datetime.date) -> SalesCap | None:
    """The cap that holds for preserves at a place, or None where none is known.

    Args:
        place_code: code of the profile the seller chose.
        on: limits of later years do not hold yet.
    """
    profile = PlaceProfile.objects.filter(code=place_code).first()
    if profile is None:
        return None
    cap = profile.body.get("annual_sales_cap") or {}
    limits = [
        limit
        for limit in cap.get("limits") or []
        if limit.get("applies_to_jam")
        and limit.get("amount")
        and (limit.get("as_of_year") or 0) <= on.year
    ]
    if cap.get("kind") != "amount" or not limits:
        return None
    newest = max(limit.get("as_of_year") or 0 for limit in limits)
    current = [limit for limit in limits if (limit.get("as_of_year") or 0) == newest]
    chosen = min(current, key=lambda limit: Decimal(str(limit["amount"])))
    return SalesCap(
        amount=Decimal(str(chosen["amount"])),
        currency=chosen.get("currency") or "USD",
        place=profile.place,
        citation=profile.citation,
        read_on=profile.read_on,
        words=_words(chosen),
        notes=_notes(cap, limits, chosen),
    )


def _words(limit: dict[str, Any]) -> str:
    comparison = COMPARISONS.get(limit.get("comparison") or "", "is limited to this")
    basis = (limit.get("basis") or "sales").replace("_", " ")
    period = (limit.get("period") or "year").replace("_", " ")
    if period == "year unspecified":
        period = "year (which year is not said)"
    scope = limit.get("scope") or "operation"
    return f"{basis} {comparison}, per {period}, per {scope}"


def _notes(
    cap: dict[str, Any], limits: list[dict[str, Any]], chosen: dict[str, Any]
) -> tuple[str, ...]:
    notes = [chosen.get("note"), cap.get("on_exceeding")]
    if chosen.get("indexed"):
        notes.append("the amount is raised from year to year: ask for this year's")
    notes += [
        f"also named: {limit['amount']:,} for {limit.get('scope')}, "
        f"{limit.get('as_of_year') or 'no year'}"
        for limit in limits
        if limit is not chosen
    ]
    return tuple(note for note in notes if note)
