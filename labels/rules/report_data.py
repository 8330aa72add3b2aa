"""The check of a label as plain data, with stable keys."""

from typing import Any

from inventory.words import say
from labels.rules.check import Report
from labels.rules.rule import Outcome
from labels.statements.place_questions import questions

__all__ = ["as_data"]


def as_data(report: Report, *, subject: str) -> dict[str, Any]:
    """Return a report as data: dates ISO 8601, weights in grams as text.

    Args:
        report: what came of every rule.
        subject: batch code and product.
    """
    built = report.label.built
    entries = built.ingredient_list
    return {
        "subject": subject,
        "checked_on": report.label.on.isoformat(),
        "jurisdiction": built.jurisdiction.value,
        "place": _place(report),
        "summary": report.summary,
        "counts": report.counts,
        "may_print": not built.text.draft_reasons,
        "draft_reasons": list(built.text.draft_reasons),
        "label": [
            {"role": element.role.value, "text": element.text}
            for element in built.text.elements
        ],
        "left_out": [
            {
                "name": left.name,
                "grams": None if left.mass_g is None else f"{left.mass_g:.1f}",
                "reason": left.reason,
                "citation": left.citation,
            }
            for left in entries.left_out
        ],
        "sulphites_mg_per_kg": f"{entries.sulphite.ppm:.1f}",
        "rules": [_outcome(outcome) for outcome in report.outcomes],
    }


def _place(report: Report) -> dict[str, Any] | None:
    place = report.label.built.place
    if place is None:
        return None
    return {
        "code": place.code,
        "place": place.place,
        "citation": place.citation,
        "authority": place.authority,
        "completeness": place.completeness.value,
        "read_on": place.read_on.isoformat(),
        "older_than_a_year": place.is_stale(on=report.label.on),
        "caution": place.caution,
        "questions": list(questions(place)),
    }


def _outcome(outcome: Outcome) -> dict[str, Any]:
    rule = outcome.rule
    return {
        "id": rule.code,
        "title": say(rule.title),
        "citation": outcome.citation,
        "severity": rule.severity.value,
        "state": outcome.state.value,
        "findings": [
            {
                "what": finding.what,
                "where": finding.where,
                "mend": finding.mend,
                "asks": finding.asks,
            }
            for finding in outcome.findings
        ],
    }
