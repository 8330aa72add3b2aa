import pytest

from production.counts import CountError, read_counts

NAMES = {
    "strawberry-half-pint": ["strawberry-half-pint", "Strawberry jam"],
    "apple-butter-half-pint": ["apple-butter-half-pint", "Apple butter"],
    "peach-half-pint": ["peach-half-pint", "Peach preserve"],
    "peach-4-oz": ["peach-4-oz", "Peach preserve"],
}


@pytest.mark.parametrize(
    "line",
    [
        "strawberry jam 3",
        "Strawberry jam: 3",
        "- strawberry jam, 3 jars",
        "3 strawberry jam",
        "3 x Strawberry jam",
        "3 jars of strawberry jam",
        "strawberry-half-pint\t3",
        "strawberry 3",
    ],
)
def test_a_line_is_read_as_a_person_writes_it(line):
    (read,) = read_counts(line, names=NAMES)
    assert (read.key, read.jars) == ("strawberry-half-pint", 3)


def test_empty_lines_are_passed_over():
    text = "\nstrawberry jam 3\n\napple butter 0\n"
    assert [each.jars for each in read_counts(text, names=NAMES)] == [3, 0]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("strawberry jam", "no number"),
        ("gooseberry jam 3", "not taken"),
        ("peach preserve 2", "may be"),
        ("strawberry jam 3\nstrawberry jam 1", "already"),
    ],
)
def test_a_doubtful_line_is_asked_back(text, said):
    with pytest.raises(CountError, match=said):
        read_counts(text, names=NAMES)
