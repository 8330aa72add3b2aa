"""Names that usually mean an allergen nobody has marked.

A slip of entry must not reach a jar: a material called butter without a mark
for milk is asked about. Only the careful side: nothing is ever unmarked here.
Which food usually holds what is common practice, not law.
"""

import re
from collections.abc import Iterator

from inventory.words import say, to_say
from labels.rules.general import REGIMES
from labels.rules.rule import EVERYWHERE, Finding, LabelToCheck, rule
from labels.statements.allergens import (
    AllergenMark,
    AllergenRegime,
    all_allergens,
    allergen,
    names_source,
)
from labels.statements.ingredients import Substance, opened

__all__ = ["usual_marks"]

USUAL = (
    (r"butter|cream|cheese|yogh?urt|whey|casein\w*|ghee|custard", ("milk",)),
    (r"mayonnaise|meringue|albumen|curd", ("egg",)),
    (r"worcestershire|anchov\w+|fish sauce", ("fish",)),
    (r"shrimps?|prawns?|crab|lobster|crayfish", ("crustacean",)),
    (r"oysters?|clams?|mussels?|squid|scallops?", ("mollusc",)),
    (r"marzipan|amaretto|frangipane", ("almond",)),
    (r"tahini|halva|benne", ("sesame",)),
    (r"soy sauce|shoyu", ("soy", "wheat")),
    (r"miso|tofu|tempeh|tamari|edamame|lecithin", ("soy",)),
    (r"flour|semolina|breadcrumbs?|couscous|bulgur", ("wheat",)),
    (r"malt|malt vinegar|beer|ale|stout", ("barley",)),
    (r"piccalilli|curry powder|dijon", ("mustard",)),
    (r"celeriac|celery salt", ("celery",)),
    (
        r"wine|cider|dried apricots?|golden raisins?|candied \w+|glac[eé] \w+",
        ("sulphites",),
    ),
)
NOT_WHAT_THEY_SAY = (
    (
        r"apple|pear|plum|peach|pumpkin|fruit|cocoa|shea|almond|cashew|peanut|nut",
        "butter",
    ),
    (r"coconut|almond|oat|soy|rice", "milk|cream"),
    (r"buckwheat|rice|corn|maize|potato|tapioca|chickpea", "flour"),
    (r"", "buckwheat|cream of tartar|cream soda|ginger (?:ale|beer)|water chestnuts?"),
    (r"", "(?:wine|cider) vinegar|sunflower lecithin"),
)
"""Words before a name, which stay, and the name that means something else."""


def _without_lookalikes(name: str) -> str:
    for before, meant in NOT_WHAT_THEY_SAY:
        pattern = rf"\b({before})\s*\b(?:{meant})\b"
        name = re.sub(pattern, r"\1 ", name, flags=re.IGNORECASE)
    return name


def usual_marks(name: str, regime: AllergenRegime) -> tuple[AllergenMark, ...]:
    """Return the allergens a name usually stands for, as a regime lists them."""
    plain = _without_lookalikes(name)
    codes: dict[str, None] = {}
    for pattern, usual in USUAL:
        if re.search(rf"\b(?:{pattern})\b", plain, re.IGNORECASE):
            codes.update(dict.fromkeys(usual))
    for code in all_allergens():
        if names_source(plain, AllergenMark(code), regime):
            codes[code] = None
    marks = tuple(AllergenMark(code) for code in codes)
    return tuple(mark for mark in marks if allergen(mark).word(regime))


def _is_marked(substance: Substance, mark: AllergenMark) -> bool:
    """Whether the same source is marked, under any of its codes."""
    known = {found.code for found in substance.all_allergens}
    same = {
        row.code
        for row in all_allergens().values()
        if set(row.match) & set(allergen(mark).match)
    }
    return bool(known & (same | {mark.code}))


@rule(
    "ALLERGEN-NAMES",
    to_say("No ingredient is called after an allergen it is not marked with"),
    citation="common practice",
    where=EVERYWHERE,
)
def names_speak_of_allergens(label: LabelToCheck) -> Iterator[Finding]:
    """Butter, soy sauce, marzipan, wine: the usual source, asked about."""
    regime = REGIMES[label.built.jurisdiction]
    found: dict[tuple[str, str], str] = {}
    for line in opened(label.built.given.recipe.ingredients):
        for substance in line.substance.walk():
            for mark in _unmarked(substance, regime):
                found[substance.name, mark.code] = allergen(mark).word(regime).lower()
    for (name, _), word in found.items():
        yield Finding(
            what=say(
                '"{name}" usually holds {word}, and none is marked',
                name=name,
                word=word,
            ),
            where=say("materials"),
            mend=say(
                'mark "{name}" with {word}, or make sure from its label that it '
                "holds none",
                name=name,
                word=word,
            ),
            asks=True,
        )


def _unmarked(substance: Substance, regime: AllergenRegime) -> Iterator[AllergenMark]:
    for mark in usual_marks(substance.name, regime):
        is_measured = mark.code == "sulphites" and substance.sulphite_ppm is not None
        if not is_measured and not _is_marked(substance, mark):
            yield mark
