"""Names under Codex, the European directive, the UK texts and Canada."""

from dataclasses import replace
from decimal import Decimal

import pytest

from production.science.batch_lines import line_of_grams
from production.science.identity import (
    FruitPart,
    IdentityInput,
    NameVerdict,
    fruits,
    minimum,
)
from production.science.identity_abroad import (
    canada_names,
    codex_names,
    eu_names,
    uk_names,
)
from production.science.kinds import ProductKind
from production.science.span import Span

EARNED, NOT, ASK = NameVerdict.EARNED, NameVerdict.NOT_EARNED, NameVerdict.ASK


def product(kind, parts, *, solids="65", pectin=False, finished=1000):
    """Fruits in grams per ``finished`` grams of product, everything measured."""
    return IdentityInput(
        kind=kind,
        parts=tuple(
            FruitPart(
                fruit=fruits()[name],
                grams=Decimal(str(grams)),
                solids_g=Span.exactly(Decimal(0)),
                is_citrus=name in {"orange", "lemon"},
            )
            for name, grams in parts
        ),
        sweetener_g=Decimal(550),
        finished_g=Span.exactly(Decimal(finished)),
        solids=Span.exactly(Decimal(solids) / 100),
        pectin_added=pectin,
        measured_solids=True,
    )


def verdicts(answers):
    return [answer.verdict for answer in answers]


JAM = ProductKind.JAM
EU = [
    # Directive 2001/113/EC with the figures of Directive (EU) 2024/1438, from 14 June
    # 2026 (as transposed in Real Decreto 863/2003): jam, extra jam.
    ([("strawberry", 400)], [NOT, NOT]),
    ([("strawberry", 450)], [EARNED, NOT]),
    ([("strawberry", 499.9)], [EARNED, NOT]),
    ([("strawberry", 500)], [EARNED, EARNED]),
    ([("black currant", 350)], [EARNED, NOT]),
    ([("black currant", 450)], [EARNED, EARNED]),
    ([("ginger root", 170)], [NOT, NOT]),
    ([("passion fruit", 70)], [NOT, NOT]),
    ([("passion fruit", 80)], [EARNED, NOT]),
    # Annex I: 60 % blackcurrant, 40 % apple asks 390; apple is not mixed in extra jam.
    ([("black currant", 234), ("apple", 156)], [EARNED, NOT]),
    ([("black currant", 360), ("apple", 240)], [EARNED, NOT]),
    ([("apple", 500)], [EARNED, EARNED]),
]
UK = [
    # SI 2003/3120, WSI 2018/274, SR 2018/78: the figures until 13 June 2026.
    ([("strawberry", 400)], [EARNED, NOT]),
    ([("strawberry", 450)], [EARNED, EARNED]),
    ([("black currant", 250)], [EARNED, NOT]),
    ([("ginger root", 170)], [EARNED, NOT]),
    ([("passion fruit", 70)], [EARNED, NOT]),
    ([("black currant", 174), ("apple", 116)], [EARNED, NOT]),
]


@pytest.mark.parametrize(("parts", "expected"), EU)
def test_fruit_content_in_the_european_union(parts, expected):
    assert verdicts(eu_names(product(JAM, parts))) == expected


@pytest.mark.parametrize(("parts", "expected"), UK)
def test_fruit_content_in_the_united_kingdom(parts, expected):
    assert verdicts(uk_names(product(JAM, parts))) == expected


def test_a_mixture_s_minimum_is_weighted():
    mixed = product(JAM, [("black currant", 60), ("apple", 40)])
    older = minimum("eu_until_2026", mixed, column=0, of=lambda fruit: fruit.eu)
    newer = minimum("eu_from_2026", mixed, column=0, of=lambda fruit: fruit.eu)
    assert (older, newer) == (290, 390)


@pytest.mark.parametrize(("solids", "expected"), [("60.0", EARNED), ("59.9", NOT)])
def test_sixty_percent_soluble_solids(solids, expected):
    # Directive 2001/113/EC, annex I.II
    assert (
        eu_names(product(JAM, [("strawberry", 600)], solids=solids))[0].verdict
        is expected
    )


def test_citrus_marmalade_is_200_grams_of_citrus():
    marmalade = ProductKind.MARMALADE
    assert eu_names(product(marmalade, [("orange", 199)]))[0].verdict is NOT
    found = eu_names(product(marmalade, [("orange", 300)]))[0]
    assert (found.verdict, found.name) == (EARNED, "Orange citrus marmalade")


def test_marmalade_of_much_peel_asks_for_a_weighing():
    # Annex I.I: 75 g of the 200 must come from the endocarp.
    asked = product(ProductKind.MARMALADE, [("orange", 230)])
    peel, pulp = (
        FruitPart(
            fruit=fruits()["orange"],
            grams=Decimal(grams),
            solids_g=Span.exactly(Decimal(0)),
            is_citrus=True,
            is_peel=is_peel,
        )
        for grams, is_peel in ((150, True), (80, False))
    )
    found = eu_names(replace(asked, parts=(peel, pulp)))[0]
    assert found.verdict is NameVerdict.MEASURE
    assert "weigh the peel" in found.missing[0]


def test_jelly_asks_for_the_water_of_the_extract():
    # Annex I.I: after deducting the water used to make the extract.
    found = eu_names(product(ProductKind.JELLY, [("apple", 600)]))[0]
    assert "water in the extract" in found.missing[-1]


CANADA = [
    # Former FDR B.11.201, .202, .220, .224, .240, .241, as kept in volume 10 of the
    # Canadian Food Compositional Standards.
    (JAM, [("strawberry", 439)], "66", False, NOT),
    (JAM, [("strawberry", 454)], "66", False, EARNED),
    (JAM, [("strawberry", 454)], "65.5", False, NOT),
    (JAM, [("strawberry", 270)], "66", True, EARNED),
    (JAM, [("strawberry", 269)], "66", True, NOT),
    (JAM, [("apple", 500)], "66", False, NOT),
    (ProductKind.MARMALADE, [("orange", 300)], "65.5", False, EARNED),
    (ProductKind.MARMALADE, [("orange", 300)], "64.9", False, NOT),
    (ProductKind.MARMALADE, [("orange", 260)], "65.5", True, NOT),
    (ProductKind.JELLY, [("strawberry", 500)], "61.9", False, NOT),
    (ProductKind.JELLY, [("strawberry", 310)], "62", True, NOT),
    (ProductKind.PRESERVES, [("strawberry", 450)], "60", False, EARNED),
    (ProductKind.PRESERVES, [("strawberry", 449)], "60", False, NOT),
]


@pytest.mark.parametrize(("kind", "parts", "solids", "pectin", "expected"), CANADA)
def test_canadian_names(kind, parts, solids, pectin, expected):
    found = canada_names(product(kind, parts, solids=solids, pectin=pectin))[0]
    assert found.verdict is expected


def test_pectin_changes_the_canadian_name():
    found = canada_names(product(JAM, [("strawberry", 300)], solids="66", pectin=True))[
        0
    ]
    assert found.name == "Strawberry Jam with Pectin"


def test_codex_has_two_sets_and_may_only_warn():
    # CXS 296-2009, 3.1.2 (from memory): 45 %, or 35 % where the country says so.
    assert verdicts(codex_names(product(JAM, [("strawberry", 400)]))) == [ASK, EARNED]
    assert verdicts(codex_names(product(JAM, [("strawberry", 300)]))) == [ASK, ASK]


def test_two_and_three_fruits_are_named_by_the_directive():
    two = eu_names(product(JAM, [("raspberry", 500), ("red currant", 300)]))[0]
    assert two.name == "Raspberry and currant Jam"
    three = eu_names(
        product(JAM, [("strawberry", 300), ("raspberry", 200), ("blackberry", 100)])
    )
    assert three[0].name == "Mixed Fruit Jam"


@pytest.mark.parametrize("names", [codex_names, eu_names, uk_names, canada_names])
def test_what_the_standards_do_not_know_is_asked(names):
    assert names(product(ProductKind.CHUTNEY, [("mango", 500)]))[0].verdict is ASK


def test_an_unweighed_batch_near_the_edge_is_measured():
    asked = product(JAM, [("strawberry", 460)])
    loose = IdentityInput(
        kind=asked.kind,
        parts=asked.parts,
        sweetener_g=asked.sweetener_g,
        finished_g=Span(low=Decimal(950), likely=Decimal(1000), high=Decimal(1050)),
        solids=Span.exactly(Decimal("0.66")),
    )
    found = eu_names(loose)[0]
    assert found.verdict is NameVerdict.MEASURE
    assert "weight of the finished batch" in found.missing[0]


def test_fruit_grams_come_from_the_lines():
    assert line_of_grams("strawberry", Decimal(400)).grams == 400
