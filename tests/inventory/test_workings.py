"""The sums behind best-by dates and kitchen measures, and the tag that shows a sum."""

import datetime
from decimal import Decimal

import pytest
from django.template import Context, Template

from inventory.measure_setting import figures_in
from inventory.quantities import MaterialMeasures
from inventory.workings import conversions, kept_until

DAY = datetime.date(2026, 6, 10)
US_CUP_ML = Decimal("236.588")
"""NIST SP 811, appendix B.8: 1 cup (U.S.) = 236.5882 ml."""


@pytest.mark.parametrize(
    ("best_by", "facts", "expected"),
    [
        ("2026-06-13", {"days": 3}, "10 Jun 2026 + 3 days = 13 Jun 2026"),
        ("2027-06-10", {"months": 12}, "10 Jun 2026 + 12 months = 10 Jun 2027"),
        ("2026-06-20", {"days": 3}, "20 Jun 2026, as it was entered"),
        ("2026-06-20", {}, "20 Jun 2026, as it was entered"),
    ],
)
def test_a_best_by_shows_its_sum_or_that_it_was_entered(best_by, facts, expected):
    found = kept_until(
        best_by=datetime.date.fromisoformat(best_by), begins_on=DAY, **facts
    )
    assert found.formula == expected
    assert found.source


def test_a_cup_is_its_volume_times_the_density():
    honey = MaterialMeasures(name="Honey", density_g_per_ml=Decimal("1.42"))
    with figures_in("metric"):
        lines = conversions(honey)
    assert lines[0].startswith(f"1 cup = {US_CUP_ML} ml × 1.42 g/ml = 336 g")
    assert len(lines) == 3
    with figures_in("us"):
        assert conversions(honey)[0].startswith(
            "1 cup = 1 cup × 11.85 oz/cup = 11.9 oz"
        )


def test_measures_of_its_own_stand_as_they_were_entered():
    plums = MaterialMeasures(
        name="Plums", named_g={"cup": Decimal(170), "box": Decimal(900)}
    )
    with figures_in("metric"):
        lines = conversions(plums)
    assert lines[0] == "1 cup = 170 g"
    assert lines[-1] == "1 box = 900 g"


def test_without_measures_nothing_is_said():
    assert conversions(MaterialMeasures(name="Plums")) == []


def shown(text, **context):
    return Template("{% load inventory_why %}" + text).render(Context(context))


def test_a_why_is_a_disclosure_with_its_sum_and_source():
    html = shown('{% why of="jars" source=source %}2 + 3 = 5{% endwhy %}', source="<A>")
    assert html.startswith('<details class="why"><summary>')
    assert "2 + 3 = 5" in html
    assert "&lt;A&gt;" in html


def test_a_sum_without_a_source_is_common_practice():
    assert "common practice" in shown("{% why %}2 + 3 = 5{% endwhy %}")
