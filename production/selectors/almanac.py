"""What stands in the almanac: read from the whole book."""

import datetime
from collections.abc import Iterator

from django.db.models import Min

from inventory.models import Lot, MarketDay, Paper, SeasonWindow
from inventory.words import say, to_say
from production.almanac import AlmanacEntry
from production.models import Batch, RecipeStep

__all__ = ["almanac_entries"]

BEHIND = datetime.timedelta(days=30)
AHEAD = datetime.timedelta(days=400)


def almanac_entries(*, on: datetime.date) -> list[AlmanacEntry]:
    """Entries from a month behind a day to a year ahead."""
    first, last = on - BEHIND, on + AHEAD
    return [
        *_cook_days(first, last),
        *_market_days(first, last),
        *_seasons(on),
        *_best_by(on, last),
        *_papers(first, last),
    ]


def _cook_days(first: datetime.date, last: datetime.date) -> Iterator[AlmanacEntry]:
    batches = Batch.objects.filter(planned_on__gte=first, planned_on__lte=last).exclude(
        status=Batch.Status.REJECTED
    )
    named = batches.select_related("version__recipe", "product__jar_size")
    for batch in named.prefetch_related("version__steps"):
        name = batch.product or batch.version.recipe
        steps = batch.version.steps.all()
        for offset in sorted({step.day_offset for step in steps} or {0}):
            day = batch.planned_on + datetime.timedelta(days=offset)
            work = [step.text for step in steps if step.day_offset == offset]
            yield AlmanacEntry(
                key=f"batch-{batch.pk}-{offset}",
                summary=say("Cook: {name}", name=name)
                if not offset
                else say("Cook, second day: {name}", name=name),
                starts=day,
                about="\n".join(work),
                category="cook",
            )
        for step in steps:
            if step.kind != RecipeStep.Kind.STAND:
                continue
            night = batch.planned_on + datetime.timedelta(days=step.day_offset)
            yield AlmanacEntry(
                key=f"stand-{batch.pk}-{step.position}",
                summary=say("Stands overnight: {name}", name=name),
                starts=night,
                ends=night + datetime.timedelta(days=2),
                about=say(
                    "{stand_min_hours} to {stand_max_hours} hours",
                    stand_min_hours=step.stand_min_hours,
                    stand_max_hours=step.stand_max_hours,
                ),
                category="cook",
            )


def _market_days(first: datetime.date, last: datetime.date) -> Iterator[AlmanacEntry]:
    days = MarketDay.objects.between(first, last).exclude(
        status=MarketDay.Status.CANCELLED
    )
    for day in days.select_related("outlet"):
        hours = ""
        if day.outlet.opens_at and day.outlet.closes_at:
            hours = say(
                "{opens_at:%H:%M} to {closes_at:%H:%M}",
                opens_at=day.outlet.opens_at,
                closes_at=day.outlet.closes_at,
            )
        yield AlmanacEntry(
            key=f"market-{day.pk}",
            summary=str(day.outlet),
            starts=day.on,
            about=hours,
            category="market",
        )


def _seasons(on: datetime.date) -> Iterator[AlmanacEntry]:
    for window in SeasonWindow.objects.select_related("material"):
        for year in (on.year, on.year + 1):
            for word, day in (
                (to_say("opens"), window.start_day),
                (to_say("closes"), window.end_day),
            ):
                if day == 229:
                    day = 228  # noqa: PLW2901  a leap day's window in a common year
                yield AlmanacEntry(
                    key=f"season-{window.pk}-{word}-{year}",
                    summary=say(
                        "{material}: season {word}",
                        material=window.material,
                        word=say(word),
                    ),
                    starts=datetime.date(year, day // 100, day % 100),
                    category="season",
                )


def _best_by(on: datetime.date, last: datetime.date) -> Iterator[AlmanacEntry]:
    lots = (
        Lot.objects.on_hand()
        .filter(best_by__gte=on, best_by__lte=last)
        .values("best_by", "material__name", "product__name")
        .annotate(first=Min("pk"))
    )
    for row in lots.order_by("best_by", "first"):
        assert row["best_by"] is not None  # noqa: S101  as filtered
        name = row["product__name"] or row["material__name"]
        yield AlmanacEntry(
            key=f"best-by-{row['first']}",
            summary=say("Best by: {name}", name=name),
            starts=row["best_by"],
            category="best-by",
        )


def _papers(first: datetime.date, last: datetime.date) -> Iterator[AlmanacEntry]:
    papers = Paper.objects.in_use().filter(expires_on__gte=first, expires_on__lte=last)
    for paper in papers:
        yield AlmanacEntry(
            key=f"paper-{paper.pk}",
            summary=say("Runs out: {paper}", paper=paper),
            starts=paper.expires_on,
            category="paper",
        )
