"""Whatever a maker writes: laid out inside, apart and large enough, or refused."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.typefaces import Face
from labels.drawing.designs import DESIGNS
from labels.drawing.layout import LabelDoesNotFitError, lay_out
from labels.drawing.typesetting import prepare
from labels.statements.label_text import Role, plain
from tests.label_texts import TEXTS
from tests.labels.drawing.test_labels_read_back import make_request

words = st.text("abcdeghilmnoprstuväéžŠ-,()", min_size=1, max_size=14)
sentences = st.lists(words, min_size=1, max_size=60).map(" ".join)


def rewritten(text, role, said):
    return replace(
        text,
        elements=tuple(
            replace(each, runs=plain(said)) if each.role is role else each
            for each in text.elements
        ),
    )


def outcome(request):
    try:
        return lay_out(request), ()
    except LabelDoesNotFitError as error:
        return None, error.misfits


@settings(max_examples=40, deadline=None)
@given(
    sentences,
    st.lists(words, min_size=1, max_size=5).map(" ".join),
    st.sampled_from(sorted(DESIGNS)),
    st.tuples(st.integers(50, 200), st.integers(35, 110)),
)
def test_a_label_holds_everything_or_names_what_it_cannot(said, name, design, size):
    text = rewritten(TEXTS["us-pear"], Role.INGREDIENTS, said)
    text = rewritten(text, Role.IDENTITY, name)
    drawing, misfits = outcome(make_request(text, design, tuple(map(float, size))))
    if drawing is None:
        assert misfits
        return
    assert {each.of for each in drawing.sizes} == {e.role.value for e in text.elements}
    assert all(each.size_pt >= each.least_pt for each in drawing.sizes)
    boxes = [item.box for item in drawing.texts]
    assert all(drawing.box.shrunk(1).contains(box) for box in boxes)
    _apart([(item.of, item.box) for item in drawing.texts])


def _apart(placed):
    for index, (of, box) in enumerate(placed):
        for other, other_box in placed[index + 1 :]:
            if of != other:
                assert not box.overlaps(other_box)


@settings(max_examples=60, deadline=None)
@given(sentences, st.integers(10, 120), st.floats(5, 30))
def test_lines_say_the_words_in_order_and_keep_to_the_width(said, width, size):
    paragraph = prepare(plain(said), face=Face.REGULAR, emphasis=Face.BOLD)
    lines = paragraph.lines(width_mm=width, size_pt=size)
    assert " ".join(line.text for line in lines).split() == said.split()
    balanced = paragraph.balanced_lines(width_mm=width, size_pt=size)
    assert len(balanced) == len(lines)
    assert len(lines) == paragraph.count_lines(width_mm=width, size_pt=size)
    em_mm = size * 25.4 / 72
    for line in lines:
        assert line.width_em * em_mm <= width + 0.01 or " " not in line.text


def test_a_figure_stays_with_its_unit():
    runs = plain("Net Wt 10 oz (283 g)")
    paragraph = prepare(runs, face=Face.REGULAR, emphasis=Face.BOLD)
    lines = paragraph.lines(width_mm=1, size_pt=10)
    assert [line.text for line in lines] == ["Net", "Wt", "10 oz", "(283 g)"]


def test_the_names_in_two_languages_stand_on_lines_of_their_own():
    runs = plain("Plum Jam / Confiture de prunes")
    paragraph = prepare(runs, face=Face.BOLD, emphasis=Face.BOLD, ends_at="/")
    lines = paragraph.balanced_lines(width_mm=200, size_pt=10)
    assert [line.text for line in lines] == ["Plum Jam /", "Confiture de prunes"]
