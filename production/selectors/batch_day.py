"""A batch with everything its page and its papers name, in a fixed number of queries."""

from django.db.models import (
    Exists,
    OuterRef,
    Prefetch,
    QuerySet,
    prefetch_related_objects,
)

from inventory.models import Material
from production.models import (
    Batch,
    BatchInput,
    BatchOutput,
    Reading,
    RecipeLine,
    SealCheck,
    StepRecord,
)

__all__ = ["find_batch", "inputs_of", "outputs_of"]

STATUS = Batch.Status
UNCOOKED = {STATUS.PLANNED, STATUS.COOKING}


def find_batch(pk: int) -> Batch | None:
    """A batch with recipe, steps, records and readings, and what its status asks for.

    Before it is finished that is the recipe's ingredients; once it is begun what went
    in; once it is finished the jars and their seals.
    """
    low_acid = RecipeLine.objects.filter(
        version=OuterRef("version"), material__acidity=Material.Acidity.LOW
    )
    batch = (
        Batch.objects.select_related(
            "version__recipe", "product__jar_size", "parent", "cook", "decided_by"
        )
        .annotate(has_low_acid=Exists(low_acid))
        .filter(pk=pk)
        .first()
    )
    if batch is not None:
        batch.version.is_low_in_acid = batch.has_low_acid
        prefetch_related_objects([batch], *_parts(batch))
    return batch


def _parts(batch: Batch) -> list[Prefetch | str]:  # type: ignore[type-arg]
    found: list[Prefetch | str] = [  # type: ignore[type-arg]
        Prefetch("readings", Reading.objects.select_related("person", "instrument")),
        Prefetch("step_records", StepRecord.objects.select_related("person")),
        "version__steps",
    ]
    if batch.status in UNCOOKED:
        lines = RecipeLine.objects.select_related("material").order_by("position")
        found.append(Prefetch("version__lines", lines))
    if batch.status != STATUS.PLANNED:
        found.append(Prefetch("inputs", _inputs()))
    if batch.status not in UNCOOKED:
        found += [
            Prefetch("outputs", _outputs()),
            Prefetch(
                "outputs__seal_checks", SealCheck.objects.select_related("person")
            ),
        ]
    return found


def inputs_of(batch: Batch) -> list[BatchInput]:
    """What went into a batch, in order, with the lots; read once."""
    prefetch_related_objects([batch], Prefetch("inputs", _inputs()))
    return list(batch.inputs.all())


def outputs_of(batch: Batch) -> list[BatchOutput]:
    """What a batch made, with the lots and jars; read once."""
    prefetch_related_objects([batch], Prefetch("outputs", _outputs()))
    return list(batch.outputs.all())


def _inputs() -> QuerySet[BatchInput]:
    return BatchInput.objects.select_related(
        "movement__lot__material",
        "movement__lot__product__jar_size",
        "movement__lot__purchase__supplier",
        "line",
    ).order_by("pk")


def _outputs() -> QuerySet[BatchOutput]:
    return BatchOutput.objects.select_related(
        "lot__product__jar_size", "lot__material", "jar_size"
    ).order_by("pk")
