"""The pictures of the books hold every figure they are drawn from."""

import datetime
from decimal import Decimal

import pytest

from inventory.pictures import as_svg
from production.books_pictures import (
    Bar,
    PricePoint,
    draw_cap,
    draw_cost_bars,
    draw_margin_map,
    draw_prices,
    draw_season,
)
from production.costing.breakdown import Part

D = Decimal


def svg(drawing):
    return as_svg(drawing, title="A picture", description="What it shows.")


def widths(text, title):
    """Widths of the rectangles whose tool tip begins so."""
    from defusedxml.ElementTree import fromstring

    spaces = "{http://www.w3.org/2000/svg}"
    return [
        float(rect.get("width"))
        for rect in fromstring(text).iter(f"{spaces}rect")
        if (tip := rect.find(f"{spaces}title")) is not None
        and tip.text.startswith(title)
    ]


def make_bar(name="Jam", **parts):
    costs = {Part(part): D(cost) for part, cost in parts.items()}
    return Bar(name=name, parts=costs, total_text="$4.00")


def test_a_bars_parts_are_as_long_as_they_cost():
    text = svg(draw_cost_bars([make_bar(ingredients="1.00", labour="3.00")]))
    (fruit,), (time,) = widths(text, "Jam: ingredients"), widths(text, "Jam: labour")
    assert time == pytest.approx(3 * fruit, rel=1e-3)
    assert "$4.00" in text


def test_a_map_says_each_figure_and_leaves_out_what_has_none():
    cells = {(0, 0): (D("-0.2"), "-$1.00"), (0, 1): (D("0.4"), "$4.00")}
    text = svg(draw_margin_map(["Jam", "Jelly"], ["Market", "Gate"], cells))
    assert "Jam, Market: -$1.00" in text
    assert "Jam, Gate: $4.00" in text
    assert "Jelly, Market" not in text


def fill(text, title):
    before = text[: text.index(f"<title>{title}")]
    return before[before.rindex("<rect") :]


def test_a_loss_has_another_colour_than_a_gain():
    cells = {(0, 0): (D("-0.2"), "loss"), (0, 1): (D("0.4"), "gain")}
    text = svg(draw_margin_map(["Jam"], ["Market", "Gate"], cells))
    colour = [
        next(p for p in fill(text, f"Jam, {o}").split('"') if p.startswith("rgb"))
        for o in ("Market", "Gate")
    ]
    assert colour[0] != colour[1]


def test_every_purchase_is_a_dot_with_its_day_and_price():
    points = [
        PricePoint(on=datetime.date(2025, 6, 1), price=D("4.50")),
        PricePoint(on=datetime.date(2026, 6, 8), price=D("5.25")),
    ]
    text = svg(draw_prices({"Strawberries": points, "Plums": points[:1]}))
    assert "Strawberries, 01 Jun 2025: 4.50 a lb" in text
    assert "5.25 now; 4.50 to 5.25" in text
    assert ">2026<" in text.replace("\n", "")


def test_months_hold_their_jars():
    text = svg(draw_season({"Jam": [0, 3, *[0] * 9, 5]}))
    assert "Jam, Feb: 3 jars" in text
    assert "Jam, Dec: 5 jars" in text
    assert "Jam, Jan" not in text


@pytest.mark.parametrize(("sold", "estimate"), [("0.1", "0.2"), ("0.9", "1.6")])
def test_the_gauge_is_as_long_as_the_share_sold(sold, estimate):
    half = widths(svg(draw_cap(D(sold) / 2, D(estimate), text="sold")), "sold")
    whole = widths(svg(draw_cap(D(sold), D(estimate), text="sold")), "sold")
    assert whole[0] == pytest.approx(2 * half[0], rel=1e-3)


@pytest.mark.parametrize(
    "drawing",
    [
        draw_cost_bars([]),
        draw_margin_map([], [], {}),
        draw_prices({}),
        draw_season({}),
    ],
)
def test_nothing_to_draw_is_no_failure(drawing):
    assert "A picture" in svg(drawing)


def test_long_names_are_cut_or_broken():
    name = "A conserve of everything that ripened in one week of August"
    text = svg(draw_margin_map([name], [name], {(0, 0): (D(0), "0")}))
    assert "…" in text
