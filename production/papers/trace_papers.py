"""Papers of a trace: the record of a trace, of a drill and of a closed recall."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from reportlab.platypus import Flowable  # noqa: TID253 - imported with papers only

from inventory import paper
from production.jar_balance import JarBalance
from production.trace_answer import TraceAnswer, number_text

__all__ = ["DrillRecord", "drill_record", "trace_record"]

CAUTION = (
    "This paper is what the book says. Count what can be counted before you rely on "
    "it, and let the health department decide."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DrillRecord:
    """One drill as it is printed.

    Attributes:
        code: batch drawn.
        product: what it is.
        started_at: seller's local time.
        minutes: time taken.
        person: who did it.
        made: jars made.
        found: jars found.
        percent: share accounted, in per cent.
        result: what the drill kept: differences, gaps, counts.
    """

    code: str
    product: str
    started_at: datetime
    minutes: str
    person: str
    made: int
    found: int
    percent: str
    result: Mapping[str, Any]


def trace_record(answer: TraceAnswer, *, maker: str, at: datetime) -> bytes:
    """Print a trace: what went in, what is affected, where every jar is.

    Args:
        answer: the trace.
        maker: trade name.
        at: moment of printing, seller's local time.
    """
    subject = answer.subject
    parts = [
        paper.title(f"Trace of {subject.code}"),
        paper.text(
            ", ".join(str(p) for p in (subject.title, subject.on, subject.state) if p)
        ),
        paper.heading("Balance"),
        _balance(answer.affected_balance),
        paper.heading("What went in"),
        _sources(answer),
        paper.heading("Batches it is in"),
        _affected(answer),
        paper.heading("Where the jars are"),
        _whereabouts(answer),
        paper.heading("Sisters: other batches that share a lot"),
        _sisters(answer),
        paper.note(CAUTION),
    ]
    footer = f"{maker}, printed {at:%d %b %Y %H:%M}"
    return paper.pdf(parts, name=f"Trace of {subject.code}", footer=footer)


def drill_record(record: DrillRecord, *, maker: str) -> bytes:
    """Print the record of one mock recall.

    Args:
        record: the drill.
        maker: trade name.
    """
    result = record.result
    facts = [
        ("Batch drawn", f"{record.code}, {record.product}"),
        ("Started", f"{record.started_at:%d %b %Y %H:%M}"),
        ("Time taken", record.minutes),
        ("Done by", record.person),
        ("Jars made", str(record.made)),
        ("Jars found", f"{record.found} ({record.percent} %)"),
        ("Lots that went in", str(result.get("lots", ""))),
        ("Sisters found", str(result.get("sisters", ""))),
    ]
    gaps = [str(gap) for gap in result.get("not_accounted", [])]
    differences = [
        f"{name}: {count:+d} against the book"
        for name, count in result.get("differences", {}).items()
    ]
    parts: list[Flowable] = [
        paper.title("Mock recall"),
        paper.facts(facts),
        paper.heading("What is not accounted for"),
        *paper.bullet_list(gaps or ["Nothing: every jar is accounted for."]),
        paper.heading("Where count and book differ"),
        *paper.bullet_list(differences or ["Nowhere."]),
        paper.heading("What we change after this drill"),
        paper.write_in("1", 170),
        paper.write_in("2", 170),
        paper.write_in("Signature and date", 170),
    ]
    return paper.pdf(parts, name=f"Mock recall {record.code}", footer=maker)


def _balance(balance: JarBalance) -> Flowable:
    columns = [
        paper.Column(heading="", share=2),
        paper.Column(heading="Jars", align="right"),
        paper.Column(heading="% of made", align="right"),
    ]
    rows = [
        [name, number_text(jars), str(balance.percent(jars))]
        for name, jars in balance.terms
        if jars or name == "unaccounted"
    ]
    return paper.table(
        columns, [*rows, ["made", number_text(balance.made), "100.00"]], total=True
    )


def _sources(answer: TraceAnswer) -> Flowable:
    names = ("Lot", "What", "From", "Their mark", "Came", "Used here")
    rows = [
        [
            lot.code,
            lot.name,
            lot.supplier or "made here",
            lot.supplier_mark,
            lot.received_on.isoformat(),
            "" if lot.used is None else f"{number_text(lot.used)} {lot.unit}",
        ]
        for lot in answer.sources
    ]
    return _plain(names, rows)


def _affected(answer: TraceAnswer) -> Flowable:
    names = ("Batch", "Product", "Made", "State", "Jars", "Still out")
    rows = [
        [
            batch.code,
            batch.product,
            batch.made_on.isoformat() if batch.made_on else "",
            "STOPPED" if batch.is_stopped else batch.state,
            number_text(batch.balance.made),
            number_text(batch.balance.still_out),
        ]
        for batch in answer.affected
    ]
    return _plain(names, rows)


def _whereabouts(answer: TraceAnswer) -> Flowable:
    names = ("Jars of", "How many", "What", "Where", "When")
    rows = [
        [
            row.code,
            number_text(row.jars),
            row.what,
            row.place or "at home",
            row.on.isoformat() if row.on else "now",
        ]
        for row in answer.whereabouts
    ]
    return _plain(names, rows)


def _sisters(answer: TraceAnswer) -> Flowable:
    names = ("Batch", "Product", "Made", "Shares")
    rows = [
        [
            sister.code,
            sister.product,
            sister.made_on.isoformat() if sister.made_on else "",
            ", ".join(sister.shared),
        ]
        for sister in answer.sisters
    ]
    return _plain(names, rows)


def _plain(names: Sequence[str], rows: Sequence[Sequence[str]]) -> Flowable:
    return paper.table([paper.Column(heading=name) for name in names], rows)
