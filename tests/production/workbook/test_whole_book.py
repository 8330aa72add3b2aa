"""The whole demonstration goes out as a workbook and comes back the same."""

import json

import pytest

from tests.books import new_book

pytestmark = [pytest.mark.django_db, pytest.mark.slow]


def test_the_demonstration_comes_back_the_same(told_book, tmp_path):
    file = tmp_path / "book.xlsx"
    told_book.run("workbook", "save", file)
    empty = new_book(tmp_path / "other")
    empty.run("workbook", "load", file)
    before, after = told_book.fingerprint(), empty.fingerprint()
    names = ["balances", "costs", "drawn", "made", "sold", "status"]
    for name, one, other in zip(names, before, after, strict=True):
        assert one == other, name
    assert len(before[0]) > 300
    again = empty.run("workbook", "load", file, "--format", "json")
    tallies = json.loads(again.stdout)["sheets"].values()
    assert {(each["created"], each["changed"]) for each in tallies} == {(0, 0)}
    code = before[5][-1][0]
    traced = [
        book.run("trace_batch", code, "--format", "json").stdout
        for book in (told_book, empty)
    ]
    assert json.loads(traced[0]) == json.loads(traced[1])
