"""Versions of recipes with their lines and steps, read in two queries."""

import datetime
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from django.db.models import F, OuterRef, Q, QuerySet, Subquery

from production.models import RecipeLine, RecipeStep, RecipeVersion

__all__ = ["WrittenVersion", "WrittenVersions", "read_versions", "read_written"]


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenVersion:
    """One version as it stands on paper: its lines, then its steps."""

    version: RecipeVersion
    lines: tuple[RecipeLine, ...] = ()
    steps: tuple[RecipeStep, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenVersions:
    """Versions by their own number, and those cooked by today by their recipe's.

    A version nobody wrote a line of is not among them.
    """

    all: Mapping[int, WrittenVersion] = field(default_factory=dict)
    current: Mapping[int, WrittenVersion] = field(default_factory=dict)


def read_versions(*, on: datetime.date, also: Iterable[int] = ()) -> WrittenVersions:
    """The version each recipe is cooked by on a day, and some others.

    Args:
        on: the day.
        also: numbers of versions to read whether they are current or not.
    """
    newest = RecipeVersion.objects.filter(
        recipe=OuterRef("version__recipe"), written_on__lte=on
    ).order_by("-number")
    lines = RecipeLine.objects.annotate(current=Subquery(newest.values("pk")[:1]))
    wanted = Q(version=F("current")) | Q(version__in=list(also))
    found = _written(lines.filter(wanted))
    current = {
        line.version_id
        for written in found.values()
        for line in written.lines[:1]
        if line.current == line.version_id  # type: ignore[attr-defined] # annotated
    }
    return WrittenVersions(
        all=found,
        current={
            written.version.recipe_id: written
            for number, written in found.items()
            if number in current
        },
    )


def read_written(version: RecipeVersion) -> WrittenVersion:
    """One version with its lines and steps."""
    found = _written(RecipeLine.objects.filter(version=version))
    return found.get(version.pk) or WrittenVersion(
        version=version, steps=tuple(version.steps.all())
    )


def _written(rows: "QuerySet[RecipeLine]") -> dict[int, WrittenVersion]:
    lines: defaultdict[int, list[RecipeLine]] = defaultdict(list)
    for line in rows.select_related("version__recipe", "material").order_by(
        "version_id", "position"
    ):
        lines[line.version_id].append(line)
    steps: defaultdict[int, list[RecipeStep]] = defaultdict(list)
    for step in RecipeStep.objects.filter(version__in=list(lines)).order_by(
        "version_id", "position"
    ):
        steps[step.version_id].append(step)
    return {
        number: WrittenVersion(
            version=own[0].version, lines=tuple(own), steps=tuple(steps[number])
        )
        for number, own in lines.items()
    }
