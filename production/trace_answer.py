"""The answer of a trace: what went in, what shares it, where every jar is."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from inventory.words import figures, say_count
from production.jar_balance import JarBalance
from production.trace_graph import Graph

__all__ = [
    "AffectedBatch",
    "Sister",
    "SourceLot",
    "Subject",
    "TraceAnswer",
    "Whereabouts",
    "balance_data",
    "count_text",
    "number_text",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """What was asked about: a batch, or a lot.

    Attributes:
        key: node of the graph.
        code: batch code or lot code.
        title: what it is ("Strawberry jam, half-pint").
        on: day made or received.
        state: status of the batch, or of the lot.
        lot_ids: its lots.
        unit: unit of its balance ("jars", "g", "pieces").
    """

    key: str
    code: str
    title: str
    on: date | None
    state: str
    lot_ids: tuple[int, ...]
    unit: str = "jars"


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceLot:
    """One lot that went in, at any remove.

    Attributes:
        lot_id: row number.
        code: lot code.
        name: what it is.
        supplier: who it came from; empty when made here.
        supplier_mark: the supplier's lot mark.
        received_on: day it came or was made.
        origin: where it grew, if known.
        used: how much the subject drew itself; None when it came in further back.
        unit: unit of ``used``.
        is_stopped: whether it is stopped.
        sister_batches: other batches with something of it.
    """

    lot_id: int
    code: str
    name: str
    supplier: str
    supplier_mark: str
    received_on: date
    origin: str
    used: Decimal | None
    unit: str
    is_stopped: bool
    sister_batches: int


@dataclass(frozen=True, slots=True, kw_only=True)
class AffectedBatch:
    """A batch that the subject is in, the subject's own batch first.

    Attributes:
        batch_id: row number.
        code: batch code; empty while it is not started.
        product: what it is.
        made_on: day in the code.
        state: status in words.
        is_stopped: whether its jars are stopped.
        balance: where its jars are.
    """

    batch_id: int
    code: str
    product: str
    made_on: date | None
    state: str
    is_stopped: bool
    balance: JarBalance


@dataclass(frozen=True, slots=True, kw_only=True)
class Sister:
    """A batch that shares at least one lot with the subject.

    Attributes:
        batch_id: row number.
        code: batch code.
        product: what it is.
        made_on: day in the code.
        state: status in words.
        shared: codes of the lots it shares, the rarest first.
    """

    batch_id: int
    code: str
    product: str
    made_on: date | None
    state: str
    shared: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Whereabouts:
    """So many jars of one batch, and where they are or ended.

    Attributes:
        code: lot code of the jars.
        product: what they are.
        what: "on the shelf", "at an outlet", "sold", "sampled" …
        place: outlet; empty for at home.
        on: day of sale or end; None for what is there now.
        jars: how many.
        outlet_id: row number of the outlet; None for at home.
    """

    code: str
    product: str
    what: str
    place: str
    on: date | None
    jars: Decimal
    outlet_id: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TraceAnswer:
    """Everything a page, a command or a paper needs of a trace."""

    subject: Subject
    sources: Sequence[SourceLot]
    affected: Sequence[AffectedBatch]
    sisters: Sequence[Sister]
    whereabouts: Sequence[Whereabouts]
    balance: JarBalance
    graph: Graph

    @property
    def affected_balance(self) -> JarBalance:
        """Jars of all affected batches together."""
        total = JarBalance(made=Decimal(0))
        for batch in self.affected:
            total += batch.balance
        return total

    def as_data(self) -> dict[str, Any]:
        """The answer with stable keys, for ``--format json``."""
        return {
            "subject": {
                "code": self.subject.code,
                "title": self.subject.title,
                "on": _day(self.subject.on),
                "state": self.subject.state,
            },
            "sources": [
                {
                    "lot": lot.code,
                    "name": lot.name,
                    "supplier": lot.supplier,
                    "supplier_mark": lot.supplier_mark,
                    "received_on": _day(lot.received_on),
                    "used": None if lot.used is None else number_text(lot.used),
                    "unit": lot.unit,
                    "stopped": lot.is_stopped,
                    "sister_batches": lot.sister_batches,
                }
                for lot in self.sources
            ],
            "affected": [
                {
                    "batch": batch.code,
                    "product": batch.product,
                    "made_on": _day(batch.made_on),
                    "state": batch.state,
                    "stopped": batch.is_stopped,
                    "jars": balance_data(batch.balance),
                }
                for batch in self.affected
            ],
            "sisters": [
                {
                    "batch": sister.code,
                    "product": sister.product,
                    "made_on": _day(sister.made_on),
                    "shared_lots": list(sister.shared),
                }
                for sister in self.sisters
            ],
            "whereabouts": [
                {
                    "lot": row.code,
                    "what": row.what,
                    "place": row.place,
                    "on": _day(row.on),
                    "jars": number_text(row.jars),
                }
                for row in self.whereabouts
            ],
            "balance": balance_data(self.balance),
        }


def balance_data(balance: JarBalance) -> dict[str, str]:
    """A balance with stable keys: every term, and what is accounted in per cent."""
    terms = {name.replace(" ", "_"): figure for name, figure in balance.terms}
    figures = {"made": balance.made, **terms}
    accounted = str(balance.accounted_percent)
    return {
        **{name: number_text(figure) for name, figure in figures.items()},
        "accounted_percent": accounted,
    }


def count_text(jars: Decimal) -> str:
    """So many jars, in words: "1 jar", "6 jars"."""
    return say_count(
        "{jars} jar",
        "{jars} jars",
        1 if jars == 1 else 2,
        jars=figures(number_text(jars)),
    )


def number_text(figure: Decimal) -> str:
    """A count or weight without trailing zeros, the same on every engine."""
    return f"{figure.normalize():f}"


def _day(on: date | None) -> str | None:
    return on.isoformat() if on else None
