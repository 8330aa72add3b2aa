"""Forms of counting out and counting back; a page kept back tells if figures changed."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from inventory.forms.fields import JarsField
from inventory.forms.stall import RowsForm
from inventory.models import Lot, MarketLine
from inventory.reconciliation import DayCount
from inventory.words import say

__all__ = ["CountBackForm", "CountOutForm"]


class CountOutForm(RowsForm):
    """Jars really taken of each lot packed."""

    columns = {"taken": JarsField}
    labels: Mapping[str, str | Promise] = {"taken": _("Jars taken")}
    seen = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["seen"] = self.now()

    def now(self) -> str:
        """The figures in the book, so that a page kept back tells if they changed."""
        return " ".join(
            f"{line.lot_id}:{line.taken}/{line.brought_back}/{line.sampled}"
            f"/{line.broken}/{line.given}/{line.sold}"
            for line in self.subjects
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        seen = cleaned.get("seen")
        if not self.errors and seen and seen != self.now() and self.differs():
            self.data = {**self.data.dict(), "seen": self.now()}  # type: ignore[attr-defined]
            raise forms.ValidationError(
                _(
                    "Somebody counted meanwhile: %(figures)s in the book. "
                    "Save again to put your figures in their place."
                )
                % {"figures": self.in_words()}
            )
        return cleaned

    def differs(self) -> bool:
        """Whether these entries would change what the book has."""
        return any(self.number(line, "taken") != line.taken for line in self.subjects)

    def in_words(self) -> str:
        """What the book has now, lot by lot."""
        return ", ".join(
            _("%(jars)d of %(lot)s taken") % {"jars": line.taken, "lot": line.lot}
            for line in self.subjects
        )

    def key(self, subject: MarketLine, column: str) -> str:
        return f"{column}-{subject.lot_id}"

    def title(self, subject: MarketLine) -> str:
        return str(subject.lot)

    def initial_of(self, subject: MarketLine, column: str) -> int | None:
        return subject.taken or subject.packed

    def taken(self) -> dict[Lot, int]:
        return {line.lot: self.number(line, "taken") for line in self.subjects}


class CountBackForm(CountOutForm):
    """What became of the jars taken, lot by lot; sold may be left to the difference."""

    columns = {
        "back": JarsField,
        "sampled": JarsField,
        "broken": JarsField,
        "given": JarsField,
        "sold": JarsField,
    }
    labels: Mapping[str, str | Promise] = {
        "back": _("Brought back"),
        "sampled": _("Sampled"),
        "broken": _("Broken"),
        "given": _("Given away"),
        "sold": _("Sold"),
    }

    def initial_of(self, subject: MarketLine, column: str) -> int | None:
        if column == "back":
            return subject.brought_back
        if column == "sold":
            return subject.sold if subject.day.status == "counted" else None
        return int(getattr(subject, column))

    def differs(self) -> bool:
        return any(
            (count.back, count.sampled, count.broken, count.given, count.sold)
            != (
                line.brought_back,
                line.sampled,
                line.broken,
                line.given,
                line.sold,
            )
            for line, count in ((line, self._count(line)) for line in self.subjects)
        )

    def in_words(self) -> str:
        return ", ".join(
            _("%(jars)d of %(lot)s brought back, %(sold)d sold")
            % {"jars": line.brought_back, "lot": line.lot, "sold": line.sold}
            for line in self.subjects
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if not self.errors:
            for line in self.subjects:
                self._clean_line(line)
        return cleaned

    def _clean_line(self, line: MarketLine) -> None:
        known = DayCount(
            taken=Decimal(line.taken),
            sampled=Decimal(self.number(line, "sampled")),
            broken=Decimal(self.number(line, "broken")),
            given=Decimal(self.number(line, "given")),
            back=Decimal(self.number(line, "back")),
            sold=Decimal(self.number(line, "sold")),
        )
        if known.unaccounted < 0:
            self.add_error(
                self.key(line, "back"),
                say(
                    "{accounted:f} jars are accounted for but {taken} were taken.",
                    accounted=known.accounted,
                    taken=line.taken,
                ),
            )

    def counts(self) -> dict[Lot, DayCount]:
        """One balance for each lot; sold left empty is what is left by difference."""
        return {line.lot: self._count(line) for line in self.subjects}

    def _count(self, line: MarketLine) -> DayCount:
        figures = {
            column: Decimal(self.number(line, column))
            for column in ("back", "sampled", "broken", "given")
        }
        sold = self.value(line, "sold")
        if sold is None:
            sold = DayCount(taken=Decimal(line.taken), **figures).most_sold
        return DayCount(taken=Decimal(line.taken), sold=Decimal(sold), **figures)
