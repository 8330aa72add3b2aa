"""Which names a batch or a recipe has earned, by the kitchen's science."""

from dataclasses import replace

from labels.selectors.recipes import Cooked, predict_cooked
from production.scaling import ScalingError
from production.science.identity import NameAnswer
from production.science.identity_abroad import abroad_names
from production.science.identity_us import us_names
from production.science.span import Span
from production.science.working import ScienceError

__all__ = ["names_of"]


def names_of(cooked: Cooked) -> tuple[NameAnswer, ...]:
    """Return the answers of every place; none where science has no answer.

    A batch answers by its refractometer reading and its finished weight.
    """
    try:
        predicted = predict_cooked(cooked.book, cooked.version, cooked.factor)
    except (ScienceError, ScalingError):
        return ()
    product, solids = predicted.identity, cooked.solids
    if solids is not None:
        product = replace(product, solids=Span.exactly(solids), measured_solids=True)
    if cooked.batch is not None:
        product = replace(product, finished_g=Span.exactly(cooked.finished_mass_g))
    return (*us_names(product), *abroad_names(product))
