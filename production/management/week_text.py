"""A week's answer as lines for a terminal."""

import datetime
from collections.abc import Iterator
from decimal import Decimal
from itertools import groupby
from typing import Any

from inventory.quantities import format_mass
from production.scaling import share_said

__all__ = ["week_lines"]


def week_lines(answer: dict[str, Any]) -> Iterator[str]:
    """Yield the answer line by line."""
    yield from _cooking(answer)
    yield from _buying(answer)
    yield from _packing(answer)
    yield from _why(answer)


def _day(text: str) -> str:
    on = datetime.date.fromisoformat(text)
    return f"{on:%a} {on.day} {on:%b}"


def _cooking(answer: dict[str, Any]) -> Iterator[str]:
    earns = f"{answer['objective']} {answer['currency']}"
    close = (
        "the best there is"
        if float(answer["gap"]) < 0.0001
        else (f"within {float(answer['gap']):.1%} of the best possible")
    )
    yield f"Seven days from {_day(answer['from'])}: worth {earns}, {close}."
    for said in answer["relaxed"]:
        yield f"  Note: {said}."
    if not answer["batches"]:
        yield "No batch is worth making this week; the shelf covers what can be sold."
    for batch in answer["batches"]:
        days = " and ".join(_day(day) for day in batch["on"])
        share = share_said(Decimal(batch.get("share", "1")))
        name = f"{batch['name']}, {share}" if share else batch["name"]
        yield f"  {days:<24} {name:<40} {_gives(batch)}"
    for sheet in answer["timetable"]:
        yield f"{_day(sheet['on'])}, {sheet['hands_min']} minutes of hands"
        for line in sheet["lines"]:
            alone = f", then {line['alone_min']} min alone" if line["alone_min"] else ""
            hands = f"{line['hands_min']} min" if line["hands_min"] else "no hands"
            which = f" {line['batch']}" if line["batches"] > 1 else ""
            yield (
                f"  {line['from']} {line['name']}{which}: {line['step']} ({hands}{alone})"
            )


def _gives(batch: dict[str, Any]) -> str:
    """What a batch gives, and when it is labelled."""
    if batch.get("makes"):
        return f"{format_mass(Decimal(batch['makes']['amount']))} to cook with"
    labelled = batch["labelled_on"]
    after = f"labels {_day(labelled)}" if labelled else "labels after the week"
    return f"{batch['jars']:>3} jars, {after}"


def _buying(answer: dict[str, Any]) -> Iterator[str]:
    if answer["purchases"]:
        yield f"To buy, {answer['purchases_cost']} {answer['currency']}:"
    rows = groupby(answer["purchases"], key=lambda row: row["supplier"])
    for supplier, lines in rows:
        yield f"  {supplier}"
        for row in lines:
            yield (
                f"    {row['packs']} x {row['pack']:<10} {row['material']:<28}"
                f" {row['cost']:>8}  by {_day(row['on'])}"
            )
    for row in answer["freezer"]:
        yield f"Out of the freezer: {row['material']} {format_mass(Decimal(row['amount']))} for {_day(row['needed_on'])}"
    for row in answer["labels"]:
        yield f"Labels: {row['count']} for {row['name']}"


def _packing(answer: dict[str, Any]) -> Iterator[str]:
    for market in answer["packing"]:
        yield (
            f"Pack for {market['market']}: {market['jars']} jars"
            f" (bad weather {market['bad_weather_jars']})"
        )
        for line in market["lines"]:
            yield (
                f"  {line['jars']:>3} ({line['bad_weather_jars']:>2})  {line['name']}"
            )


def _why(answer: dict[str, Any]) -> Iterator[str]:
    if answer["left_out"]:
        yield "Left out:"
    for row in answer["left_out"]:
        detail = f" ({row['detail']})" if row["detail"] else ""
        yield f"  {row['name']}: {row['reason']}{detail}"
    if answer["binding"]:
        yield "One more of these would earn:"
    for row in answer["binding"]:
        yield f"  {row['worth']:>8}  {row['amount']}, {row['resource']}"
