"""Recalls from opening to closing, and drills."""

import random
from datetime import timedelta
from decimal import Decimal

import pytest

from inventory.ledger import Stamp
from inventory.models import Movement
from production import recalls, stop_sale
from production.models import Batch, MockRecall
from production.recall_rules import NoticeWords
from production.recalls import DrillError, DrillFigures, RecallError
from production.selectors import recall_scope
from tests.factories import NOW, TODAY, make_helper, make_outlet, make_owner
from tests.trace_factories import enter, jars_of, make_traced_batch

pytestmark = pytest.mark.django_db
Reason = Movement.Reason
STAMP = Stamp(on=TODAY, at=NOW)


def carry(lot, outlet, jars):
    enter(lot, -jars, Reason.MOVED)
    enter(lot, jars, Reason.MOVED, place=outlet)


@pytest.fixture
def scene():
    """24 jars: 6 to a shop that sold 2, 8 sold at a market, 1 missing."""
    batch = make_traced_batch()
    lot = jars_of(batch)
    shop = make_outlet(name="Corner Shop", kind="consignment", phone="555 0111")
    market = make_outlet(name="Market")
    carry(lot, shop, 6)
    enter(lot, -2, Reason.SOLD, place=shop)
    carry(lot, market, 8)
    enter(lot, -8, Reason.SOLD, place=market)
    enter(lot, -1, Reason.MISSING)
    owner = make_owner()
    stopped = stop_sale.stop_batches(
        batches=[batch], reason="mould", at=NOW, person=owner
    )
    return {"batch": batch, "lot": lot, "shop": shop, "owner": owner, "stop": stopped}


def open_recall(scene, **more):
    values = {"stop_sale": scene["stop"], "reason": "mould", "at": NOW}
    return recalls.open_recall(**(values | {"person": scene["owner"]} | more))


class TestRecall:
    def test_scope_names_shops_and_market_days(self, scene):
        scope = recall_scope.read(scene["stop"])
        (shop,) = scope.shops
        assert (shop.name, shop.jars, shop.still_there) == ("Corner Shop", 6, 4)
        assert shop.contact == "555 0111"
        assert [(sale.outlet, sale.jars) for sale in scope.public] == [("Market", 8)]
        assert scope.products[0].codes == (scene["lot"].code,)
        assert scope.products[0].jars == 24
        assert scope.balance.unaccounted == 1
        assert "Market" in scope.sold_where[0]

    def test_opening_lists_the_shops_and_marks_the_batch(self, scene):
        recall = open_recall(scene)
        assert [(c.outlet, c.jars_there) for c in recall.checks.all()] == [
            (scene["shop"], 6)
        ]
        scene["batch"].refresh_from_db()
        assert scene["batch"].status == Batch.Status.RECALLED

    @pytest.mark.parametrize(
        ("more", "said"), [({"reason": " "}, "what is wrong"), ({}, "already")]
    )
    def test_opening_needs_a_reason_and_happens_once(self, scene, more, said):
        if not more:
            open_recall(scene)
        with pytest.raises(RecallError, match=said):
            open_recall(scene, **more)

    def test_a_helper_does_not_open_one(self, scene):
        with pytest.raises(RecallError, match="only the owner"):
            open_recall(scene, person=make_helper())

    def test_a_lifted_stop_cannot_be_recalled(self, scene):
        stop_sale.lift(
            stop_sale=scene["stop"], reason="crystals", at=NOW, person=scene["owner"]
        )
        with pytest.raises(RecallError, match="lifted"):
            open_recall(scene)

    def test_the_class_comes_from_the_authority(self, scene):
        recall = open_recall(scene)
        with pytest.raises(RecallError, match="the authority gives"):
            recalls.note_class(recall=recall, authority_class="II")
        recalls.tell_authority(recall=recall, at=NOW)
        recalls.note_class(recall=recall, authority_class="II")
        with pytest.raises(RecallError, match="one of I, II, III"):
            recalls.note_class(recall=recall, authority_class="IV")

    def test_words_and_level_are_kept(self, scene):
        recall = open_recall(scene)
        words = NoticeWords(why="mould", harm="stomach", contact="555")
        recalls.write_notice(recall=recall, words=words, level="C")
        recall.refresh_from_db()
        assert recall.notice["harm"] == "stomach"
        with pytest.raises(RecallError, match="no level"):
            recalls.write_notice(recall=recall, words=words, level="Z")

    def test_it_closes_only_when_shops_were_told_and_answered(self, scene):
        recall = open_recall(scene)
        (check,) = recall.checks.all()
        close = {"recall": recall, "note": "all back", "at": NOW}
        close |= {"person": scene["owner"]}
        with pytest.raises(RecallError, match="not told yet: Corner Shop"):
            recalls.close_recall(**close)
        with pytest.raises(RecallError, match="before it was told"):
            recalls.record_check(check=check, told_at=None, answered=True)
        recalls.record_check(check=check, told_at=NOW, how="telephone")
        with pytest.raises(RecallError, match="asks for 1 answers, and 0 came"):
            recalls.close_recall(**close)
        recalls.record_check(check=check, told_at=NOW, how="telephone", answered=True)
        with pytest.raises(RecallError, match="write down"):
            recalls.close_recall(**(close | {"note": ""}))
        assert recalls.close_recall(**close).closed_at == NOW
        with pytest.raises(RecallError, match="closed"):
            recalls.close_recall(**close)

    def test_jars_that_come_back_are_counted_as_recalled(self, scene):
        recall = open_recall(scene)
        shared = {"recall": recall, "lot": scene["lot"], "stamp": STAMP}
        recalls.take_in(jars=4, outlet=scene["shop"], **shared)
        recalls.take_in(jars=1, outlet=scene["shop"], from_buyers=True, **shared)
        recalls.take_in(jars=3, from_buyers=True, **shared)
        balance = recall_scope.read(scene["stop"]).balance
        assert (balance.recalled, balance.sold, balance.at_outlets) == (8, 6, 0)
        assert balance.unaccounted == 1
        (check,) = recall.checks.all()
        assert check.jars_destroyed == 5

    def test_other_jars_are_not_taken_in(self, scene):
        recall = open_recall(scene)
        with pytest.raises(RecallError, match="not under this recall"):
            recalls.take_in(
                recall=recall, lot=jars_of(make_traced_batch()), jars=1, stamp=STAMP
            )


class TestDrill:
    def test_a_batch_is_drawn_by_chance_among_the_released(self):
        held = make_traced_batch(status=Batch.Status.HELD)
        released = {make_traced_batch().pk for _ in range(3)}
        chance = random.Random(4)
        drawn = {recalls.draw_batch(chance=chance).pk for _ in range(40)}
        assert drawn == released
        assert held.pk not in drawn

    def test_without_a_released_batch_there_is_no_drill(self):
        with pytest.raises(DrillError, match="no batch is released"):
            recalls.draw_batch()

    def test_the_makers_figures_are_scored(self, scene):
        drill = recalls.start_drill(batch=scene["batch"], at=NOW, person=scene["owner"])
        figures = DrillFigures(on_shelf=9, at_outlets=4, sold=9, lots_found=0)
        later = NOW + timedelta(minutes=37)
        done = recalls.finish_drill(drill=drill, figures=figures, at=later)
        assert (done.made, done.found, done.unaccounted) == (24, 22, 2)
        assert done.result["seconds"] == 37 * 60
        assert done.result["differences"] == {"sold": -1}
        assert done.result["not_accounted"] == [f"1 jar missing at home, {TODAY}"]
        assert round(done.accounted_fraction, 4) == Decimal("0.9167")

    def test_one_drill_at_a_time_and_each_ends_once(self, scene):
        drill = recalls.start_drill(batch=scene["batch"], at=NOW, person=None)
        with pytest.raises(DrillError, match="still running"):
            recalls.start_drill(batch=scene["batch"], at=NOW, person=None)
        with pytest.raises(DrillError, match="0 or more"):
            recalls.finish_drill(drill=drill, figures=DrillFigures(sold=-1), at=NOW)
        recalls.finish_drill(drill=drill, figures=DrillFigures(), at=NOW)
        with pytest.raises(DrillError, match="finished already"):
            recalls.finish_drill(drill=drill, figures=DrillFigures(), at=NOW)

    def test_the_book_alone_says_exactly_what_is_not_accounted(self, scene):
        drill = recalls.run_by_book(batch=scene["batch"], started_at=NOW, person=None)
        assert (drill.made, drill.found, drill.unaccounted) == (24, 23, 1)
        assert drill.result["not_accounted"] == [f"1 jar missing at home, {TODAY}"]
        assert MockRecall.objects.count() == 1

    def test_a_batch_all_of_whose_jars_are_known_scores_in_full(self):
        drill = recalls.run_by_book(
            batch=make_traced_batch(), started_at=NOW, person=None
        )
        assert drill.accounted_fraction == 1
        assert drill.result["not_accounted"] == []
