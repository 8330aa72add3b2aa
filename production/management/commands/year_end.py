"""``manage.py year_end``: the year's figures, as a workbook or as data."""

import json
from argparse import ArgumentParser
from datetime import date
from pathlib import Path
from typing import Any

from django.core.management.base import CommandError
from django.utils import timezone

from inventory.management.sellers import SellersCommand
from inventory.money import format_money
from inventory.valuation import ValuationError
from production.selectors.year_books import YearBooks, year_books
from production.selectors.year_data import as_data


class Command(SellersCommand):
    help = "Close a year: cost of goods, stock, sales by month, as a workbook."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("year", type=int)
        parser.add_argument(
            "--out", type=Path, help="workbook to write (a name ending in .xlsx)"
        )
        parser.add_argument("--format", choices=["table", "json"], default="table")

    def handle(self, *args: Any, **options: Any) -> None:
        out: Path | None = options["out"]
        _check(options["year"], out)
        try:
            books = year_books(options["year"], today=timezone.localdate())
        except ValuationError as error:
            raise CommandError(str(error), returncode=2) from error
        if out is not None:
            _save(books, out)
        if options["format"] == "json":
            self.stdout.write(json.dumps(as_data(books), indent=2))
            return
        for line in _table(books):
            self.stdout.write(line)
        if out is not None:
            self.stdout.write(f"written to {out}")


def _check(year: int, out: Path | None) -> None:
    if not date.min.year < year <= timezone.localdate().year:
        raise CommandError(
            f"{year} is no year of this book yet; enter one up to this year",
            returncode=2,
        )
    if out is not None and out.suffix.lower() != ".xlsx":
        raise CommandError(f"{out} is no workbook name; end it in .xlsx", returncode=2)


def _save(books: YearBooks, out: Path) -> None:
    from production.year_workbook import (  # noqa: PLC0415 - openpyxl only when written
        save_year,
    )

    draft = out.with_name(f".{out.name}.part")
    try:
        save_year(books, draft)
        draft.replace(out)
    except OSError as error:
        draft.unlink(missing_ok=True)
        raise CommandError(
            f"{out} could not be written: {error.strerror}", returncode=2
        ) from error


def _table(books: YearBooks) -> list[str]:
    business = books.business

    def money(amount: Any) -> str:
        return format_money(amount, currency=business.currency, locale=business.locale)

    rows = [f"{business.trade_name}, {books.year} (to {books.as_of:%d %b %Y})", ""]
    for line in books.goods.lines():
        figure = line.answer if line.amount is None else money(line.amount)
        rows.append(f"  {line.number}  {line.text:<64} {figure:>14}")
    rows += [
        "",
        f"  {'gross sales, without sales tax':<68} {money(books.gross_sales):>14}",
        f"  {'gross profit':<68} {money(books.gross_profit):>14}",
    ]
    if books.cap is not None and books.projection.fraction is not None:
        share = books.projection.fraction
        rows.append(
            f"  {share:.1%} of the cap of {money(books.cap.amount)} ({books.cap.place})"
        )
    rows += ["", "  Not tax advice: see a preparer before you file."]
    return rows
