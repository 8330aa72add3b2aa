"""Stop-sales: set at once, everywhere, and lifted only by the owner."""

import time
from decimal import Decimal

import pytest

from inventory import ledger
from inventory.ledger import LedgerError, Stamp
from inventory.ledger.errors import StoppedError
from inventory.models import Lot, Movement
from production import stop_sale
from production.models import Recall, StopSale
from production.stop_sale import StopSaleError
from tests.factories import (
    NOW,
    TODAY,
    make_helper,
    make_lot,
    make_outlet,
    make_owner,
)
from tests.trace_factories import enter, jars_of, make_traced_batch
from tests.writers import Writers

STAMP = Stamp(on=TODAY, at=NOW)
SELLERS = 8


def stop_of(batch, **more):
    values = {"reason": "mould", "at": NOW, "person": None}
    return stop_sale.stop_batches(batches=[batch], **(values | more))


def is_stopped(*lots):
    return [Lot.objects.get(pk=lot.pk).stopped_at is not None for lot in lots]


@pytest.mark.django_db
class TestStop:
    def test_jars_of_a_stopped_batch_go_nowhere(self):
        batch, outlet = make_traced_batch(), make_outlet()
        lot = jars_of(batch)
        stop_of(batch)
        with pytest.raises(StoppedError):
            ledger.move(lot=lot, quantity=Decimal(1), stamp=STAMP, target=outlet)
        with pytest.raises(StoppedError):
            ledger.draw(lot=lot, quantity=Decimal(1), stamp=STAMP)
        with pytest.raises(StoppedError):
            ledger.write_off(
                lot=lot, quantity=Decimal(1), stamp=STAMP, reason=Movement.Reason.GIVEN
            )
        assert not Lot.objects.sellable(on=TODAY).filter(pk=lot.pk).exists()

    def test_what_was_cooked_from_it_stops_too(self):
        first = make_traced_batch()
        again = make_traced_batch(inputs=[jars_of(first)])
        stop_of(first)
        assert is_stopped(jars_of(first), jars_of(again)) == [True, True]

    def test_everything_with_a_suspect_lot_stops_to_any_depth(self):
        fruit, puree = make_lot(), make_lot(quantity=0)
        make_traced_batch(inputs=[fruit], output=puree)
        jelly, other = make_traced_batch(inputs=[puree]), make_traced_batch()
        found = stop_sale.stop_everything_with(
            lot=fruit, reason="recalled by the grower", at=NOW, person=None
        )
        assert found.suspect_lot == fruit
        assert is_stopped(fruit, puree, jars_of(jelly)) == [True, True, True]
        assert is_stopped(jars_of(other)) == [False]

    def test_a_reason_is_needed_and_something_to_stop(self):
        with pytest.raises(StopSaleError, match="say why"):
            stop_of(make_traced_batch(), reason=" ")
        with pytest.raises(StopSaleError, match="no jars to stop"):
            stop_sale.stop(lots=[], reason="mould", at=NOW, person=None)
        assert not StopSale.objects.exists()

    def test_what_must_come_off_which_table_is_listed(self):
        batch, outlet = make_traced_batch(), make_outlet(name="Stall")
        enter(jars_of(batch), -6, Movement.Reason.MOVED)
        enter(jars_of(batch), 6, Movement.Reason.MOVED, place=outlet)
        rows = stop_sale.off_the_table(stop_of(batch))
        assert [(row.place, row.jars) for row in rows] == [
            ("Stall", 6),
            ("at home", 18),
        ]

    def test_a_batch_made_from_a_stopped_lot_is_not_let_out(self):
        fruit = make_lot()
        batch = make_traced_batch(inputs=[fruit])
        stop_sale.refuse_stopped_upstream(batch)
        stop_sale.stop(lots=[fruit], reason="recalled", at=NOW, person=None)
        with pytest.raises(StopSaleError, match="lift that stop-sale first"):
            stop_sale.refuse_stopped_upstream(batch)


@pytest.mark.django_db
class TestLift:
    def lift(self, found, **more):
        values = {"reason": "only crystals", "at": NOW}
        if "person" not in more:
            values["person"] = make_owner()
        return stop_sale.lift(stop_sale=found, **(values | more))

    def test_the_owner_lifts_with_a_reason(self):
        batch = make_traced_batch()
        lifted = self.lift(stop_of(batch))
        assert lifted.lift_reason == "only crystals"
        assert is_stopped(jars_of(batch)) == [False]

    def test_a_helper_may_not(self):
        found = stop_of(make_traced_batch())
        with pytest.raises(StopSaleError, match="only the owner"):
            self.lift(found, person=make_helper())

    def test_not_without_a_reason_and_not_twice(self):
        found = stop_of(make_traced_batch())
        with pytest.raises(StopSaleError, match="what was found"):
            self.lift(found, reason="")
        self.lift(found)
        with pytest.raises(StopSaleError, match="lifted already"):
            self.lift(found)

    def test_recalled_jars_stay_stopped(self):
        found = stop_of(make_traced_batch())
        Recall.objects.create(stop_sale=found, opened_at=NOW, reason="mould")
        with pytest.raises(StopSaleError, match="recall"):
            self.lift(found)

    def test_a_lot_under_two_stops_stays_under_the_other(self):
        batch, other = make_traced_batch(), make_traced_batch()
        first = stop_sale.stop_batches(
            batches=[batch, other], reason="mould", at=NOW, person=None
        )
        stop_of(batch)
        self.lift(first)
        assert is_stopped(jars_of(batch), jars_of(other)) == [True, False]


@pytest.fixture
def writers(transactional_db, tmp_path):
    return Writers(tmp_path)


def test_no_jar_is_sold_past_a_stop_by_eight_sellers(writers):
    """Sellers sell one jar after the other until refused; one more thread stops."""
    batch, outlet = make_traced_batch(jars=3000), make_outlet()
    lot = jars_of(batch)
    enter(lot, -3000, Movement.Reason.MOVED)
    enter(lot, 3000, Movement.Reason.MOVED, place=outlet)

    def sold():
        return Movement.objects.filter(lot=lot, reason=Movement.Reason.SOLD).count()

    def work(number):
        if number == 0:
            time.sleep(0.15)
            stop_of(batch)
            return sold()
        while True:
            ledger.sell(
                lot=lot,
                quantity=Decimal(1),
                stamp=STAMP,
                place=outlet,
                unit_price=Decimal(9),
            )

    answers = writers.at_once(work, workers=SELLERS + 1)
    assert all(isinstance(answer, LedgerError) for answer in answers[1:])
    assert 0 < answers[0] < 3000
    assert all(isinstance(answer, StoppedError) for answer in answers[1:])
    assert writers.ask(sold) == answers[0]
