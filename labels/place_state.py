"""The state of the seller's place profile, for the week.

The week lives below this app and asks through the setting ``PLACE_STATE_SOURCE``.
A profile counts as changed when it was edited, or read anew, after labels were
printed by it: what is stuck on the jars may no longer be what it asks for.
"""

import datetime

from django.db.models import Max, OuterRef, Subquery
from django.utils import timezone

from labels.models import PlaceProfile, PrintRun
from labels.sales_caps import cap_of
from production.place_state import PlaceState

__all__ = ["place_state"]


def place_state(place_code: str, *, on: datetime.date) -> PlaceState | None:
    """The profile a seller chose, in one query; None where there is none.

    Args:
        place_code: code of the profile.
        on: the day.
    """
    printed = PrintRun.objects.final().filter(place_code=OuterRef("code"))
    edits = PlaceProfile.history.filter(id=OuterRef("pk"), history_type="~")
    profile = (
        PlaceProfile.objects.filter(code=place_code)
        .annotate(
            printed_at=Subquery(_newest(printed, "place_code", "printed_at")),
            edited_at=Subquery(_newest(edits, "id", "history_date")),
        )
        .first()
    )
    if profile is None:
        return None
    return PlaceState(
        place=profile.place,
        address=profile.get_absolute_url(),
        read_on=profile.read_on,
        is_stale=profile.is_stale(on=on),
        changed_on=_changed_on(profile.read_on, profile.edited_at, profile.printed_at),
        cap=cap_of(profile, on=on),
    )


def _newest(rows, group: str, moment: str):  # type: ignore[no-untyped-def]
    return rows.order_by().values(group).annotate(last=Max(moment)).values("last")


def _changed_on(
    read_on: datetime.date,
    edited_at: datetime.datetime | None,
    printed_at: datetime.datetime | None,
) -> datetime.date | None:
    """The newest change later than the newest print, if there is one."""
    if printed_at is None:
        return None
    if edited_at is not None and edited_at > printed_at:
        return timezone.localdate(edited_at)
    return read_on if read_on > timezone.localdate(printed_at) else None
