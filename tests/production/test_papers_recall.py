"""Papers of recalls, traces and drills, read back from the PDF."""

from datetime import UTC, date, datetime
from decimal import Decimal
from io import BytesIO

import pytest
from pypdf import PdfReader

from production.jar_balance import JarBalance
from production.papers.recall_papers import buyer_post, market_sign, shop_letter
from production.papers.trace_papers import DrillRecord, drill_record, trace_record
from production.recall_rules import NoticeWords, RecalledProduct, RecallNotice
from production.trace_answer import AffectedBatch, SourceLot, Subject, TraceAnswer
from production.trace_graph import Graph

AT = datetime(2026, 7, 20, 9, 30, tzinfo=UTC)


def text_of(body):
    pages = (page.extract_text() for page in PdfReader(BytesIO(body)).pages)
    return " ".join(" ".join(pages).split())


def notice(**more):
    values = {
        "maker": "Test Kitchen",
        "address": ("1 Test Lane", "Testville"),
        "phone": "555 0100",
        "on": date(2026, 7, 20),
        "products": (
            RecalledProduct(
                name="Plum jam",
                codes=("26196AM",),
                jars=24,
                best_by=(date(2027, 7, 15),),
            ),
        ),
        "words": NoticeWords(why="Mould was found.", harm="It may make people ill."),
        "sold_where": ("Saturday market, 18 Jul 2026",),
    }
    return RecallNotice(**(values | more))


def test_the_shop_letter_holds_its_seven_parts():
    """FDA guidance on product recalls: what a letter to a consignee says."""
    text = text_of(shop_letter(notice(), shop="Corner Shop", address="Main St", jars=6))
    for part in (
        *("URGENT: FOOD RECALL", "26196AM", "Plum jam", "Mould was found."),
        *("It may make people ill.", "the back room", "pass this letter on"),
        *("do not destroy them unasked", "555 0100", "Name and signature", "Date"),
        *("you got 6 of these jars", "To the manager of Corner Shop"),
    ):
        assert part in text, part
    assert "class" not in text.lower()


def test_a_class_is_printed_only_when_it_was_given():
    letter = shop_letter(notice(authority_class="II"), shop="S", address="", jars=1)
    assert "class II, given by the authority" in text_of(letter)


@pytest.mark.parametrize("write", [market_sign, buyer_post])
def test_public_papers_say_where_it_was_sold_and_what_to_do(write):
    text = text_of(write(notice()))
    for part in ("26196AM", "Saturday market", "bring it back", "see a doctor"):
        assert part in text


def test_missing_words_leave_a_gap_to_fill_in():
    words = NoticeWords(why="Mould was found.")
    text = text_of(market_sign(notice(words=words, phone="")))
    assert text.count("to be filled in") == 2


def test_a_trace_record_says_all_and_that_it_is_only_the_book():
    balance = JarBalance(made=Decimal(24), sold=Decimal(10), on_shelf=Decimal(13))
    answer = TraceAnswer(
        subject=Subject(
            key="batch:1",
            code="26196AM",
            title="Plum jam",
            on=date(2026, 7, 15),
            state="released",
            lot_ids=(1,),
        ),
        sources=(
            SourceLot(
                lot_id=1,
                code="F1",
                name="Plums",
                supplier="Hill Farm",
                supplier_mark="L7",
                received_on=date(2026, 7, 14),
                origin="",
                used=Decimal(6200),
                unit="g",
                is_stopped=False,
                sister_batches=0,
            ),
        ),
        affected=(
            AffectedBatch(
                batch_id=1,
                code="26196AM",
                product="Plum jam",
                made_on=date(2026, 7, 15),
                state="released",
                is_stopped=True,
                balance=balance,
            ),
        ),
        sisters=(),
        whereabouts=(),
        balance=balance,
        graph=Graph(nodes=(), edges=()),
    )
    text = text_of(trace_record(answer, maker="Test Kitchen", at=AT))
    for part in ("Hill Farm", "L7", "13 lb 10.7 oz", "STOPPED", "unaccounted 1 4.17"):
        assert part in text, part
    assert "let the health department decide" in text


def test_a_drill_record_names_what_is_not_accounted_for():
    record = DrillRecord(
        code="26196AM",
        product="Plum jam",
        started_at=AT,
        minutes="38 min 0 s",
        person="owner",
        made=24,
        found=23,
        percent="95.83",
        result={
            "lots": 4,
            "sisters": 2,
            "not_accounted": ["1 jar missing at home, 2026-07-18"],
            "differences": {"sold": -1},
        },
    )
    text = text_of(drill_record(record, maker="Test Kitchen"))
    for part in ("23 (95.83 %)", "38 min 0 s", "1 jar missing", "sold: -1"):
        assert part in text, part
