"""Printing itself: one run on record, its sheets, and the tally of its labels."""

import datetime
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction

from inventory import ledger
from inventory.models import Lot
from inventory.words import say
from labels.models import LabelTally, PrintRun
from labels.printing.counting import account_of, balance, jars_filled
from labels.printing.errors import PrintingError
from labels.printing.preparing import Prepared, Wish, look_of, prepare
from labels.sheets import SheetError, sheets_needed
from production.models import Batch

__all__ = ["Printed", "pdf_of", "print_labels", "print_to_file", "tally"]

MOST = 5000


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """A finished print.

    Attributes:
        run: what stands on record.
        pdf: the sheets.
        sheets: how many.
        draft_reasons: why a mark lies across the labels.
    """

    run: PrintRun
    pdf: bytes
    sheets: int
    draft_reasons: tuple[str, ...]


@transaction.atomic
def print_labels(  # noqa: PLR0913 - each is a part of one order
    *,
    wish: Wish,
    count: int,
    at: datetime.datetime,
    start_at: int = 1,
    by: User | None = None,
    reason: str = "",
    has_outlines: bool = False,
) -> Printed:
    """Print labels for a batch and put the run on record.

    Args:
        wish: batch, sheet and look.
        count: labels, 1 to 5,000.
        at: moment.
        start_at: first free place of a half-used sheet.
        by: who prints.
        reason: why labels are printed again.
        has_outlines: whether the edges are drawn.

    Returns:
        The run and its sheets.

    Raises:
        PrintingError: it may not or cannot be printed; nothing is on record.
    """
    if not 1 <= count <= MOST:
        raise PrintingError(
            say(
                "print 1 to {most:,} labels at a time, not {count}",
                most=MOST,
                count=count,
            )
        )
    # A stop-sale takes the same lock: labels are on record before it, or refused.
    ledger.lock(*Lot.objects.filter(batch_output__batch=wish.batch))
    batch = wish.batch
    if batch is None:
        raise PrintingError(say("labels are printed for a batch; choose one"))
    prepared = prepare(wish)
    first = _earlier_run(prepared, batch)
    run = PrintRun(
        batch=batch,
        sheet=wish.sheet,
        printed_at=at,
        printed_by=by,
        count=count,
        start_at=start_at,
        is_draft=prepared.is_draft,
        reprint_of=first,
        reason=reason,
        place_code=prepared.built.text.place_code,
        design=prepared.look.design,
        arrangement=prepared.look.arrangement,
        text=prepared.words,
    )
    pdf = _sheets(prepared, run, has_outlines=has_outlines)
    run.full_clean()
    run.save()
    return Printed(
        run=run,
        pdf=pdf,
        sheets=sheets_needed(wish.sheet.as_sheet(), count=count, start_at=start_at),
        draft_reasons=prepared.draft_reasons,
    )


def print_to_file(*, out: Path, **order: Any) -> Printed:
    """Print labels and write the sheets into a file, both or neither.

    Args:
        out: the file.
        order: what ``print_labels`` takes.

    Raises:
        PrintingError: as there, or the file cannot be written.
    """
    with transaction.atomic():
        printed = print_labels(**order)
        try:
            out.write_bytes(printed.pdf)
        except OSError as error:
            raise PrintingError(
                say(
                    "{out} cannot be written ({strerror}); choose another file",
                    out=out,
                    strerror=error.strerror,
                )
            ) from error
    return printed


def _earlier_run(prepared: Prepared, batch: Batch) -> PrintRun | None:
    """Return the run these labels come on top of, if every jar already has one."""
    if prepared.is_draft:
        return None
    arrangement = prepared.look.arrangement
    if balance(batch, arrangement).wanted > 0:
        return None
    return (
        PrintRun.objects.of_batch(batch)
        .final()
        .filter(arrangement=arrangement)
        .order_by("printed_at", "pk")
        .first()
    )


def _sheets(prepared: Prepared, run: PrintRun, *, has_outlines: bool) -> bytes:
    # The PDF writer is slow to load: only when something is printed.
    from labels.drawing.pdf import PrintJob, sheets_pdf  # noqa: PLC0415

    job = PrintJob(
        drawing=prepared.drawing,
        sheet=run.sheet.as_sheet(),
        count=run.count,
        start_at=run.start_at,
        has_outlines=has_outlines,
        title=say("Labels: {batch}", batch=run.batch),
    )
    try:
        return sheets_pdf(job)
    except SheetError as error:
        raise PrintingError(str(error)) from error


def pdf_of(*, run: PrintRun, on: datetime.date, has_outlines: bool = False) -> bytes:
    """Return the sheets of a run once more, exactly as they were.

    Raises:
        PrintingError: the label would read differently now, or may no longer be
            printed.
    """
    product = run.batch.product
    if product is None:
        raise PrintingError(say("batch {batch} fills no jars", batch=run.batch.code))
    look = look_of(product)
    look.design, look.arrangement = run.design, run.arrangement
    prepared = prepare(Wish(batch=run.batch, sheet=run.sheet, look=look, on=on))
    if prepared.words != run.text or prepared.is_draft != run.is_draft:
        raise PrintingError(
            say("this label has changed since it was printed; start a new print run")
        )
    return _sheets(prepared, run, has_outlines=has_outlines)


@transaction.atomic
def tally(  # noqa: PLR0913 - each is a part of one count
    *,
    run: PrintRun,
    at: datetime.datetime,
    used: int = 0,
    spoiled: int = 0,
    destroyed: int = 0,
    note: str = "",
    by: User | None = None,
) -> LabelTally:
    """Write down what became of labels of a run.

    Figures below zero take back what an earlier tally said too much.

    Args:
        run: the run; a draft has nothing to account for.
        at: moment.
        used: stuck on jars.
        spoiled: lost in printing or sticking.
        destroyed: left over and destroyed.
        note: anything worth keeping.
        by: who counts.

    Raises:
        PrintingError: more labels would be told than were printed.
    """
    locked = PrintRun.objects.select_for_update().get(pk=run.pk)
    told = account_of(locked)
    after = {
        "used": told.used + used,
        "spoiled": told.spoiled + spoiled,
        "destroyed": told.destroyed + destroyed,
    }
    _check_tally(
        locked, after, {"used": used, "spoiled": spoiled, "destroyed": destroyed}
    )
    row = LabelTally(
        run=locked,
        at=at,
        by=by,
        used=used,
        spoiled=spoiled,
        destroyed=destroyed,
        note=note,
    )
    row.full_clean()
    row.save()
    return row


def _check_tally(run: PrintRun, after: dict[str, int], added: dict[str, int]) -> None:
    if run.is_draft:
        raise PrintingError(say("drafts are not counted; throw them away"))
    if not any(added.values()):
        raise PrintingError(
            say("enter how many labels were used, spoiled or destroyed")
        )
    below = [name for name, count in after.items() if count < 0]
    if below:
        raise PrintingError(
            say(
                "fewer labels were {below} than would be taken back; check the figure",
                below=below[0],
            )
        )
    if sum(after.values()) > run.count:
        raise PrintingError(
            say(
                "{values} labels would be told of a run of {count}; count again",
                values=sum(after.values()),
                count=run.count,
            )
        )
    if after["used"] > (jars := jars_filled(run.batch)) > 0:
        raise PrintingError(
            say(
                "{used} labels used are more than the {jars} jars of the batch",
                used=after["used"],
                jars=jars,
            )
        )
