"""The batches a week may make: a kettle of each product, whole or part, and those begun."""

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
from production.planning.part_batch import HALF, candidate_key, smaller_steps
from production.planning.recipe_work import COOLING_H, Step, parts_of
from production.planning.week_problem import Candidate, Need
from production.selectors.cost_book import expected_jars
from production.selectors.draws import is_kept_in_lots, needed_as_bought

__all__ = [
    "JarsThere",
    "Kettle",
    "begun_candidates",
    "half_batches",
    "ingredient_needs",
    "is_ending",
    "jars_there",
    "part_batch",
    "read_kettles",
    "steps_of",
    "work_left",
]

MOST_BATCHES = 3
ENDING_DAYS = 28


@dataclass(frozen=True, slots=True, kw_only=True)
class Kettle:
    """One full batch of a product, as it would be made now.

    Attributes:
        jars: it should fill, unrounded.
    """

    version: RecipeVersion
    product: Product
    jars: Decimal
    business: Business
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
        jars = expected_jars(version, product.jar_size, business=business)
        candidate = _candidate(version, product, business, jars, Decimal(1))
        if candidate is not None:
            kettles[code] = Kettle(
                version=version,
                product=product,
                jars=jars,
                business=business,
                candidate=candidate,
            )
    return kettles


def half_batches(kettles: Mapping[str, Kettle]) -> dict[str, Candidate]:
    """Half a batch of each product whose recipe may be made smaller, by product code.

    Two halves are a full batch, so the week makes one at most.
    """
    found = {}
    for code, kettle in kettles.items():
        half = None if kettle.version.whole_only else part_batch(kettle, HALF)
        if half is not None and half.jars < kettle.candidate.jars:
            found[code] = replace(half, most=1)
    return found


def part_batch(kettle: Kettle, share: Decimal) -> Candidate | None:
    """A batch of a share of the recipe; None where it fills no jar."""
    return _candidate(
        kettle.version, kettle.product, kettle.business, kettle.jars, share
    )


def _candidate(
    version: RecipeVersion,
    product: Product,
    business: Business,
    full_jars: Decimal,
    share: Decimal,
) -> Candidate | None:
    jars = int(full_jars * share)
    parts = _parts(version, product, business, jars, share)
    if jars <= 0 or not parts:
        return None
    return Candidate(
        key=candidate_key(product.code, share),
        product=product.code,
        jars=jars,
        parts=parts,
        needs=_needs(version, product, jars, share, len(parts) - 1 - parts[-1].light),
        cost=_small_costs(version, jars, business, share),
        most=MOST_BATCHES,
    )


def _parts(
    version: RecipeVersion,
    product: Product,
    business: Business,
    jars: int,
    share: Decimal,
) -> tuple[Part, ...]:
    return parts_of(
        smaller_steps(steps_of(version), share),
        jars=max(jars, 1),
        places=product.jar_size.per_canner_load,
        load_min=business.canner_heating_min + version.process_min,
    )


def steps_of(version: RecipeVersion) -> list[Step]:
    """The steps of a full batch as a plan sees them, in order."""
    return [
        Step(
            kind=row.kind,
            day=row.day_offset,
            hands_min=row.hands_on_min,
            idle_min=row.unattended_min,
            pot=row.needs == RecipeStep.Needs.POT,
            stand_min_h=row.stand_min_hours,
            stand_max_h=row.stand_max_hours,
        )
        for row in version.steps.all()
    ]


def _needs(
    version: RecipeVersion, product: Product, jars: int, share: Decimal, last: int
) -> tuple[Need, ...]:
    """Materials of a batch as bought, rounded up, and its jars and lids.

    Args:
        version: what is cooked.
        product: what it fills.
        jars: how many of them.
        share: of the tested batch.
        last: the last part at the stove, in which jars are filled.
    """
    packaging = (product.jar_size.jar, product.jar_size.lid)
    return (
        *ingredient_needs(version, share),
        *(Need(material=m.name, amount=jars, part=last) for m in packaging if m),
    )


def ingredient_needs(version: RecipeVersion, share: Decimal) -> tuple[Need, ...]:
    """Ingredients of a batch as bought, each rounded up to the gram or piece."""
    amounts: dict[str, Decimal] = defaultdict(Decimal)
    for line in version.lines.all():
        if is_kept_in_lots(line.material):
            amounts[line.material.name] += needed_as_bought(line, share)
    return tuple(
        Need(material=key, amount=int(-(-g // 1))) for key, g in amounts.items()
    )


def _small_costs(
    version: RecipeVersion, jars: int, business: Business, share: Decimal
) -> Decimal:
    """Labels and power of a batch, money."""
    steps = smaller_steps(steps_of(version), share)
    pot_min = sum(step.hands_min + step.idle_min for step in steps if step.pot)
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
        mine = part_batch(kettle, batch.factor.normalize()) or kettle.candidate
        jars = int(batch.expected_jars or mine.jars)
        found.append(
            replace(
                mine,
                key=f"{mine.key} begun {batch.pk}",
                jars=max(jars, 1),
                parts=work_left(batch, mine.parts, first),
                needs=(),
                cost=Decimal(0),
                most=1,
                begun=True,
            )
        )
    return tuple(found)


def work_left(
    batch: Batch, parts: tuple[Part, ...], first: dt.date
) -> tuple[Part, ...]:
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
