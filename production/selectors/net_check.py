"""The net-contents check of a jar lot: its weighings against its declaration."""

from dataclasses import dataclass
from decimal import Decimal

from inventory.models import JarSize, Product
from inventory.words import say
from production.average_quantity import (
    AverageQuantityResult,
    check_average_quantity,
    largest_nominal_g,
)
from production.declared import Declaration
from production.models import BatchOutput, JarWeighing, RecipeVersion
from production.net_contents import (
    NetContentsError,
    NetContentsResult,
    SamplingPlan,
    check_jars,
    declare_instead,
    fill_target_g,
    sampling_plan,
)
from production.scales import largest_division_g
from production.science.jars import Fill, declare, fill_jar
from production.science.working import ScienceError
from production.selectors.prediction import as_jar_shape

__all__ = ["NetCheck", "declaration_of", "fill_of", "net_check"]

USUAL_SOLIDS = Decimal("0.65")


@dataclass(frozen=True, slots=True, kw_only=True)
class NetCheck:
    """How a jar lot stands with its declared weight.

    Attributes:
        plan: jars to weigh.
        declaration: what the label says; None where it cannot be worked out.
        weighings: the jars weighed.
        result: by Handbook 133; None before a jar was weighed.
        european: by the three rules of the average system.
        instead: what could be declared, where the sample would not pass.
        nominal_instead_g: the same for the European rules.
        target_g: fill to aim at.
        scale_step_g: coarsest step of a scale for this size.
        problem: why there is no result.
    """

    plan: SamplingPlan
    declaration: Declaration | None
    weighings: tuple[JarWeighing, ...] = ()
    result: NetContentsResult | None = None
    european: AverageQuantityResult | None = None
    instead: Declaration | None = None
    nominal_instead_g: Decimal | None = None
    target_g: Decimal | None = None
    scale_step_g: Decimal | None = None
    problem: str = ""


def fill_of(size: JarSize, version: RecipeVersion) -> Fill | None:
    """What a jar of a size holds of a recipe; None where it cannot be worked out."""
    try:
        return fill_jar(
            as_jar_shape(size),
            solids=version.finish_solids or USUAL_SOLIDS,
            headspace_mm=version.headspace_mm,
        )
    except ScienceError:
        return None


def declaration_of(product: Product, version: RecipeVersion) -> Declaration | None:
    """The net weight a product declares: its own, or what the jar holds."""
    if product.net_weight_g is not None:
        return Declaration.of_grams(product.net_weight_g)
    fill = fill_of(product.jar_size, version)
    if fill is None:
        return None
    weight = declare(fill.fill_g)
    if weight.ounces <= 0 or weight.grams <= 0:
        return None
    return Declaration(ounces=weight.ounces, grams=weight.grams)


def net_check(output: BatchOutput) -> NetCheck:
    """Check the weighed jars of a lot."""
    lot_size = int(output.filled)
    plan = sampling_plan(lot_size)
    product = output.lot.product
    declaration = (
        declaration_of(product, output.batch.version) if product is not None else None
    )
    weighings = tuple(output.weighings.all())
    if declaration is None or not weighings:
        problem = "" if declaration else say("no net weight is known for this product")
        return NetCheck(
            plan=plan, declaration=declaration, weighings=weighings, problem=problem
        )
    try:
        return _checked(plan, declaration, weighings)
    except NetContentsError as error:
        return NetCheck(
            plan=plan,
            declaration=declaration,
            weighings=weighings,
            problem=str(error),
        )


def _checked(
    plan: SamplingPlan, declaration: Declaration, weighings: tuple[JarWeighing, ...]
) -> NetCheck:
    result = check_jars(
        [each.gross_g for each in weighings],
        [each.tare_g for each in weighings],
        declaration=declaration,
        lot_size=plan.lot_size,
    )
    nets = [each.net_g for each in weighings]
    nominal = declaration.grams or declaration.larger_g
    european = check_average_quantity(nets, nominal_g=nominal, lot_size=plan.lot_size)
    fails = not (result.passes_single and result.passes_average)
    step = largest_division_g(result.mav_g)
    return NetCheck(
        plan=plan,
        declaration=declaration,
        weighings=weighings,
        result=result,
        european=european,
        instead=declare_instead(result) if fails else None,
        nominal_instead_g=None if european.passes else largest_nominal_g(nets),
        target_g=fill_target_g(
            labelled_g=result.labelled_g,
            spread_g=result.spread_g,
            mav_g=result.mav_g,
            division_g=min(step, Decimal(1)),
        ),
        scale_step_g=step,
    )
