"""Papers of a trace: the record of a trace, of a drill and of a closed recall."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from reportlab.platypus import Flowable  # noqa: TID253 - imported with papers only

from inventory import paper
from inventory.quantities import format_amount
from inventory.words import say, to_say
from production.jar_balance import JarBalance
from production.trace_answer import TraceAnswer, number_text

__all__ = ["DrillRecord", "drill_record", "trace_record"]

CAUTION = to_say(
    "This paper is what the book says. Count what can be counted "
    "before you rely on it, and let the health department decide."
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
        paper.title(say("Trace of {subject}", subject=subject.code)),
        paper.text(
            ", ".join(str(p) for p in (subject.title, subject.on, subject.state) if p)
        ),
        paper.heading(say("Balance")),
        _balance(answer.affected_balance),
        paper.heading(say("What went in")),
        _sources(answer),
        paper.heading(say("Batches it is in")),
        _affected(answer),
        paper.heading(say("Where the jars are")),
        _whereabouts(answer),
        paper.heading(say("Sisters: other batches that share a lot")),
        _sisters(answer),
        paper.note(say(CAUTION)),
    ]
    footer = say("{maker}, printed {at:%d %b %Y %H:%M}", maker=maker, at=at)
    return paper.pdf(
        parts, name=say("Trace of {subject}", subject=subject.code), footer=footer
    )


def drill_record(record: DrillRecord, *, maker: str) -> bytes:
    """Print the record of one mock recall.

    Args:
        record: the drill.
        maker: trade name.
    """
    result = record.result
    facts = [
        (say("Batch drawn"), f"{record.code}, {record.product}"),
        (say("Started"), f"{record.started_at:%d %b %Y %H:%M}"),
        (say("Time taken"), record.minutes),
        (say("Done by"), record.person),
        (say("Jars made"), str(record.made)),
        (say("Jars found"), f"{record.found} ({record.percent} %)"),
        (say("Lots that went in"), str(result.get("lots", ""))),
        (say("Sisters found"), str(result.get("sisters", ""))),
    ]
    gaps = [str(gap) for gap in result.get("not_accounted", [])]
    differences = [
        say("{name}: {count:+d} against the book", name=say(name), count=count)
        for name, count in result.get("differences", {}).items()
    ]
    parts: list[Flowable] = [
        paper.title(say("Mock recall")),
        paper.facts(facts),
        paper.heading(say("What is not accounted for")),
        *paper.bullet_list(gaps or [say("Nothing: every jar is accounted for.")]),
        paper.heading(say("Where count and book differ")),
        *paper.bullet_list(differences or [say("Nowhere.")]),
        paper.heading(say("What we change after this drill")),
        paper.write_in("1", 170),
        paper.write_in("2", 170),
        paper.write_in(say("Signature and date"), 170),
    ]
    return paper.pdf(
        parts, name=say("Mock recall {record}", record=record.code), footer=maker
    )


def _balance(balance: JarBalance) -> Flowable:
    columns = [
        paper.Column(heading="", share=2),
        paper.Column(heading=say("Jars"), align="right"),
        paper.Column(heading=say("% of made"), align="right"),
    ]
    rows = [
        [say(name), number_text(jars), str(balance.percent(jars))]
        for name, jars in balance.terms
        if jars or name == "unaccounted"
    ]
    return paper.table(
        columns, [*rows, [say("made"), number_text(balance.made), "100.00"]], total=True
    )


def _sources(answer: TraceAnswer) -> Flowable:
    names = (
        say("Lot"),
        say("What"),
        say("From"),
        say("Their mark"),
        say("Came"),
        say("Used here"),
    )
    rows = [
        [
            lot.code,
            lot.name,
            lot.supplier or say("made here"),
            lot.supplier_mark,
            lot.received_on.isoformat(),
            "" if lot.used is None else format_amount(lot.used, lot.unit),
        ]
        for lot in answer.sources
    ]
    return _plain(names, rows)


def _affected(answer: TraceAnswer) -> Flowable:
    names = (
        say("Batch"),
        say("Product"),
        say("Made"),
        say("State"),
        say("Jars"),
        say("Still out"),
    )
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
    names = (say("Jars of"), say("How many"), say("What"), say("Where"), say("When"))
    rows = [
        [
            row.code,
            number_text(row.jars),
            row.what,
            row.place or say("at home"),
            row.on.isoformat() if row.on else "now",
        ]
        for row in answer.whereabouts
    ]
    return _plain(names, rows)


def _sisters(answer: TraceAnswer) -> Flowable:
    names = (say("Batch"), say("Product"), say("Made"), say("Shares"))
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
