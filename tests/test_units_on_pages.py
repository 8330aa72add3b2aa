"""Every page and paper of the demonstration, at both settings of the units."""

import pytest

from tests import units_shown
from tests.browser import every_page
from tests.units_shown import lines_of, strange


@pytest.fixture(scope="module")
def shown(told_book):
    return units_shown.shown(told_book)


@pytest.mark.parametrize("system", ["us", "metric"])
def test_every_page_and_paper_answers(shown, system):
    assert [
        (name, status)
        for name, (status, _, _) in shown[system].items()
        if status not in {200, 302, 405}
    ] == []
    read = {name for name, (status, _, _) in shown[system].items() if status == 200}
    assert len(read & set(every_page.NAMES)) > 120
    assert read >= {*units_shown.PAPERS, *units_shown.AS_PAPER}


@pytest.mark.parametrize("system", ["us", "metric"])
def test_no_figure_stands_in_the_other_settings_units(shown, system):
    found = {
        f"{name}: {line}"
        for name, (_, kind, text) in shown[system].items()
        for line in lines_of(kind, text)
        if strange(line, system, name)
    }
    assert sorted(found) == []


def test_both_settings_show_their_own_units(shown):
    words = {
        system: "\n".join(
            line for _, kind, text in pages.values() for line in lines_of(kind, text)
        )
        for system, pages in shown.items()
    }
    assert "8.5 in × 11 in" in words["us"]
    assert "215.9 mm × 279.4 mm" in words["metric"]
    for mark in ("Altitude (ft)", "a lb", " oz", " °F (", "(sq in)", "qt"):
        assert mark in words["us"], mark
        assert mark in ("a lb", " oz") or mark not in words["metric"], mark
    for mark in ("Altitude (m)", "(a kg)", " kg", " °C (", "(cm²)", "(g/ml)"):
        assert mark in words["metric"], mark


@pytest.mark.parametrize(
    ("line", "system", "is_strange"),
    [
        ("Water boils at 98.5 °C", "us", True),
        ("Water boils at 209.3 °F (98.5 °C)", "us", False),
        ("Water boils at 209.3 °F", "metric", True),
        ("Water boils at 98.5 °C (209.3 °F)", "metric", False),
        ("2 lb 4 oz of sugar", "metric", True),
        ("Altitude (ft):", "metric", True),
        ("leave 1/4 in.", "metric", True),
        ("3 in the pantry, 18:08 in the pot", "metric", False),
        ("1.02 kg of sugar", "us", True),
        ("4.3 g of pectin", "us", False),
        ("43 g of pectin", "us", True),
        ("Fill (g)", "us", True),
        ("price (a kg)", "us", True),
        ("Diameter mm (in):", "us", True),
        ("Net Wt 9.75 oz (276 g)", "metric", False),
        ("Net Wt 9.75 oz (276 g), 2 lb", "metric", True),
        ("21 CFR 7.3(m), 7.41", "us", False),
    ],
)
def test_the_search_sees_units_and_spares_what_stays(line, system, is_strange):
    assert bool(strange(line, system)) is is_strange
