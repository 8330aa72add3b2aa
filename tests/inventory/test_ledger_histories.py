"""Whatever is done in whatever order: the book is the sum of its rows, never less than nothing."""

from collections import defaultdict
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from inventory import ledger
from inventory.ledger import LedgerError, NotEnoughError, Stamp
from inventory.models import Lot, Movement
from tests.factories import NOW, TODAY, make_lot, make_outlet, make_product

pytestmark = pytest.mark.django_db

STAMP = Stamp(on=TODAY, at=NOW)
places = st.sampled_from([None, 0, 1])
deeds = st.tuples(
    st.sampled_from(["draw", "move", "write_off", "sell", "count", "take_back", "fix"]),
    st.integers(0, 1),
    places,
    places,
    st.integers(1, 9),
)


class Shelf:
    """The same deeds done on paper: jars by lot and place."""

    def __init__(self):
        self.outlets = [make_outlet(), make_outlet()]
        self.lots = [
            make_lot(product=make_product(), quantity=12, released_at=NOW)
            for _ in range(2)
        ]
        self.jars = defaultdict(int, {(0, None): 12, (1, None): 12})

    def place(self, number):
        return None if number is None else self.outlets[number]

    def do(self, deed, lot, here, there, jars):
        """Do a deed in the book; note it on paper only when the book took it."""
        after = self.on_paper(deed, lot, here, there, jars)
        if after is not None and min(after.values()) < 0:
            with pytest.raises(NotEnoughError):
                self.in_book(deed, lot, here, there, jars)
        elif after is not None:
            self.in_book(deed, lot, here, there, jars)
            self.jars.update(after)

    def on_paper(self, deed, lot, here, there, jars):
        now = self.jars[lot, here]
        if deed in {"draw", "write_off"}:
            return {(lot, here): now - jars}
        if deed == "sell" and here is not None:
            return {(lot, here): now - jars}
        if deed == "move" and here != there:
            return {(lot, here): now - jars, (lot, there): self.jars[lot, there] + jars}
        if deed == "take_back":
            return {(lot, here): now + jars}
        return {(lot, here): jars} if deed == "count" else None

    def in_book(self, deed, lot, here, there, jars):
        values = {"lot": self.lots[lot], "stamp": STAMP}
        if deed == "move":
            values |= {"source": self.place(here), "target": self.place(there)}
        else:
            values["place"] = self.place(here)
        values["counted" if deed == "count" else "quantity"] = Decimal(jars)
        if deed == "write_off":
            values["reason"] = "broken"
        if deed == "sell":
            values["unit_price"] = Decimal(9)
        getattr(ledger, deed)(**values)

    def fix(self, number):
        """Correct a row to another figure; the paper follows if the book allows it."""
        rows = list(Movement.objects.filter(lot__in=self.lots).order_by("pk"))
        row = rows[number % len(rows)]
        before = Movement.objects.count()
        try:
            done = ledger.correct(movement=row, quantity=row.quantity * 2, stamp=STAMP)
        except LedgerError:
            assert Movement.objects.count() == before
            return
        lot = self.lots.index(done.lot)
        here = self.outlets.index(done.place) if done.place else None
        self.jars[lot, here] += int(done.quantity)


@given(st.lists(deeds, max_size=12))
@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_the_book_and_the_paper_agree(history):
    shelf = Shelf()
    for deed, lot, here, there, jars in history:
        if deed == "fix":
            shelf.fix(jars)
        else:
            shelf.do(deed, lot, here, there, jars)
    for (lot, here), jars in shelf.jars.items():
        assert ledger.balance(shelf.lots[lot], shelf.place(here)) == jars
    for number, lot in enumerate(shelf.lots):
        found = Lot.objects.with_balance().get(pk=lot.pk).balance
        assert found == sum(
            jars for (of, _), jars in shelf.jars.items() if of == number
        )
