"""How many labels a batch needs, and where the printed ones went."""

from dataclasses import dataclass

from django.db.models import Sum

from labels.models import LabelTally, PrintRun
from production.models import Batch, BatchOutput

__all__ = ["LabelBalance", "balance", "jars_filled", "labels_wanted"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelBalance:
    """The account of a batch's labels, drafts left out.

    Attributes:
        jars: jars filled.
        printed: labels printed for good.
        used: stuck on jars.
        spoiled: lost in printing or sticking.
        destroyed: left over and destroyed.
    """

    jars: int
    printed: int
    used: int
    spoiled: int
    destroyed: int

    @property
    def at_hand(self) -> int:
        """Printed and not yet accounted for."""
        return self.printed - self.used - self.spoiled - self.destroyed

    @property
    def wanted(self) -> int:
        """Labels still to be printed so that every jar has one."""
        return max(0, self.jars - self.used - self.at_hand)

    @property
    def is_closed(self) -> bool:
        """Whether every printed label is accounted for."""
        return self.printed > 0 and self.at_hand == 0


def jars_filled(batch: Batch) -> int:
    """Return the jars of the batch's product that were filled."""
    filled = BatchOutput.objects.filter(batch=batch, jar_size__isnull=False)
    return int(filled.aggregate(jars=Sum("filled"))["jars"] or 0)


def balance(batch: Batch) -> LabelBalance:
    """Return the account of a batch's labels."""
    runs = PrintRun.objects.of_batch(batch).final()
    told = LabelTally.objects.filter(run__in=runs).aggregate(
        used=Sum("used"), spoiled=Sum("spoiled"), destroyed=Sum("destroyed")
    )
    return LabelBalance(
        jars=jars_filled(batch),
        printed=runs.aggregate(count=Sum("count"))["count"] or 0,
        used=told["used"] or 0,
        spoiled=told["spoiled"] or 0,
        destroyed=told["destroyed"] or 0,
    )


def labels_wanted(batch: Batch) -> int:
    """Return the labels to print now: those missing, else one a jar."""
    account = balance(batch)
    return account.wanted or account.jars or 1
