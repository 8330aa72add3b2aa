"""What the week must not overlook: when to speak, and the one next step.

Pure. Each function takes what the book says of one subject and yields nothing
while all is well. The limits of this module are common practice: a fruit is told
of three weeks before it goes, a best-by as long before, and a thermometer is
checked at least every thirty days.
"""

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from inventory.words import say, say_count
from production.place_state import PlaceState
from production.year import WARN_FRACTION

__all__ = [
    "CHECK_DAYS",
    "WARN_DAYS",
    "Closing",
    "DueCheck",
    "Keeping",
    "Notice",
    "cap_notices",
    "check_notices",
    "closing_notices",
    "keeping_notices",
    "place_notices",
    "season_of",
    "stop_notices",
]

WARN_DAYS = 21
CHECK_DAYS = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """One warning of the week.

    Attributes:
        about: which one, a word no reader sees.
        text: what is so, one sentence.
        step: what the key says.
        address: where it leads.
        is_grave: whether it stops work rather than asking for care.
        source: where the limit comes from, if the sentence names one.
    """

    about: str
    text: str
    step: str
    address: str
    is_grave: bool = False
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Keeping:
    """A lot at home with its best-by."""

    name: str
    code: str
    best_by: datetime.date


@dataclass(frozen=True, slots=True, kw_only=True)
class Closing:
    """A fruit of a recipe, its season, and what was cooked of it.

    Attributes:
        material: its name.
        begins_on: first day of the season a day falls into.
        ends_on: its last day.
        batches: cooked or planned with it in this season.
        batches_before: cooked with it in last year's.
    """

    material: str
    begins_on: datetime.date
    ends_on: datetime.date
    batches: int
    batches_before: int

    @property
    def is_enough(self) -> bool:
        """Whether as much was cooked as last year, and something at all."""
        return self.batches >= max(self.batches_before, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class DueCheck:
    """A thermometer that needs a check.

    Attributes:
        name: what it is called.
        address: where its check is written down.
        standing: "never", "old" or "failed".
    """

    name: str
    address: str
    standing: str


def season_of(
    start_day: int, end_day: int, *, on: datetime.date
) -> tuple[datetime.date, datetime.date] | None:
    """The season a day falls into, first and last day; None out of season.

    Args:
        start_day: month x 100 + day.
        end_day: as above; before ``start_day`` when it wraps the new year.
        on: the day.
    """
    for year in (on.year - 1, on.year):
        first = _date(year, start_day)
        last = _date(year + (end_day < start_day), end_day)
        if first <= on <= last:
            return first, last
    return None


def _date(year: int, day: int) -> datetime.date:
    if day == 229:
        return datetime.date(year, 3, 1) - datetime.timedelta(days=1)
    return datetime.date(year, day // 100, day % 100)


def stop_notices(reasons: Sequence[tuple[str, str]]) -> Iterator[Notice]:
    """A stop-sale in force.

    Args:
        reasons: why, and the address of the stop-sale.
    """
    for reason, address in reasons:
        yield Notice(
            about="stop",
            text=say("Nothing of it may be sold: {reason}", reason=reason),
            step=say("Open the stop-sale"),
            address=address,
            is_grave=True,
        )


def place_notices(place: PlaceState | None) -> Iterator[Notice]:
    """A place profile that is out of date: read too long ago, or changed since."""
    if place is None:
        return
    if place.changed_on is not None:
        yield Notice(
            about="place-changed",
            text=say(
                "{place}: the profile changed on {changed_on:%d %B %Y}, after your "
                "labels were printed; they may say less than it asks for",
                place=place.place,
                changed_on=place.changed_on,
            ),
            step=say("See what it asks for"),
            address=place.address,
        )
    if place.is_stale:
        yield Notice(
            about="place-stale",
            text=say(
                "{place}: the law was read on {read_on:%d %B %Y}, more than a year ago",
                place=place.place,
                read_on=place.read_on,
            ),
            step=say("Ask what has changed"),
            address=place.address,
        )


def cap_notices(
    place: PlaceState | None, sold: Decimal | None, *, address: str
) -> Iterator[Notice]:
    """Sales close to what the place allows in a year.

    Args:
        place: the profile, with its cap.
        sold: gross sales of the year so far.
        address: the page of the year.
    """
    cap = place.cap if place else None
    if cap is None or sold is None or cap.amount <= 0:
        return
    if sold / cap.amount < WARN_FRACTION:
        return
    is_reached = sold >= cap.amount
    facts = {
        "place": cap.place,
        "percent": f"{sold / cap.amount * 100:.1f}",
        "sold": f"{sold:,.2f}",
        "cap": f"{cap.amount:,.2f}",
    }
    yield Notice(
        about="cap",
        text=say(
            "The yearly sales cap of {place} is reached: {sold} of {cap} sold",
            **facts,
        )
        if is_reached
        else say(
            "{percent} % of the yearly sales cap of {place} is sold: "
            "{sold} ÷ {cap} × 100",
            **facts,
        ),
        step=say("Ask your authority before another jar")
        if is_reached
        else say("See when it would be reached"),
        address=address,
        is_grave=is_reached,
        source=cap.citation,
    )


def closing_notices(
    closings: Sequence[Closing], *, on: datetime.date, address: str
) -> Iterator[Notice]:
    """Fruit about to go out of season and not yet cooked enough.

    Args:
        closings: fruit of the recipes that is in season.
        on: the day.
        address: where a batch is planned.
    """
    for each in sorted(closings, key=lambda closing: closing.ends_on):
        if (each.ends_on - on).days > WARN_DAYS or each.is_enough:
            continue
        yield Notice(
            about="season",
            text=say_count(
                "{material} goes out of season on {ends_on:%d %B}: {count} batch this "
                "season, {before} last year",
                "{material} goes out of season on {ends_on:%d %B}: {count} batches this "
                "season, {before} last year",
                each.batches,
                material=each.material,
                ends_on=each.ends_on,
                before=each.batches_before,
            ),
            step=say("Plan a batch"),
            address=address,
        )


def keeping_notices(
    lots: Sequence[Keeping], *, on: datetime.date, address: str
) -> Iterator[Notice]:
    """Lots near their best-by or past it, all of them in one sentence.

    Args:
        lots: at home.
        on: the day.
        address: the list of what to use first.
    """
    until = on + datetime.timedelta(days=WARN_DAYS)
    near = sorted((x for x in lots if x.best_by <= until), key=lambda lot: lot.best_by)
    if not near:
        return
    first = near[0]
    yield Notice(
        about="best-by",
        text=say_count(
            "Best by {best_by:%d %B %Y}: {name}, lot {code}",
            "{count} lots are past their best-by or near it, the first on "
            "{best_by:%d %B %Y}: {name}, lot {code}",
            len(near),
            best_by=first.best_by,
            name=first.name,
            code=first.code,
        ),
        step=say("See what to use first"),
        address=address,
    )


def check_notices(due: Sequence[DueCheck]) -> Iterator[Notice]:
    """Thermometers to check in boiling water before the next cook day."""
    words = {
        "never": say("was never checked"),
        "old": say("was checked more than {days} days ago", days=CHECK_DAYS),
        "failed": say("did not pass its last check"),
    }
    for each in due:
        yield Notice(
            about="thermometer",
            text=f"{each.name} {words[each.standing]}",
            step=say("Check it in boiling water"),
            address=each.address,
            source=say("common practice"),
        )
