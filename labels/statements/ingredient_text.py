"""The words of an ingredient list: brackets, capitals, allergens, additives."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from labels.statements.allergens import (
    AllergenMark,
    AllergenRegime,
    allergen,
    declared_in,
    names_source,
    source_word,
)
from labels.statements.entries import Entry
from labels.statements.ingredient_list import IngredientList
from labels.statements.ingredients import Nature
from labels.statements.label_text import Run, emphasised

__all__ = ["ListWords", "ingredient_runs", "threshold_text"]

Pieces = list[tuple[str, bool]]
BRACKETS = (("(", ")"), ("[", "]"))
MIXTURES = frozenset({Nature.SPICE, Nature.FLAVOURING})


@dataclass(frozen=True, slots=True, kw_only=True)
class ListWords:
    """How one place words its list.

    Attributes:
        regime: whose words name the allergens.
        heading: what stands before the list, with its colon and space.
        heading_emphasis: the heading is set apart by type.
        language: which of an ingredient's names is printed; "" for the first.
        capital_entries: entries begin with a capital.
        emphasise: allergens are set apart by type inside the list.
        annotate: source names stand in the list even when another statement
            gives them; only sulphites otherwise.
        additive: from (class, name), what stands for an additive and what
            follows in its brackets; ``None`` for the name alone.
        closing: phrase before small amounts, with ``{}`` for the percentage.
        full_stop: the list ends with a full stop.
    """

    regime: AllergenRegime
    heading: str
    heading_emphasis: bool = False
    language: str = ""
    capital_entries: bool = False
    emphasise: bool = False
    annotate: bool = False
    additive: Callable[[str, str], tuple[str, str]] | None = None
    closing: str = "Contains {}% or less of: "
    full_stop: bool = False


def threshold_text(entries: IngredientList) -> str:
    """Return the percentage of the closing phrase without needless zeros."""
    return f"{entries.threshold.normalize():f}"


def ingredient_runs(entries: IngredientList, words: ListWords) -> tuple[Run, ...]:
    """Return the ingredient statement as runs of text.

    Args:
        entries: the ordered list.
        words: how the place words it.

    Returns:
        Heading and list, allergens emphasised where the place asks for it.
    """
    pieces: Pieces = [(words.heading, words.heading_emphasis)]
    pieces += _joined([_entry(entry, words, 0) for entry in entries.entries])
    if entries.minor:
        pieces.append((", " + words.closing.format(threshold_text(entries)), False))
        pieces += _joined([_entry(entry, words, 0) for entry in entries.minor])
    if words.full_stop:
        pieces.append((".", False))
    return emphasised(pieces)


def _joined(items: Iterable[Pieces]) -> Pieces:
    result: Pieces = []
    for item in items:
        if result:
            result.append((", ", False))
        result += item
    return result


def printed_name(entry: Entry, language: str) -> str:
    """Return the name of an entry in a language, or its first name."""
    if entry.group_name:
        return entry.group_name
    return entry.substance.name_in(language) or entry.substance.name


def _entry(entry: Entry, words: ListWords, depth: int) -> Pieces:
    name, more = printed_name(entry, words.language), ""
    additive_class = entry.substance.additive_class
    if words.additive and additive_class:
        name, more = words.additive(additive_class, name)
    if words.capital_entries and depth == 0:
        name = name[:1].upper() + name[1:]
    marks = declared_in(entry.marks, words.regime)
    pieces = _name_pieces(name, marks, words)
    behind = [_name_pieces(more, marks, words)] if more else []
    behind += [_entry(part, words, depth + 1) for part in entry.parts]
    behind += _sources(entry, f"{name} {more}", marks, words)
    if not behind:
        return pieces
    opening, closing = BRACKETS[depth % 2]
    return [*pieces, (f" {opening}", False), *_joined(behind), (closing, False)]


def _name_pieces(name: str, marks: Sequence[AllergenMark], words: ListWords) -> Pieces:
    """Return the name, the words that name an allergen source set apart."""
    if not words.emphasise:
        return [(name, False)]
    spans = sorted(
        found.span()
        for mark in marks
        if (found := names_source(name, mark, words.regime))
    )
    pieces, at = [], 0
    for start, end in spans:
        if start >= at:
            pieces += [(name[at:start], False), (name[start:end], True)]
            at = end
    return [*pieces, (name[at:], False)]


def _sources(
    entry: Entry, name: str, marks: Sequence[AllergenMark], words: ListWords
) -> list[Pieces]:
    """Return the source names that the entry's own name does not give."""
    missing = [
        mark
        for mark in marks
        if (words.annotate or allergen(mark).group == "sulphites")
        and not names_source(name, mark, words.regime)
    ]
    texts = dict.fromkeys(source_word(mark, words.regime) for mark in missing)
    contains = entry.substance.nature in MIXTURES or entry.parts
    lead = [("contains ", False)] if contains else []
    return [[*lead, (_in_list(text, words), words.emphasise)] for text in texts if text]


def _in_list(word: str, words: ListWords) -> str:
    """Inside a list a source name stands in lower case, save a place's name."""
    if words.regime in (AllergenRegime.EU, AllergenRegime.ANZ):
        return word
    return word[:1].lower() + word[1:]
