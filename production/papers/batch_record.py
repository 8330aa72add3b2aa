"""The batch record: everything about one batch, for the inspector's folder."""

from dataclasses import dataclass

from reportlab.platypus import Flowable  # noqa: TID253 - imported with papers only

from inventory import paper
from inventory.paper import Column
from inventory.words import say
from production.papers.marks import masthead

__all__ = ["BatchRecord", "RecordTable", "draw"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordTable:
    """One part of the record.

    Attributes:
        heading: what it shows.
        columns: headings with their share of the width and alignment.
        rows: cells as text.
        empty: what is said when nothing was recorded.
        note: remark under it.
    """

    heading: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    empty: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchRecord:
    """A batch as it stands on paper.

    Attributes:
        recipe: its name.
        code: batch code.
        under: one line beneath.
        facts: name and value pairs.
        decision: how it was decided, one sentence.
        warnings: overrides and what is out of limits, in words.
        parts: tables in order.
        footer: at the foot of every page.
        is_a4: A4 instead of US letter.
    """

    recipe: str
    code: str
    under: str
    facts: tuple[tuple[str, str], ...]
    decision: str
    warnings: tuple[str, ...]
    parts: tuple[RecordTable, ...]
    footer: str
    is_a4: bool = False


def draw(record: BatchRecord) -> bytes:
    """Return the batch record as a PDF file."""
    parts: list[Flowable] = [
        masthead(record.recipe, record.under, record.code),
        paper.heading(record.decision),
    ]
    parts += [paper.caution(words) for words in record.warnings]
    parts.append(paper.facts(record.facts))
    for part in record.parts:
        parts += _part(part)
    parts += [
        paper.gap(),
        paper.together(
            [
                paper.write_in(say("Signed"), width_mm=90),
                paper.write_in(say("Date"), width_mm=60),
            ]
        ),
        paper.note(
            say(
                "This record shows what was written down. It is no certificate: "
                "what may be sold is decided by the local rules and those who "
                "enforce them."
            )
        ),
    ]
    return paper.pdf(
        parts,
        name=say("Batch record {record}", record=record.code),
        footer=record.footer,
        page_size=paper.A4 if record.is_a4 else paper.LETTER,
    )


def _part(part: RecordTable) -> list[Flowable]:
    drawn: list[Flowable] = [
        paper.heading(part.heading),
        paper.table(part.columns, part.rows, empty=part.empty),
    ]
    if part.note:
        drawn.append(paper.note(part.note))
    return drawn
