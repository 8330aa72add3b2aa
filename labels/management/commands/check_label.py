"""``manage.py check_label``: is this label right, rule by rule."""

import datetime
import json
from argparse import ArgumentParser
from collections.abc import Iterator
from typing import Any

from django.core.management.base import CommandError
from django.utils import timezone

from inventory.management.sellers import SellersCommand
from labels.rules.check import Report
from labels.rules.report_data import as_data
from labels.rules.rule import Outcome, State
from labels.selectors import (
    LabelSelectionError,
    Subject,
    find_subject,
    label_of,
    report_of,
)

HEADINGS = {
    State.FOUND: "To mend",
    State.ASK: "To ask, or to keep in mind",
    State.PASSED: "Looked at, nothing found",
}


class Command(SellersCommand):
    help = "Check the label of a batch or a product by every rule of its place."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("subject", help="batch code, or code or name of a product")
        parser.add_argument(
            "--place", default=None, help="code of another place than the seller's own"
        )
        parser.add_argument(
            "--on",
            type=datetime.date.fromisoformat,
            default=None,
            help="day of the check (YYYY-MM-DD); today if left out",
        )
        parser.add_argument("--format", choices=["table", "json"], default="table")

    def handle(self, *_args: Any, **options: Any) -> None:
        try:
            subject = find_subject(options["subject"])
            report = report_of(
                look=label_of(subject.product),
                batch=subject.batch,
                on=options["on"] or timezone.localdate(),
                place_code=options["place"],
            )
        except LabelSelectionError as error:
            raise CommandError(str(error), returncode=2) from error
        if options["format"] == "json":
            data = as_data(report, subject=subject.name)
            self.stdout.write(json.dumps(data, indent=2, ensure_ascii=False))
            return
        for line in _table(subject, report):
            self.stdout.write(line)


def _table(subject: Subject, report: Report) -> Iterator[str]:
    text = report.label.built.text
    yield f"Label of {subject.name}"
    yield f"  {report.summary}"
    place = report.label.built.place
    if place:
        yield f"  {place.place}: {place.citation}, read on {place.read_on}"
        yield f"  {place.caution}"
    yield ""
    for line in text.text.splitlines():
        yield f"  | {line}"
    for reason in text.draft_reasons:
        yield f"  only a draft: {reason}"
    for state, heading in HEADINGS.items():
        outcomes = report.of(state)
        if outcomes:
            yield ""
            yield f"{heading} ({len(outcomes)})"
            for outcome in outcomes:
                yield from _outcome(outcome)


def _outcome(outcome: Outcome) -> Iterator[str]:
    rule = outcome.rule
    yield f"  {rule.code:<18} {rule.title} [{rule.severity.value}; {outcome.citation}]"
    for finding in outcome.findings:
        yield f"  {'':<18} - {finding.what}"
        yield f"  {'':<18}   {finding.where}: {finding.mend}"
