"""``manage.py trace_batch``: what went in, what shares it, where every jar is."""

import json
from argparse import ArgumentParser
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from django.core.management.base import CommandError

from inventory.management.sellers import SellersCommand
from production.scans import code_in_scan
from production.selectors import trace_records, tracing
from production.selectors.batch_finder import Finding, find
from production.trace_answer import TraceAnswer, number_text
from production.trace_workbook import trace_workbook


class Command(SellersCommand):
    help = "Trace a batch code or a lot code both ways, to any depth."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("code", help="batch code, lot code or supplier's mark")
        parser.add_argument("--out", default="", help="write a workbook (.xlsx) too")
        parser.add_argument("--format", choices=["table", "json"], default="table")

    def handle(self, *args: Any, **options: Any) -> None:
        answer = _trace(find(code_in_scan(options["code"])))
        if options["out"]:
            _write(answer, options["out"])
        if options["format"] == "json":
            self.stdout.write(json.dumps(answer.as_data(), indent=2))
            return
        for line in _table(answer):
            self.stdout.write(line)
        if options["out"]:
            self.stdout.write(f"\nThe workbook is {options['out']}.")


def _trace(finding: Finding) -> TraceAnswer:
    if finding.batch is not None:
        return tracing.trace_batch(finding.batch)
    if finding.lot is not None:
        return tracing.trace_lot(finding.lot)
    sentence = finding.sentence
    if finding.candidates:
        codes = ", ".join(
            f"{each.batch.code} ({each.batch.product}, {each.why})"
            for each in finding.candidates
        )
        sentence = f"{sentence} {codes}"
    raise CommandError(sentence, returncode=2)


def _write(answer: TraceAnswer, name: str) -> None:
    if not name.endswith(".xlsx"):
        raise CommandError(
            f"{name} does not end in .xlsx; name a workbook", returncode=2
        )
    body = trace_workbook(answer, trace_records.records_of_answer(answer))
    try:
        Path(name).write_bytes(body)
    except OSError as error:
        raise CommandError(
            f"{name} could not be written ({error.strerror}); name another file",
            returncode=2,
        ) from error


def _table(answer: TraceAnswer) -> Iterator[str]:
    subject = answer.subject
    day = f", {subject.on.isoformat()}" if subject.on else ""
    state = f", {subject.state}" if subject.state else ""
    yield f"{subject.code}  {subject.title}{day}{state}"
    yield from _sources(answer)
    yield from _affected(answer)
    yield from _where(answer)
    yield from _sisters(answer)


def _sources(answer: TraceAnswer) -> Iterator[str]:
    yield "\nWhat went in"
    for lot in answer.sources:
        used = (
            "further back"
            if lot.used is None
            else f"{number_text(lot.used)} {lot.unit}"
        )
        mark = f", their mark {lot.supplier_mark}" if lot.supplier_mark else ""
        stop = "  STOPPED" if lot.is_stopped else ""
        yield (
            f"  {lot.code:<12} {lot.name:<28.28} {used:>14}  "
            f"{lot.supplier or 'made here'}{mark}, {lot.received_on}{stop}"
        )
    if not answer.sources:
        yield "  nothing in the book"


def _affected(answer: TraceAnswer) -> Iterator[str]:
    yield "\nBatches it is in"
    for batch in answer.affected:
        state = "STOPPED" if batch.is_stopped else batch.state
        day = batch.made_on.isoformat() if batch.made_on else ""
        yield (
            f"  {batch.code:<12} {batch.product:<36.36} {day:<10}  {state},"
            f" {number_text(batch.balance.made)} made,"
            f" {number_text(batch.balance.still_out)} still out"
        )
    if not answer.affected:
        yield "  none"


def _where(answer: TraceAnswer) -> Iterator[str]:
    total = answer.affected_balance
    yield f"\nWhere the jars are ({total.accounted_percent} % accounted for)"
    for name, jars in total.terms:
        if jars or name == "unaccounted":
            yield f"  {name:<22} {number_text(jars):>6}  {total.percent(jars):>6} %"
    yield f"  {'made':<22} {number_text(total.made):>6}"
    for row in answer.whereabouts:
        when = row.on.isoformat() if row.on else "now"
        place = row.place or "at home"
        yield f"  {row.code:<12} {number_text(row.jars):>4} {row.what:<18} {place}, {when}"


def _sisters(answer: TraceAnswer) -> Iterator[str]:
    yield f"\nSisters: {len(answer.sisters)} other batches share a lot"
    for sister in answer.sisters:
        shared = ", ".join(sister.shared)
        yield f"  {sister.code:<12} {sister.product:<36.36} shares {shared}"
