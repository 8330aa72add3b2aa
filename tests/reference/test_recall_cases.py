"""Recall rules and balances against published shares and worked cases.

Sources: 21 CFR 7.42(b)(3), levels of effectiveness checks (read in texts that
restate them): A all, C one in ten, D one in fifty, E none. 21 CFR 7.3(m), classes.
FDA guidance "Product Recalls, Including Removals and Corrections": parts of the
letter. The counts are arithmetic on these shares.
"""

from datetime import date
from decimal import Decimal

import pytest

from production.jar_balance import JarBalance
from production.recall_rules import (
    AUTHORITY_CLASSES,
    NoticeWords,
    RecalledProduct,
    RecallNotice,
    contacts_needed,
)


@pytest.mark.parametrize(("level", "count"), [("A", 7), ("C", 1), ("D", 1)])
def test_contacts_for_seven_shops(level, count):
    assert contacts_needed(level, 7) == count


@pytest.mark.parametrize(("level", "count"), [("A", 60), ("C", 6), ("D", 2), ("E", 0)])
def test_contacts_for_sixty_consignees(level, count):
    assert contacts_needed(level, 60) == count


def test_an_unknown_level_is_no_level():
    with pytest.raises(KeyError):
        contacts_needed("B", 7)


def test_classes_are_the_three_of_the_regulation():
    assert list(AUTHORITY_CLASSES) == ["I", "II", "III"]


@pytest.mark.parametrize(
    ("sold", "unaccounted", "percent"), [(11, 0, "100.00"), (10, 1, "95.83")]
)
def test_mass_balance_of_twenty_four_jars(sold, unaccounted, percent):
    """Common practice of mass-balance exercises; arithmetic by hand."""
    balance = JarBalance(
        made=Decimal(24),
        on_shelf=Decimal(9),
        sold=Decimal(sold),
        sampled=Decimal(1),
        given=Decimal(1),
        written_off=Decimal(1),
        at_outlets=Decimal(1),
    )
    assert balance.unaccounted == unaccounted
    assert balance.accounted_percent == Decimal(percent)


def notice(**more):
    words = NoticeWords(why="mould", harm="it may upset the stomach", contact="555")
    values = {
        "maker": "Test Kitchen",
        "address": ("1 Test Lane",),
        "phone": "555 0100",
        "on": date(2026, 7, 20),
        "products": (
            RecalledProduct(name="Plum jam", codes=("26196AM", "26196BP"), jars=48),
        ),
        "words": words,
        "sold_where": ("Saturday market, 18 Jul 2026",),
    }
    return RecallNotice(**(values | more))


def test_the_notice_holds_the_parts_the_guidance_asks_for():
    text = notice().as_text()
    assert text.startswith("URGENT: FOOD RECALL")
    for part in ("26196AM", "26196BP", "mould", "stomach", "bring it back", "555"):
        assert part in text
    assert "withdrawal" not in text.lower()


def test_the_class_is_never_made_up():
    assert "class" not in notice().as_text().lower()


def test_missing_words_are_named():
    assert NoticeWords(why="mould").missing == (
        "what harm it may do",
        "whom to call",
    )
