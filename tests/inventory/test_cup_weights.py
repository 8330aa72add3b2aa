"""What a cup weighs, typed a form a line and written again."""

import pytest

from inventory.cup_weights import read_cups, write_cups
from inventory.measure_reader import MeasureError
from inventory.measure_setting import figures_in


@pytest.mark.parametrize("system", ["us", "metric"])
def test_cups_written_are_read_back_the_same(system):
    weights = {"sliced": "166", "": "200.5", "whole, pitted": "155"}
    with figures_in(system):
        assert read_cups(write_cups(weights)) == weights


def test_a_weight_alone_is_in_the_sellers_unit():
    with figures_in("metric"):
        assert read_cups("sliced 166") == {"sliced": "166"}
    with figures_in("us"):
        assert read_cups("sliced 6") == {"sliced": "170.1"}
        assert read_cups("sliced 166 g") == {"sliced": "166"}


@pytest.mark.parametrize("line", ["sliced", "sliced 0 g", "sliced 3 miles", "1/0 g"])
def test_a_line_without_a_weight_is_refused_with_an_example(line):
    with pytest.raises(MeasureError, match="sliced 166 g"):
        read_cups(line)
