"""Batches that make a material to be cooked with: juice, purée, pectin stock."""

import datetime as dt
import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from statistics import median

from inventory.models import Business, Material
from production.models import Batch, BatchOutput, RecipeVersion
from production.planning.part_batch import HALF, candidate_key, smaller_steps
from production.planning.recipe_work import parts_of
from production.planning.week_problem import MAKING, Candidate, Made
from production.planning.week_problem import Material as WeekMaterial
from production.science.working import ScienceError
from production.selectors.prediction import jars_expected
from production.selectors.week_kettles import ingredient_needs, steps_of, work_left

__all__ = ["Maker", "begun_makers", "making", "offered_makers", "read_makers", "valued"]

WHOLE = Decimal(1)
MOST_BATCHES = 2
LAST_BATCHES = 5
KEPT_SHARE_MADE = Decimal("0.90")
"""What a gram left is worth as a share of the fruit it was made of, where it keeps.
Common practice: our own choice; below one, so that none is made without a use."""
WEEK_DAYS = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class Maker:
    """A recipe whose batch becomes a material.

    Attributes:
        full_g: what a full batch makes.
    """

    version: RecipeVersion
    material: Material
    full_g: Decimal
    business: Business

    def candidate(self, share: Decimal = WHOLE) -> Candidate | None:
        """A batch of a share of it; None where it makes nothing or has no steps."""
        parts = parts_of(
            smaller_steps(steps_of(self.version), share), jars=1, places=1, load_min=0
        )
        amount = int(self.full_g * share)
        if not parts or amount <= 0:
            return None
        return Candidate(
            key=candidate_key(making(self.material), share),
            product=making(self.material),
            jars=0,
            parts=parts,
            needs=ingredient_needs(self.version, share),
            cost=self._power(share),
            most=MOST_BATCHES,
            makes=Made(
                material=self.material.name,
                amount=amount,
                keeps_days=_keeps_days(self.material),
            ),
        )

    def _power(self, share: Decimal) -> Decimal:
        steps = smaller_steps(steps_of(self.version), share)
        pot_min = sum(step.hands_min + step.idle_min for step in steps if step.pot)
        return pot_min * self.business.burner_kw / 60 * self.business.power_tariff


def making(material: Material) -> str:
    """The product of a batch that makes a material, in the week's question."""
    return f"{MAKING}{material.name}"


def _keeps_days(material: Material) -> int | None:
    """Days it stays fit, None where it outlasts the week: frozen, or keeping."""
    days = material.fresh_days
    if material.freezable or days is None or days >= WEEK_DAYS:
        return None
    return int(days)


def read_makers(names: Iterable[str], *, on: dt.date) -> dict[str, Maker]:
    """The recipes that make materials, and those that make what these need.

    Args:
        names: of the materials asked for.
        on: the day.

    Returns:
        Makers by the name of the material, those asked for first. A recipe that
        needs what is on its way already is left out: it would chase its own tail.
    """
    versions = {
        version.recipe.makes_material.name: version
        for version in RecipeVersion.objects.current(on=on)
        .filter(recipe__makes_material__isnull=False, recipe__retired_on=None)
        .select_related("recipe__makes_material")
        .prefetch_related("lines__material__seasons", "steps")
        if version.recipe.makes_material
    }
    if not versions:
        return {}
    found: dict[str, Maker] = {}
    made = _made_g([version.recipe_id for version in versions.values()])
    business = Business.current()
    waiting = sorted(set(names))
    while waiting:
        name = waiting.pop(0)
        version = versions.get(name)
        if version is None or name in found or version.recipe.makes_material is None:
            continue
        needs = {line.material.name for line in version.lines.all()}
        if needs & {*found, name}:
            continue
        found[name] = Maker(
            version=version,
            material=version.recipe.makes_material,
            full_g=made.get(version.recipe_id) or _expected_g(version, on),
            business=business,
        )
        waiting += sorted(needs)
    return found


def _made_g(recipes: Sequence[int]) -> dict[int, Decimal]:
    """What a full batch of each recipe made: the middle of its last batches."""
    rows = (
        BatchOutput.objects.filter(
            batch__version__recipe__in=recipes, batch__finished_at__isnull=False
        )
        .exclude(lot__material=None)
        .order_by("-batch__finished_at")
        .values_list("batch__version__recipe", "filled", "batch__factor")
    )
    seen: dict[int, list[Decimal]] = {}
    for recipe, filled, factor in rows:
        mine = seen.setdefault(recipe, [])
        if len(mine) < LAST_BATCHES:
            mine.append(filled / factor)
    return {recipe: median(amounts) for recipe, amounts in seen.items()}


def _expected_g(version: RecipeVersion, on: dt.date) -> Decimal:
    """What a full batch should make: by the balance, else what goes in."""
    try:
        return jars_expected(Batch(version=version, planned_on=on))[0]
    except ScienceError:
        return sum((line.grams for line in version.lines.all()), Decimal(0))


def offered_makers(
    makers: Mapping[str, Maker],
    users: Iterable[Candidate],
    *,
    shares: Mapping[str, Collection[Decimal]],
) -> tuple[Candidate, ...]:
    """The batches of the makers a week may need, whole and half.

    Args:
        makers: by the name of the material.
        users: the batches that may need them.
        shares: those the seller planned by hand, which alone are then offered.
    """
    wanted: dict[str, int] = {}
    for user in users:
        for need in user.needs:
            wanted[need.material] = (
                wanted.get(need.material, 0) + need.amount * user.most
            )
    found = []
    for name, maker in makers.items():
        mine = shares.get(making(maker.material))
        usual = {WHOLE} if maker.version.whole_only else {WHOLE, HALF}
        for share in sorted(mine or usual, reverse=True):
            batch = maker.candidate(share)
            if batch is not None and batch.makes is not None:
                useful = math.ceil(wanted.get(name, 0) / batch.makes.amount)
                most = 1 if share == HALF and not mine else min(useful, MOST_BATCHES)
                found.append(replace(batch, most=max(most, 1)))
    return tuple(found)


def begun_makers(
    makers: Mapping[str, Maker], *, first: dt.date
) -> tuple[Candidate, ...]:
    """Such batches on the stove or standing, with the work that is left of them."""
    rows = Batch.objects.filter(status=Batch.Status.COOKING, product=None)
    found = []
    for batch in rows.select_related("version__recipe__makes_material"):
        material = batch.version.recipe.makes_material
        maker = makers.get(material.name) if material else None
        mine = maker.candidate(batch.factor.normalize()) if maker else None
        if mine is not None:
            found.append(
                replace(
                    mine,
                    key=f"{mine.key} begun {batch.pk}",
                    parts=work_left(batch, mine.parts, first),
                    needs=(),
                    cost=Decimal(0),
                    most=1,
                    begun=True,
                )
            )
    return tuple(found)


def valued(
    materials: Iterable[WeekMaterial], makers: Iterable[Candidate]
) -> tuple[WeekMaterial, ...]:
    """The materials, what the kitchen makes of them valued by what it is made of."""
    rows = {material.key: material for material in materials}
    for maker in makers:
        made = maker.makes
        if made is None or made.material not in rows or maker.begun:
            continue
        row = rows[made.material]
        if row.kept_worth or made.keeps_days is not None:
            continue
        cost = sum(
            (need.amount * _each(rows[need.material]) for need in maker.needs),
            Decimal(0),
        )
        rows[row.key] = replace(row, kept_worth=KEPT_SHARE_MADE * cost / made.amount)
    return tuple(rows.values())


def _each(material: WeekMaterial) -> Decimal:
    """What a gram costs at the cheapest offer."""
    return min((o.price / o.pack for o in material.offers), default=material.kept_worth)
