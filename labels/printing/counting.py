"""How many labels a batch needs, and where the printed ones went."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import DecimalField, F, OuterRef, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from inventory.models import Movement, Product
from labels.models import LabelSheet, LabelTally, PrintRun
from production.models import Batch, BatchOutput

__all__ = [
    "LabelAccounts",
    "LabelBalance",
    "RunAccount",
    "Waiting",
    "account_of",
    "balance",
    "jars_filled",
    "labels_wanted",
    "next_free_place",
    "sheets_at_hand",
    "waiting",
]

MAIN = ("wrap", "front")
"""The kinds of label that name the food: every jar has one of them."""


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


@dataclass(frozen=True, slots=True, kw_only=True)
class RunAccount:
    """What became of the labels of one run."""

    count: int
    used: int
    spoiled: int
    destroyed: int

    @property
    def at_hand(self) -> int:
        """Not yet accounted for."""
        return self.count - self.used - self.spoiled - self.destroyed


def account_of(run: PrintRun) -> RunAccount:
    """Return what became of the labels of a run."""
    return RunAccount(count=run.count, **_told(LabelTally.objects.filter(run=run)))


def _told(tallies: QuerySet[LabelTally]) -> dict[str, int]:
    """Return the sums of some tallies."""
    sums = tallies.aggregate(
        used=Sum("used"), spoiled=Sum("spoiled"), destroyed=Sum("destroyed")
    )
    return {name: int(total or 0) for name, total in sums.items()}


def jars_filled(batch: Batch) -> int:
    """Return the jars of the batch's product that were filled."""
    filled = BatchOutput.objects.filter(batch=batch, jar_size__isnull=False)
    return int(filled.aggregate(jars=Sum("filled"))["jars"] or 0)


class LabelAccounts:
    """The accounts of a batch's labels, one for each kind, read together."""

    def __init__(self, batch: Batch, *, jars: int | None = None) -> None:
        """Take the jars where they are counted already."""
        self.jars = jars_filled(batch) if jars is None else jars
        runs = PrintRun.objects.of_batch(batch).final().with_tallies()
        self._runs = list(runs)

    def of(self, arrangement: str = MAIN[0]) -> LabelBalance:
        """Return the account of one kind.

        Args:
            arrangement: which of a jar's labels; one with everything and a front
                label stand for each other.
        """
        kinds = MAIN if arrangement in MAIN else (arrangement,)
        runs: list[Any] = [run for run in self._runs if run.arrangement in kinds]
        return LabelBalance(
            jars=self.jars,
            printed=sum(run.count for run in runs),
            used=sum(run.used for run in runs),
            spoiled=sum(run.spoiled for run in runs),
            destroyed=sum(run.destroyed for run in runs),
        )

    def wanted(self, arrangement: str = MAIN[0]) -> int:
        """Return the labels to print now: those missing, else one a jar."""
        account = self.of(arrangement)
        return account.wanted or account.jars or 1


def balance(batch: Batch, arrangement: str = MAIN[0]) -> LabelBalance:
    """Return the account of a batch's labels of one kind."""
    return LabelAccounts(batch).of(arrangement)


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """A batch with jars that have no label yet.

    Attributes:
        batch: the batch.
        missing: labels still to be printed for jars at home.
        is_released: whether labels for good may be printed.
    """

    batch: Batch
    missing: int
    is_released: bool


SHOWN = 24


def waiting() -> list[Waiting]:
    """Return released and held batches that lack labels, the newest first."""
    batches = (
        Batch.objects.filter(
            status__in=[Batch.Status.RELEASED, Batch.Status.HELD],
            product__isnull=False,
            code__isnull=False,
        )
        .select_related("product__jar_size")
        .annotate(
            jars=_summed(
                BatchOutput.objects.filter(jar_size__isnull=False), "batch", "filled"
            ),
            printed=_summed(
                PrintRun.objects.final().filter(arrangement__in=MAIN), "batch", "count"
            ),
            at_home=_summed(
                Movement.objects.filter(place__isnull=True),
                "lot__batch_output__batch",
                "quantity",
            ),
        )
        .filter(jars__gt=F("printed"), at_home__gt=0)
        .order_by("-made_on", "-pk")[:SHOWN]
    )
    return [
        Waiting(
            batch=batch,
            missing=int(min(batch.jars - batch.printed, batch.at_home)),
            is_released=batch.status == Batch.Status.RELEASED,
        )
        for batch in batches
    ]


def _summed(rows: QuerySet[Any], batch: str, field: str) -> Coalesce:
    """Return the sum of a field over a batch's rows, as a part of a query."""
    total = (
        rows.filter(**{batch: OuterRef("pk")})
        .order_by()
        .values(batch)
        .annotate(total=Sum(field))
        .values("total")
    )
    return Coalesce(
        Subquery(total),
        Decimal(0),
        output_field=DecimalField(max_digits=12, decimal_places=1),
    )


def next_free_place(sheet: LabelSheet) -> int:
    """Return the place after the last label printed on this kind of sheet, 1 for none."""
    if not hasattr(sheet, "last_start"):
        sheet = _with_last_run(LabelSheet.objects.filter(pk=sheet.pk)).get()
    last: Any = sheet
    if last.last_start is None:
        return 1
    place: int = (last.last_start + last.last_count - 1) % sheet.places + 1
    return place


def sheets_at_hand(product: Product) -> list[LabelSheet]:
    """Return all sheets, with their last run and the last one for a product.

    Adds ``last_start``, ``last_count`` and ``printed_last_at``.
    """
    runs = PrintRun.objects.filter(sheet=OuterRef("pk"), batch__product=product)
    last = runs.order_by("-printed_at").values("printed_at")[:1]
    sheets = _with_last_run(LabelSheet.objects.all())
    return list(sheets.annotate(printed_last_at=Subquery(last)))


def _with_last_run(sheets: QuerySet[LabelSheet]) -> QuerySet[LabelSheet]:
    runs = PrintRun.objects.filter(sheet=OuterRef("pk"))
    newest = runs.order_by("-printed_at", "-pk")
    return sheets.annotate(
        last_start=Subquery(newest.values("start_at")[:1]),
        last_count=Subquery(newest.values("count")[:1]),
    )


def labels_wanted(batch: Batch, arrangement: str = MAIN[0]) -> int:
    """Return the labels to print now: those missing, else one a jar."""
    return LabelAccounts(batch).wanted(arrangement)
