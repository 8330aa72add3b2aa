"""What the week must not overlook, read from the book.

Stop-sales in force, what is near its best-by, the seasons of the recipes' fruit, what
was cooked of those that end soon, and thermometers to check come in one query of five
parts; the place profile and, where a cap holds, the year's sales take one each.
"""

import datetime
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.db import models
from django.db.models import Case, DateField, Exists, OuterRef, Q, Value, When
from django.db.models.functions import Cast, Coalesce
from django.urls import reverse
from django.utils import timezone
from django.utils.module_loading import import_string

from inventory.models import Business, Lot, SeasonWindow
from production.models import (
    Batch,
    Instrument,
    InstrumentCheck,
    Reading,
    RecipeLine,
    StopSale,
)
from production.place_state import PlaceState
from production.selectors.year_books import gross_sales
from production.week_notices import (
    CHECK_DAYS,
    WARN_DAYS,
    Closing,
    DueCheck,
    Keeping,
    Notice,
    cap_notices,
    check_notices,
    closing_notices,
    keeping_notices,
    place_notices,
    season_of,
    stop_notices,
)

__all__ = ["read_notices"]

LOT, STOP, FRUIT, COOKED, CHECK = "lot", "stop", "fruit", "cooked", "check"
COLUMNS = ("part", "words", "key", "on", "first", "last")
STANDING = {1: "never", 2: "old", 3: "failed"}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """One row of the five-part query; which columns mean something, the part says."""

    part: str
    words: str
    key: str
    on: datetime.date | None
    first: int
    last: int


def read_notices(*, on: datetime.date, has_money: bool) -> list[Notice]:
    """The warnings of a day, the gravest first.

    Args:
        on: the day.
        has_money: whether the reader may see the year's sales.
    """
    parts: dict[str, list[_Row]] = {
        part: [] for part in (LOT, STOP, FRUIT, COOKED, CHECK)
    }
    for row in _rows(on):
        parts[row.part].append(row)
    place = _place(on)
    has_cap = has_money and place is not None and place.cap is not None
    sold = gross_sales(on.replace(month=1, day=1), _after(on)) if has_cap else None
    found = [
        *stop_notices(
            [(r.words, _page("stopsale-detail", r.key)) for r in parts[STOP]]
        ),
        *cap_notices(place, sold, address=reverse("production:books-this-year")),
        *place_notices(place),
        *keeping_notices(
            [
                Keeping(name=r.words, code=r.key, best_by=r.on)
                for r in parts[LOT]
                if r.on is not None
            ],
            on=on,
            address=reverse("inventory:pantry"),
        ),
        *closing_notices(
            _closings(parts[FRUIT], parts[COOKED], on=on),
            on=on,
            address=reverse("production:batch-plan"),
        ),
        *check_notices([_due(r) for r in parts[CHECK]]),
    ]
    return sorted(found, key=lambda notice: not notice.is_grave)


def _after(on: datetime.date) -> datetime.date:
    return on + datetime.timedelta(days=1)


def _page(name: str, key: str) -> str:
    return reverse(f"production:{name}", args=[int(key)])


def _place(on: datetime.date) -> PlaceState | None:
    source = getattr(settings, "PLACE_STATE_SOURCE", "")
    code = Business.current().place_code
    if not source or not code:
        return None
    state: PlaceState | None = import_string(source)(code, on=on)
    return state


def _due(row: _Row) -> DueCheck:
    return DueCheck(
        name=row.words,
        address=_page("instrument-check", row.key),
        standing=STANDING[row.first],
    )


def _rows(on: datetime.date) -> list[_Row]:
    """The five parts in one query."""
    until = on + datetime.timedelta(days=WARN_DAYS)
    lots = Lot.objects.on_hand().filter(best_by__lte=until, stopped_at=None)
    first = lots.annotate(
        **_part(LOT, Coalesce("product__name", "material__name"), "code"),
        on=models.F("best_by"),
    )
    stops = StopSale.objects.filter(lifted_at=None)
    others = (
        stops.annotate(**_part(STOP, "reason", "pk"), on=_no_day()),
        _fruit().annotate(
            **_part(FRUIT, "material__name", "material_id", "start_day", "end_day"),
            on=_no_day(),
        ),
        _cooked(on, until).annotate(
            **_part(COOKED, Value(""), "version__lines__material"), on=models.F("day")
        ),
        _to_check().annotate(**_part(CHECK, "name", "pk", "standing"), on=_no_day()),
    )
    read = first.order_by().values_list(*COLUMNS)
    rows = read.union(*(q.order_by().values_list(*COLUMNS) for q in others), all=True)
    return [_Row(**dict(zip(COLUMNS, row, strict=True))) for row in rows]


def _part(
    part: str, words: Any, key: str, first: str = "", last: str = ""
) -> dict[str, Any]:
    number = models.IntegerField()
    return {
        "part": Value(part, output_field=models.CharField()),
        "words": Cast(words, models.TextField()),
        "key": Cast(key, models.CharField(max_length=40)),
        "first": Cast(first, number) if first else Value(0, output_field=number),
        "last": Cast(last, number) if last else Value(0, output_field=number),
    }


def _no_day() -> Cast:
    return Cast(Value(None), DateField())


def _fruit() -> "models.QuerySet[SeasonWindow]":
    """Seasons of fruit that a recipe still cooked asks for."""
    used = RecipeLine.objects.filter(
        material=OuterRef("material"), version__recipe__retired_on=None
    )
    return SeasonWindow.objects.filter(Exists(used))


def _to_check() -> "models.QuerySet[Instrument]":
    """Thermometers whose last check failed, is old or is missing.

    Boiling water read for a batch is a check too: it is the same act.
    """
    since = timezone.now() - datetime.timedelta(days=CHECK_DAYS)
    checks = InstrumentCheck.objects.filter(instrument=OuterRef("pk"))
    last = checks.order_by("-checked_at", "-pk")
    boiled = Reading.objects.filter(
        instrument=OuterRef("pk"), kind=Reading.Kind.BOILING_WATER, is_undone=False
    )
    return (
        Instrument.objects.filter(kind=Instrument.Kind.THERMOMETER, retired_on=None)
        .annotate(
            last_at=models.Subquery(last.values("checked_at")[:1]),
            last_passed=models.Subquery(last.values("passed")[:1]),
            was_boiled=Exists(boiled.filter(at__gte=since)),
        )
        .annotate(
            standing=Case(
                When(last_passed=False, then=3),
                When(was_boiled=True, then=0),
                When(last_at=None, then=1),
                When(last_at__lt=since, then=2),
                default=0,
            )
        )
        .filter(~Q(standing=0))
    )


def _cooked(on: datetime.date, until: datetime.date) -> "models.QuerySet[Batch]":
    """Batches of fruit whose season ends soon, of two years and what is planned."""
    first, last = (day.month * 100 + day.day for day in (on, until))
    ends = "version__lines__material__seasons__end_day"
    from_now, by_then = Q(**{f"{ends}__gte": first}), Q(**{f"{ends}__lte": last})
    return (
        Batch.objects.exclude(status=Batch.Status.REJECTED)
        .filter(from_now & by_then if first <= last else from_now | by_then)
        .annotate(day=Coalesce("made_on", "planned_on"))
        .filter(day__gte=on - datetime.timedelta(days=800))
        .distinct()
    )


def _closings(
    fruit: Sequence[_Row], batches: Sequence[_Row], *, on: datetime.date
) -> list[Closing]:
    """The fruit in season, with this season's batches and last year's."""
    cooked = Counter((row.key, row.on) for row in batches if row.on is not None)
    found = []
    for row in fruit:
        season = season_of(row.first, row.last, on=on)
        if season is None:
            continue
        begins, ends = season
        before = _between(cooked, row.key, _year_ago(begins), _year_ago(ends))
        found.append(
            Closing(
                material=row.words,
                begins_on=begins,
                ends_on=ends,
                batches=_between(cooked, row.key, begins, ends),
                batches_before=before,
            )
        )
    return found


def _between(
    cooked: Counter[tuple[str, datetime.date]],
    material: str,
    first: datetime.date,
    last: datetime.date,
) -> int:
    return sum(
        many
        for (what, day), many in cooked.items()
        if what == material and first <= day <= last
    )


def _year_ago(day: datetime.date) -> datetime.date:
    return day.replace(
        year=day.year - 1, day=min(day.day, 28 if day.month == 2 else 31)
    )
