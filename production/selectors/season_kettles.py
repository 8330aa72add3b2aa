"""The batches of a season: kettles of products, and of what they are cooked with."""

import datetime as dt
import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import TYPE_CHECKING

from inventory.models import Business, Material, Outlet, Pack, Product
from production.models import Batch, RecipeVersion
from production.planning.season_problem import Kettle, Way
from production.selectors.week_kettles import Kettle as WeekKettle
from production.selectors.week_makers import Maker, making

if TYPE_CHECKING:
    from django.db.models import QuerySet

__all__ = ["season_kettle", "season_maker"]

KG = Decimal(1000)
DAYS = 7


def season_kettle(
    code: str,
    kettle: WeekKettle,
    fruits: Mapping[str, Material],
    business: Business,
    mondays: Sequence[dt.date],
) -> Kettle:
    """A full kettle of a product, as it would be made now, in any week."""
    needs, other = _needs(kettle.version, fruits)
    other += kettle.candidate.cost
    product = Product.objects.select_related("jar_size__lid").get(code=code)
    if product.jar_size.lid is not None:
        other += kettle.candidate.jars * price_per_unit(product.jar_size.lid)
    minutes = _minutes(kettle.version)
    loads = math.ceil(kettle.candidate.jars / product.jar_size.per_canner_load)
    months = product.best_by_months or business.best_by_months
    least_left = max(
        (o.min_life_fraction for o in Outlet.objects.filter(closed_on=None)),
        default=Decimal(0),
    )
    life = int(months * Decimal("4.345") * (1 - least_left))
    return Kettle(
        key=code,
        needs=needs,
        other_cost=other.quantize(Decimal("0.01")),
        jars=kettle.candidate.jars,
        ways=(Way(minutes=(minutes,), loads=(loads,)),),
        life_weeks=max(life, 1),
        jar_kind=product.jar_size.name if product.jar_size.jar_id else "",
        least=_planned(code, mondays),
    )


def _needs(
    version: RecipeVersion, fruits: Mapping[str, Material]
) -> tuple[dict[str, Decimal], Decimal]:
    """Fruit of a batch as bought, kg by name, and what its other lines cost."""
    needs: dict[str, Decimal] = defaultdict(Decimal)
    other = Decimal(0)
    for line in version.lines.all():
        bought_kg = line.grams / line.material.edible_yield / KG
        if line.material.name in fruits:
            needs[line.material.name] += bought_kg.quantize(Decimal("0.001"))
        else:
            other += bought_kg * KG * price_per_unit(line.material)
    return dict(needs), other


def _minutes(version: RecipeVersion) -> int:
    """Kitchen minutes of a batch: hands, and a quarter of what goes by itself."""
    return sum(
        step.hands_on_min + step.unattended_min // 4 for step in version.steps.all()
    )


def season_maker(
    maker: Maker, fruits: Mapping[str, Material], mondays: Sequence[dt.date]
) -> Kettle:
    """A batch that makes juice or purée: bought fruit goes in, kg to cook with come out."""
    batch = maker.candidate()
    assert batch is not None  # noqa: S101  those without are left out
    needs, other = _needs(maker.version, fruits)
    return Kettle(
        key=making(maker.material),
        needs=needs,
        other_cost=(other + batch.cost).quantize(Decimal("0.01")),
        jars=0,
        ways=(Way(minutes=(_minutes(maker.version),), loads=(0,)),),
        makes=maker.material.name,
        makes_kg=(maker.full_g / KG).quantize(Decimal("0.001")),
        least=_planned_makings(maker.material, mondays),
    )


def _planned_makings(material: Material, mondays: Sequence[dt.date]) -> dict[int, int]:
    rows = Batch.objects.filter(product=None, version__recipe__makes_material=material)
    return _by_week(rows, mondays)


def _planned(code: str, mondays: Sequence[dt.date]) -> dict[int, int]:
    """Batches already planned by hand, by week."""
    return _by_week(Batch.objects.filter(product__code=code), mondays)


def _by_week(rows: "QuerySet[Batch]", mondays: Sequence[dt.date]) -> dict[int, int]:
    rows = rows.filter(status=Batch.Status.PLANNED, planned_on__gte=mondays[0])
    found: dict[int, int] = defaultdict(int)
    for batch in rows:
        week = (batch.planned_on - mondays[0]).days // DAYS
        if week < len(mondays):
            found[week] += 1
    return dict(found)


def price_per_unit(material: Material) -> Decimal:
    """Money for a gram or a piece at the cheapest current offer; 0 when unknown."""
    prices = [
        pack.price / pack.quantity
        for pack in Pack.objects.filter(material=material, is_current=True)
    ]
    return min(prices, default=Decimal(0))
