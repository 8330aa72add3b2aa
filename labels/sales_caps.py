"""The yearly sales cap of a place profile, for the books.

The books live below this app and ask through the setting ``SALES_CAP_SOURCE``. Where
a profile names several limits the newest count, and of those the smallest: the
seller is better warned too early.
"""

import datetime
from decimal import Decimal
from typing import Any

from inventory.words import say, to_say
from labels.models import PlaceProfile
from production.year import SalesCap

__all__ = ["annual_cap", "cap_of"]

COMPARISONS = {
    "must_not_exceed": to_say("must not exceed"),
    "less_than": to_say("must stay below"),
}


def annual_cap(place_code: str, *, on: datetime.date) -> SalesCap | None:
    """The cap that holds for preserves at a place, or None where none is known.

    Args:
        place_code: code of the profile the seller chose.
        on: limits of later years do not hold yet.
    """
    profile = PlaceProfile.objects.filter(code=place_code).first()
    return cap_of(profile, on=on) if profile else None


def cap_of(profile: PlaceProfile, *, on: datetime.date) -> SalesCap | None:
    """The cap a profile names, or None where it names no amount.

    Args:
        profile: the place as it was read.
        on: limits of later years do not hold yet.
    """
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
    comparison = say(
        COMPARISONS.get(limit.get("comparison") or "", to_say("is limited to this"))
    )
    basis = (limit.get("basis") or "sales").replace("_", " ")
    period = (limit.get("period") or "year").replace("_", " ")
    if period == "year unspecified":
        period = say("year (which year is not said)")
    scope = limit.get("scope") or "operation"
    return say(
        "{basis} {comparison}, per {period}, per {scope}",
        basis=basis,
        comparison=comparison,
        period=period,
        scope=scope,
    )


def _notes(
    cap: dict[str, Any], limits: list[dict[str, Any]], chosen: dict[str, Any]
) -> tuple[str, ...]:
    notes = [chosen.get("note"), cap.get("on_exceeding")]
    if chosen.get("indexed"):
        notes.append(say("the amount is raised from year to year: ask for this year's"))
    notes += [
        say(
            "also named: {amount:,} for {scope}, {year}",
            amount=limit["amount"],
            scope=limit.get("scope"),
            year=limit.get("as_of_year") or say("no year"),
        )
        for limit in limits
        if limit is not chosen
    ]
    return tuple(note for note in notes if note)
