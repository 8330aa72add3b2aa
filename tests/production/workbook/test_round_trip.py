"""Any small book goes out as a workbook and comes back with the same balances."""

import datetime
import io
from decimal import Decimal

import pytest
from django.db import transaction
from django.db.models import Sum
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory import ledger
from inventory.models import Lot, Movement
from production.workbook import loading, paper, reading
from production.workbook.layout import sheets
from production.workbook.saving import rows_of
from tests import factories

pytestmark = pytest.mark.django_db
DAY = datetime.date(2026, 6, 2)

AMOUNTS = st.decimals(1, 5000, places=1)
STEPS = st.lists(
    st.tuples(
        st.sampled_from(["spoiled", "counted", "split", "correct"]),
        st.integers(0, 3),
        st.decimals(Decimal("0.1"), 200, places=1),
    ),
    max_size=8,
)


def tell(amounts, steps):
    """Buy lots, then let things happen to them; what the ledger refuses is left out."""
    material = factories.make_fruit(name="Plums")
    supplier = factories.make_supplier(name="=Formula Farm")
    lots = [bought(material, supplier, number, a) for number, a in enumerate(amounts)]
    for number, (what, which, amount) in enumerate(steps):
        lot = lots[which % len(lots)]
        at = factories.NOW + datetime.timedelta(minutes=number)
        stamp = ledger.Stamp(on=at.date(), at=at, note="a note; with, marks")
        try:
            happen(what, lot, amount, stamp, lots)
        except ledger.LedgerError:
            continue


def bought(material, supplier, number, amount):
    purchase = factories.make_purchase(supplier=supplier, reference=f"R{number}")
    lot = Lot(
        code=f"T{number}", material=material, purchase=purchase, received_on=DAY,
        cost=Decimal("12.3456"), as_typed=f"{amount} g",
    )  # fmt: skip
    stamp = ledger.Stamp(on=DAY, at=factories.NOW)
    return ledger.receive(lot=lot, quantity=amount, stamp=stamp)


def happen(what, lot, amount, stamp, lots):
    if what == "spoiled":
        ledger.write_off(lot=lot, quantity=amount, stamp=stamp, reason="spoiled")
    elif what == "counted":
        ledger.count(lot=lot, counted=amount, stamp=stamp)
    elif what == "split":
        part = Lot(is_frozen=True)
        lots.append(ledger.split(lot=lot, part=part, quantity=amount, stamp=stamp))
    else:
        row = lot.movements.filter(reason="spoiled").first()
        if row is not None:
            ledger.correct(movement=row, quantity=-amount, stamp=stamp)


def fingerprint():
    balances = Movement.objects.values_list("lot__code").annotate(total=Sum("quantity"))
    by_reason = Movement.objects.values_list("lot__code", "reason").annotate(
        total=Sum("quantity")
    )
    costs = Lot.objects.values_list("code", "cost", "is_frozen", "split_from__code")
    corrected = Movement.objects.filter(corrects__isnull=False).count()
    return (
        sorted((code, round(total, 3)) for code, total in balances),
        sorted((code, reason, round(total, 3)) for code, reason, total in by_reason),
        sorted(map(str, costs)),
        corrected,
    )


def saved_and_forgotten(amounts, steps):
    """The workbook of a told book, and what the book held; the book itself is gone."""
    file = io.BytesIO()
    with transaction.atomic():
        factories.make_business()
        tell(amounts, steps)
        paper.write_book(file, ((each, rows_of(each)) for each in sheets()))
        held = fingerprint()
        transaction.set_rollback(True)
    file.seek(0)
    return file, held


@settings(max_examples=20, deadline=None)
@given(st.lists(AMOUNTS, min_size=1, max_size=3), STEPS)
def test_a_small_book_comes_back_the_same(amounts, steps):
    file, held = saved_and_forgotten(amounts, steps)
    assert not Lot.objects.exists()
    with transaction.atomic():
        read = reading.read_workbook(file, name="book.xlsx")
        loaded = loading.load(read=read, at=factories.NOW)
        assert loaded.is_kept, [str(finding) for finding in loaded.errors]
        assert fingerprint() == held
        transaction.set_rollback(True)
