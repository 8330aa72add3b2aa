"""The batches a week may make: one full kettle of each product, and those begun."""

import datetime as dt
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from django.utils import timezone

from inventory.models import Business, Lot, Product
from inventory.selectors.stock import home_balance
from production.models import Batch, RecipeStep, RecipeVersion
from production.planning.kitchen import Part
from production.planning.recipe_work import COOLING_H, Step, parts_of
from production.planning.week_problem import Candidate, Need
from production.selectors.cost_book import expected_jars
from production.selectors.draws import is_kept_in_lots, needed_as_bought

__all__ = [
    "JarsThere",
    "Kettle",
    "begun_candidates",
    "is_ending",
    "jars_there",
    "read_kettles",
]

MOST_BATCHES = 3
ENDING_DAYS = 28


@dataclass(frozen=True, slots=True, kw_only=True)
class Kettle:
    """One full batch of a product, as it would be made now."""

    version: RecipeVersion
    candidate: Candidate


@dataclass(frozen=True, slots=True, kw_only=True)
class JarsThere:
    """Jars at home by product code: ready to sell, and held until a day."""

    ready: Mapping[str, int]
    coming: Mapping[str, tuple[tuple[dt.date, int], ...]]


def read_kettles(products: Mapping[str, Product], *, on: dt.date) -> dict[str, Kettle]:
    """One full batch of each product that has a recipe, by product code."""
    business = Business.current()
    versions = {
        version.recipe_id: version
        for version in RecipeVersion.objects.current(on=on)
        .select_related("recipe")
        .prefetch_related("lines__material__seasons", "steps")
    }
    kettles = {}
    for code, product in products.items():
        filling = getattr(product, "filling", None)
        version = versions.get(filling.recipe_id) if filling else None
        if version is None or version.recipe.retired_on is not None:
            continue
        jars = int(expected_jars(version, product.jar_size, business=business))
        parts = _parts(version, product, jars, business)
        if jars > 0 and parts:
            kettles[code] = Kettle(
                version=version,
                candidate=Candidate(
                    key=code,
                    product=code,
                    jars=jars,
                    parts=parts,
                    needs=_needs(version, product, jars, parts),
                    cost=_small_costs(version, jars, business),
                    most=MOST_BATCHES,
                ),
            )
    return kettles


def _parts(
    version: RecipeVersion, product: Product, jars: int, business: Business
) -> tuple[Part, ...]:
    return parts_of(
        [_step(step) for step in version.steps.all()],
        jars=max(jars, 1),
        places=product.jar_size.per_canner_load,
        load_min=business.canner_heating_min + version.process_min,
    )


def _step(row: RecipeStep) -> Step:
    return Step(
        kind=row.kind,
        day=row.day_offset,
        hands_min=row.hands_on_min,
        idle_min=row.unattended_min,
        pot=row.needs == RecipeStep.Needs.POT,
        stand_min_h=row.stand_min_hours,
        stand_max_h=row.stand_max_hours,
    )


def _needs(
    version: RecipeVersion, product: Product, jars: int, parts: tuple[Part, ...]
) -> tuple[Need, ...]:
    """Materials of a full batch as bought, rounded up, and its jars and lids."""
    amounts: dict[str, Decimal] = defaultdict(Decimal)
    for line in version.lines.all():
        if is_kept_in_lots(line.material):
            amounts[line.material.name] += needed_as_bought(line, Decimal(1))
    last = max(n for n, part in enumerate(parts) if not part.light)
    needs = [Need(material=key, amount=int(-(-g // 1))) for key, g in amounts.items()]
    packaging = (product.jar_size.jar, product.jar_size.lid)
    needs += [Need(material=m.name, amount=jars, part=last) for m in packaging if m]
    return tuple(needs)


def _small_costs(version: RecipeVersion, jars: int, business: Business) -> Decimal:
    """Labels and power of a batch, money."""
    pot_min = sum(
        step.hands_on_min + step.unattended_min
        for step in version.steps.all()
        if step.needs == RecipeStep.Needs.POT
    )
    canner_min = business.canner_heating_min + version.process_min
    energy = pot_min * business.burner_kw + canner_min * business.canner_kw
    return business.label_cost * jars + energy / 60 * business.power_tariff


def is_ending(version: RecipeVersion, *, on: dt.date) -> bool:
    """Whether one of its fruits is in season now and not four weeks from now."""
    soon = on + dt.timedelta(days=ENDING_DAYS)
    for line in version.lines.all():
        windows = list(line.material.seasons.all())
        now = any(window.is_open(on) for window in windows)
        if now and not any(window.is_open(soon) for window in windows):
            return True
    return False


def begun_candidates(
    kettles: Mapping[str, Kettle], *, first: dt.date
) -> tuple[Candidate, ...]:
    """Batches on the stove or standing, with the work that is left of them."""
    rows = Batch.objects.filter(status=Batch.Status.COOKING, product__isnull=False)
    found = []
    for batch in rows.select_related("product"):
        kettle = kettles.get(batch.product.code) if batch.product else None
        if kettle is None:
            continue
        jars = int(batch.expected_jars or kettle.candidate.jars)
        found.append(
            replace(
                kettle.candidate,
                key=f"{kettle.candidate.key} begun {batch.pk}",
                jars=max(jars, 1),
                parts=_left(batch, kettle.candidate.parts, first),
                needs=(),
                cost=Decimal(0),
                most=1,
                begun=True,
            )
        )
    return tuple(found)


def _left(batch: Batch, parts: tuple[Part, ...], first: dt.date) -> tuple[Part, ...]:
    """The days' work of a batch not done yet; a stand counts from its start."""
    began = timezone.localdate(batch.started_at) if batch.started_at else first
    done = min(max((first - began).days, 0), len(parts) - 1)
    left = list(parts[done:])
    if done:
        hours_ago = (first - began).days * 24 - 20
        waits = max(left[0].rest_min_h - max(hours_ago, 0), 0)
        left[0] = replace(
            left[0],
            rest_min_h=0,
            rest_max_h=None,
            vessel=False,
            begins_after_min=waits * 60,
        )
    return tuple(left)


def jars_there(*, first: dt.date) -> JarsThere:
    """Jars at home: those that may be sold, and those held for their checks."""
    ready: dict[str, int] = defaultdict(int)
    for lot in Lot.objects.sellable(on=first).select_related("product"):
        if lot.product:
            ready[lot.product.code] += int(home_balance(lot))
    coming: dict[str, list[tuple[dt.date, int]]] = defaultdict(list)
    held = Lot.objects.usable(on=first).filter(
        product__isnull=False,
        released_at__isnull=True,
        batch_output__batch__status=Batch.Status.HELD,
    )
    for lot in held.select_related("product", "batch_output__batch"):
        at = lot.batch_output.batch.finished_at
        made = timezone.localdate(at) if at else lot.received_on
        days = -(-int(COOLING_H.value) // 24)
        when = max(made + dt.timedelta(days=days), first)
        if lot.product:
            coming[lot.product.code].append((when, int(home_balance(lot))))
    return JarsThere(
        ready=dict(ready), coming={code: tuple(rows) for code, rows in coming.items()}
    )
