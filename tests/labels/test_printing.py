"""Printing: who may have labels, what stands on record, where every label went."""

import datetime
from decimal import Decimal

import pytest
from django.db import DatabaseError, IntegrityError, transaction

from labels import printing
from labels.models import LabelTally, PrintRun
from labels.printing import PrintingError
from labels.printing.counting import waiting
from labels.printing.desk import usual_sheet
from production.models import Batch
from tests import factories
from tests.labels.printing_scene import (
    AT,
    ON,
    load_places,
    load_sheets,
    make_batch,
    make_look,
    make_wish,
)
from tests.pdf_reading import glyphs_of_words, read_pages

pytestmark = pytest.mark.django_db


@pytest.fixture
def sheet():
    load_places()
    return load_sheets()


def print_for(batch, sheet, **overrides):
    values = {"wish": make_wish(batch, sheet), "count": 12, "at": AT}
    return printing.print_labels(**{**values, **overrides})


def test_a_released_batch_gets_labels_with_its_own_words(sheet):
    batch = make_batch()
    printed = print_for(batch, sheet)
    first, *_rest = read_pages(printed.pdf)
    for words in ("Plum Jam", batch.code, "Plums, Sugar, Lemon juice"):
        assert glyphs_of_words(first, words)
    assert not printed.run.is_draft
    assert (printed.run.count, printed.sheets) == (12, 2)


def test_the_run_keeps_the_words_it_printed(sheet):
    run = print_for(make_batch(), sheet).run
    kept = dict(run.text["elements"])
    assert kept["identity"] == "Plum Jam"
    assert run.place_code == "us-mn"
    assert run.design == "plain"


def test_a_held_batch_gets_drafts_with_a_mark_across(sheet):
    batch = make_batch(status=Batch.Status.HELD)
    printed = print_for(batch, sheet)
    assert printed.run.is_draft
    assert "not released" in printed.draft_reasons[0]
    assert glyphs_of_words(read_pages(printed.pdf)[0], "HELD · DRAFT")


@pytest.mark.parametrize("status", [Batch.Status.REJECTED, Batch.Status.RECALLED])
def test_a_batch_that_may_not_be_sold_gets_none(sheet, status):
    batch = make_batch(status=status)
    with pytest.raises(PrintingError, match="no labels are printed"):
        print_for(batch, sheet)
    assert not PrintRun.objects.exists()


def test_a_stopped_lot_gets_none(sheet):
    batch = make_batch()
    lot = batch.outputs.get().lot
    lot.stopped_at = factories.NOW
    lot.save()
    with pytest.raises(PrintingError, match="stopped"):
        print_for(batch, sheet)


@pytest.mark.parametrize("count", [0, -3, 5001])
def test_a_count_out_of_reason_is_refused(sheet, count):
    with pytest.raises(PrintingError, match="1 to 5,000"):
        print_for(make_batch(), sheet, count=count)


def test_a_place_the_sheet_has_not_is_refused_and_nothing_recorded(sheet):
    with pytest.raises(PrintingError, match="places 1 to 6"):
        print_for(make_batch(), sheet, start_at=7)
    assert not PrintRun.objects.exists()


def test_a_label_that_does_not_fit_is_refused_with_the_list(sheet):
    sheet.label_width_mm = sheet.label_height_mm = 30
    sheet.save()
    with pytest.raises(PrintingError, match=r"cannot hold .*net quantity .*producer"):
        print_for(make_batch(), sheet)


def test_labels_on_top_of_enough_are_a_reprint_of_the_first_run(sheet):
    batch = make_batch(jars=12)
    first = print_for(batch, sheet).run
    second = print_for(batch, sheet, count=3, reason="three smudged").run
    assert second.reprint_of == first
    assert second.reason == "three smudged"


def test_labels_still_missing_are_no_reprint(sheet):
    batch = make_batch(jars=12)
    print_for(batch, sheet, count=6)
    assert not print_for(batch, sheet, count=6).run.is_reprint


def test_printed_is_used_spoiled_destroyed_and_at_hand(sheet):
    batch = make_batch(jars=12)
    run = print_for(batch, sheet, count=15).run
    printing.tally(run=run, at=AT, used=12, spoiled=1)
    account = printing.balance(batch)
    assert account.at_hand == 2
    assert not account.is_closed
    printing.tally(run=run, at=AT, destroyed=2)
    assert printing.balance(batch).is_closed


def test_spoiled_labels_are_wanted_again(sheet):
    batch = make_batch(jars=12)
    run = print_for(batch, sheet, count=12).run
    printing.tally(run=run, at=AT, spoiled=2)
    assert printing.balance(batch).wanted == 2
    assert printing.labels_wanted(batch) == 2


def test_a_correction_takes_back_what_was_told_too_much(sheet):
    run = print_for(make_batch(), sheet).run
    printing.tally(run=run, at=AT, spoiled=3)
    printing.tally(run=run, at=AT, spoiled=-2, note="they were fine")
    assert PrintRun.objects.with_tallies().get(pk=run.pk).spoiled == 1


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ({}, "enter how many"),
        ({"spoiled": 13}, "13 labels would be told of a run of 12"),
        ({"used": -1}, "fewer labels were used"),
    ],
)
def test_a_tally_that_cannot_be_is_refused(sheet, told, says):
    run = print_for(make_batch(), sheet).run
    with pytest.raises(PrintingError, match=says):
        printing.tally(run=run, at=AT, **told)


def test_more_used_than_jars_is_refused(sheet):
    run = print_for(make_batch(jars=6), sheet).run
    with pytest.raises(PrintingError, match="more than the 6 jars"):
        printing.tally(run=run, at=AT, used=7)


def test_drafts_are_not_counted(sheet):
    run = print_for(make_batch(status=Batch.Status.HELD), sheet).run
    with pytest.raises(PrintingError, match="drafts are not counted"):
        printing.tally(run=run, at=AT, used=1)


def test_a_run_can_be_opened_again_as_it_was(sheet):
    printed = print_for(make_batch(), sheet)
    assert printing.pdf_of(run=printed.run, on=ON) == printed.pdf


def test_a_label_that_reads_differently_now_is_not_opened_as_the_old_run(sheet):
    batch = make_batch()
    run = print_for(batch, sheet).run
    make_look(batch.product, maker_note="New words.")
    with pytest.raises(PrintingError, match="has changed"):
        printing.pdf_of(run=run, on=ON)


def test_a_run_of_nothing_cannot_be_stored(sheet):
    run = print_for(make_batch(), sheet).run
    run.pk, run.count = None, 0
    with pytest.raises(IntegrityError), transaction.atomic():
        run.save()


def test_the_database_keeps_what_was_printed(sheet):
    run = print_for(make_batch(), sheet).run
    row = printing.tally(run=run, at=AT, used=1)
    changes = (
        lambda: PrintRun.objects.filter(pk=run.pk).update(reason="other"),
        lambda: LabelTally.objects.filter(pk=row.pk).update(used=2),
        lambda: LabelTally.objects.filter(pk=row.pk).delete(),
    )
    for change in changes:
        with (
            pytest.raises(DatabaseError, match="stays on record"),
            transaction.atomic(),
        ):
            change()


def test_bars_without_a_number_are_refused(sheet):
    batch = make_batch()
    make_look(batch.product, bars="gtin")
    with pytest.raises(PrintingError, match="has no GTIN"):
        print_for(batch, sheet)


def test_a_round_sheet_does_not_hold_everything(sheet):
    lids = type(sheet).objects.get(name="round-51mm-3x5-letter")
    with pytest.raises(PrintingError, match="choose the lid"):
        print_for(make_batch(), lids)


def test_a_lid_label_goes_on_a_round_sheet(sheet):
    lids = type(sheet).objects.get(name="round-51mm-3x5-letter")
    batch = make_batch()
    make_look(batch.product, arrangement="lid")
    (page,) = read_pages(print_for(batch, lids).pdf)
    assert glyphs_of_words(page, batch.code)


def test_lids_are_counted_apart_from_the_labels_with_the_words(sheet):
    lids = type(sheet).objects.get(name="round-51mm-3x5-letter")
    batch = make_batch(jars=12)
    run = print_for(batch, None, wish=make_wish(batch, lids, arrangement="lid")).run
    assert (run.arrangement, run.is_reprint) == ("lid", False)
    assert printing.balance(batch, "lid").wanted == 0
    assert printing.balance(batch).wanted == 12


def test_front_and_back_are_two_runs_of_the_same_words(sheet):
    batch = make_batch(jars=12)
    front = print_for(batch, sheet, wish=make_wish(batch, sheet, arrangement="front"))
    back = print_for(batch, sheet, wish=make_wish(batch, sheet, arrangement="back"))
    assert front.run.text == back.run.text
    assert not back.run.is_reprint
    assert glyphs_of_words(read_pages(back.pdf)[0], "Ingredients")


def test_a_code_is_found_however_it_is_typed():
    batch = make_batch()
    typed = f"{batch.code[:3]}-{batch.code[3:]}".lower()
    assert printing.find_batch(typed) == batch


def test_a_mistyped_code_says_so():
    code = make_batch().code
    wrong = ("B" if code[0] != "B" else "C") + code[1:]
    with pytest.raises(PrintingError, match="typing mistake"):
        printing.find_batch(wrong)


def test_an_unknown_sheet_lists_those_there_are(sheet):
    with pytest.raises(PrintingError, match=r"102x85mm-2x3-letter"):
        printing.find_sheet("nothing")


def test_jars_wait_until_their_labels_are_printed(sheet):
    batch = make_batch(jars=12)
    (one,) = waiting()
    assert (one.batch, one.missing) == (batch, 12)
    print_for(batch, sheet, count=12)
    assert waiting() == []


def test_runs_with_their_tallies_come_newest_first(sheet):
    batch = make_batch(jars=12)
    first = print_for(batch, sheet, count=6).run
    second = print_for(batch, sheet, count=6, at=AT + datetime.timedelta(hours=1)).run
    printing.tally(run=first, at=AT, used=5, spoiled=1)
    assert list(PrintRun.objects.with_tallies()) == [second, first]


def test_the_smallest_sheet_that_holds_everything_is_proposed(sheet):
    batch = make_batch()
    proposed = usual_sheet(batch, on=ON)
    areas = [
        each.label_width_mm * each.label_height_mm
        for each in type(sheet).objects.filter(shape="rectangle")
    ]
    assert proposed.label_width_mm * proposed.label_height_mm < max(areas)
    printing.prepare(make_wish(batch, proposed))


def test_the_sheet_used_last_is_proposed_next(sheet):
    batch = make_batch()
    print_for(batch, sheet)
    assert usual_sheet(batch, on=ON) == sheet


def test_a_code_of_each_kind_goes_on_the_label(sheet):
    batch = make_batch(gtin="9521234543213")
    look = make_look(batch.product, shows_qr=True, bars="gtin")
    wide = type(sheet).objects.get(name="150x45mm-1x5-letter")
    prepared = printing.prepare(make_wish(batch, wide, look=look))
    kinds = {item.code.kind for item in prepared.drawing.items if hasattr(item, "code")}
    assert kinds == {"qr", "trade item"}


def test_a_jar_with_flat_sides_asks_by_its_face(sheet):
    # A face of 120 x 95 mm is 114 cm2, 40 % of four faces 182 cm2: above 25 in2,
    # so 3/16 in (21 CFR 101.1(a), 101.7(i)).
    large = factories.make_jar_size(
        flat_sides=4, label_height_mm=Decimal(120), diameter_mm=Decimal(95)
    )
    batch = make_batch(jar_size=large)
    drawing = printing.prepare(make_wish(batch, sheet)).drawing
    net = next(size for size in drawing.sizes if size.of == "net_quantity")
    assert net.drawn_mm >= 4.7625
