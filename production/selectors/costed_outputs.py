"""The jars a batch is costed by, with what became of them, in one query."""

from django.db.models import Case, Count, F, OuterRef, QuerySet, Subquery, Sum, When

from inventory.models import Movement
from production.models import Batch, BatchOutput

__all__ = ["costed_outputs", "main_outputs"]


def costed_outputs(*, product_id: int, limit: int = 5) -> list[BatchOutput]:
    """Jars of the newest batches of a product that have good jars, to be costed."""
    batches = (
        Batch.objects.filter(
            outputs__lot__product_id=product_id, finished_at__isnull=False
        )
        .exclude(status=Batch.Status.REJECTED)
        .distinct()
        .order_by("-made_on", "-pk")
        .values("pk")[:limit]
    )
    found = main_outputs().filter(batch__in=batches)
    return list(found.order_by("-batch__made_on", "-batch__pk"))


def main_outputs() -> QuerySet[BatchOutput]:
    """Of each batch the jars it was meant for; with failed seals and all it made."""
    own = Case(When(lot__product=F("batch__product"), then=0), default=1)
    of_batch = BatchOutput.objects.filter(batch=OuterRef("batch")).order_by(own, "pk")
    failed = Movement.objects.filter(
        lot=OuterRef("lot"), reason=Movement.Reason.SEAL
    ).order_by()
    made = BatchOutput.objects.filter(batch=OuterRef("batch")).values("batch")
    return (
        BatchOutput.objects.filter(pk=Subquery(of_batch.values("pk")[:1]))
        .annotate(
            failed=Subquery(
                failed.values("lot").annotate(sum=Sum("quantity")).values("sum")
            ),
            made=Subquery(made.annotate(number=Count("pk")).values("number")),
        )
        .select_related(
            "batch__version__recipe",
            "batch__product__jar_size__jar",
            "batch__product__jar_size__lid",
            "lot__product__jar_size__jar",
            "lot__product__jar_size__lid",
            "jar_size__jar",
            "jar_size__lid",
        )
    )
