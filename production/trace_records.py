"""Traceability records: what was received, cooked, shipped and sold, event by event.

The same records become a workbook, one sheet an event and one row a lot, and an
EPCIS document. Sheets hold the key data elements that 21 CFR part 1 subpart S names
for each critical tracking event, in its words; the firms and places they point to
have sheets of their own, and a key explains codes and units.

Source: 21 CFR 1.1340 (shipping), 1.1345 (receiving), 1.1350 (transformation),
1.1455(c)(3)(ii) (sortable spreadsheet). The rule's own list of foods decides whether
it binds anybody; cooked jam is not on it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

__all__ = ["Cooked", "Firm", "LotAmount", "Moved", "Received", "TraceRecords"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Firm:
    """A supplier, an outlet, or the maker's own kitchen.

    Attributes:
        key: unique among the firms ("supplier 3", "outlet 1", "kitchen").
        name: name of the firm or place.
        phone: telephone, if known.
        address: as written in the book.
    """

    key: str
    name: str
    phone: str = ""
    address: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LotAmount:
    """So much of one lot.

    Attributes:
        code: lot code in this book.
        mark: the supplier's own lot mark.
        name: commodity or product.
        quantity: how much.
        unit: "g", "pieces" or "jars".
        gtin: trade item number of a product, if licensed.
        best_by: best-by date of jars.
    """

    code: str
    name: str
    quantity: Decimal
    unit: str
    mark: str = ""
    gtin: str = ""
    best_by: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Received:
    """A lot came in from a supplier."""

    row: int
    lot: LotAmount
    firm: Firm
    on: date
    at: datetime
    paper: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cooked:
    """A batch turned lots into lots; with the record of its heat step."""

    row: int
    batch: str
    product: str
    on: date
    at: datetime
    inputs: tuple[LotAmount, ...]
    outputs: tuple[LotAmount, ...]
    heat_record: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """Jars were carried to a place, brought back, sold, sampled or written off.

    Attributes:
        what: name of the happening ("shipped", "brought_back", "sold", "sampled",
            "written_off", "recalled").
    """

    row: int
    what: str
    lot: LotAmount
    firm: Firm
    on: date
    at: datetime
    paper: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TraceRecords:
    """All records of some lots."""

    kitchen: Firm
    received: Sequence[Received]
    cooked: Sequence[Cooked]
    moved: Sequence[Moved]

    @property
    def firms(self) -> Sequence[Firm]:
        """Every firm the records point to, by name, the kitchen first."""
        firms = [row.firm for row in self.received] + [row.firm for row in self.moved]
        found = {firm.key: firm for firm in firms}
        found.pop(self.kitchen.key, None)
        return [self.kitchen, *sorted(found.values(), key=lambda firm: firm.name)]
