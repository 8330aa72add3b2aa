"""One product or batch at the printing table: what its pages show, each table read once."""

import datetime
from functools import cached_property

from inventory.models import Product
from labels import selectors
from labels.models import LabelSheet, ProductLabel
from labels.printing.counting import LabelAccounts, sheets_at_hand
from labels.printing.errors import PrintingError
from labels.printing.preparing import Wish, look_of, prepare
from labels.rules.check import Report
from production.models import Batch

__all__ = ["Desk", "usual_sheet"]


class Desk:
    """What is looked at before it is printed."""

    def __init__(
        self, product: Product, batch: Batch | None, *, on: datetime.date
    ) -> None:
        """Put a product, and the batch that fills it, on the table.

        Args:
            product: with jar size and label.
            batch: quickest from ``selectors.with_readings``.
            on: the day.
        """
        self.product, self.batch, self.on = product, batch, on
        self.book = selectors.book_for(product, batch)

    @cached_property
    def sheets(self) -> list[LabelSheet]:
        """All sheets, with what was printed on them last."""
        return sheets_at_hand(self.product)

    @cached_property
    def accounts(self) -> LabelAccounts:
        """Where the labels of the batch went."""
        assert self.batch is not None  # noqa: S101 - a product alone has no labels
        outputs = self.book.outputs(self.batch)
        jars = sum(each.filled for each in outputs if each.jar_size_id is not None)
        return LabelAccounts(self.batch, jars=int(jars))

    @cached_property
    def report(self) -> Report | None:
        """What the rules say of the label; None while it cannot be written."""
        try:
            return selectors.report_of(
                look=look_of(self.product), batch=self.batch, on=self.on, book=self.book
            )
        except selectors.LabelSelectionError:
            return None

    def usual_sheet(self, look: ProductLabel | None = None) -> LabelSheet | None:
        """The sheet to propose for the batch, or for a look without one.

        The product's usual one, else the one it was printed on last, else the
        smallest labels that hold everything, else the largest.
        """
        stored = look_of(self.product).sheet
        if stored is not None:
            return stored
        printed = [each for each in self.sheets if each.printed_last_at]  # type: ignore[attr-defined]  # by annotation
        if printed:
            return max(printed, key=lambda each: each.printed_last_at)  # type: ignore[attr-defined]
        by_area = sorted(
            self.sheets, key=lambda each: each.label_width_mm * each.label_height_mm
        )
        fitting = (each for each in by_area if _fits(self.wish(each, look=look)))
        return next(fitting, by_area[-1] if by_area else None)

    def known(self, sheet: LabelSheet) -> LabelSheet:
        """The sheet with what was printed on it last."""
        return next((each for each in self.sheets if each == sheet), sheet)

    def wish(
        self,
        sheet: LabelSheet,
        *,
        look: ProductLabel | None = None,
        arrangement: str = "",
    ) -> Wish:
        """What is to be drawn, read from this table's book."""
        return Wish(
            batch=self.batch,
            sheet=sheet,
            look=look,
            arrangement=arrangement,
            on=self.on,
            book=self.book,
        )


def usual_sheet(batch: Batch, *, on: datetime.date) -> LabelSheet | None:
    """The sheet to propose for a batch; ``None`` without one, or without a product."""
    if batch.product is None:
        return None
    return Desk(batch.product, batch, on=on).usual_sheet()


def _fits(wish: Wish) -> bool:
    try:
        prepare(wish)
    except PrintingError:
        return False
    return True
