"""Rules every label meets, whatever the place."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise

from inventory.words import say, to_say
from labels.rules.citations import cited
from labels.rules.rule import Finding, LabelToCheck, Severity, rule
from labels.statements.allergens import (
    AllergenMark,
    AllergenRegime,
    declared_in,
    names_source,
    source_word,
)
from labels.statements.claims import ClaimFacts, Verdict, claims_in
from labels.statements.ingredients import Nature, Substance, opened
from labels.statements.label_input import Jurisdiction
from labels.statements.label_text import Role

REGIMES = {
    Jurisdiction.US: AllergenRegime.US,
    Jurisdiction.EU: AllergenRegime.EU,
    Jurisdiction.UK: AllergenRegime.EU,
    Jurisdiction.CODEX: AllergenRegime.EU,
    Jurisdiction.CA: AllergenRegime.CA,
    Jurisdiction.AU: AllergenRegime.ANZ,
    Jurisdiction.NZ: AllergenRegime.ANZ,
}


def _missing(
    label: LabelToCheck, role: Role, what: str, mend: str
) -> Iterator[Finding]:
    if label.built.text.first(role) is None:
        yield Finding(what=what, where=say("label"), mend=mend)


@rule(
    "NAME",
    to_say("The label names the food"),
    citation=cited("21 CFR 101.3", "Arts. 9(1)(a), 17", "B.01.006", "1.2.2", "4.1"),
)
def name_of_the_food(label: LabelToCheck) -> Iterator[Finding]:
    """The name stands on the label."""
    yield from _missing(
        label,
        Role.IDENTITY,
        say("the name of the food is missing"),
        say("enter the name of the food on the recipe"),
    )


@rule(
    "QUANTITY",
    to_say("The label gives the net quantity"),
    citation=cited("21 CFR 101.7", "Arts. 9(1)(e), 23", "SFCR 221", "1.2.1", "4.3"),
)
def net_quantity(label: LabelToCheck) -> Iterator[Finding]:
    """The net quantity stands on the label."""
    yield from _missing(
        label,
        Role.NET_QUANTITY,
        say("the net quantity is missing"),
        say("enter the declared net weight on the product"),
    )


@rule(
    "INGREDIENTS",
    to_say("The label lists the ingredients"),
    citation=cited("21 CFR 101.4", "Arts. 9(1)(b), 18", "B.01.008", "1.2.4", "4.2.1"),
)
def ingredient_list(label: LabelToCheck) -> Iterator[Finding]:
    """A list stands on the label."""
    yield from _missing(
        label,
        Role.INGREDIENTS,
        say("the ingredient list is missing"),
        say("enter the recipe's lines"),
    )


@rule(
    "ORDER",
    to_say("Ingredients stand in descending order of weight as used"),
    citation=cited(
        "21 CFR 101.4(a)(1)", "Art. 18(1)", "B.01.008.2(3)(a)", "1.2.4", "4.2.1.2"
    ),
)
def descending_order(label: LabelToCheck) -> Iterator[Finding]:
    """Weighs the recipe's own lines again, apart from the list made from them.

    Passed over: water and spirits, which stand by what is left of them; groups,
    which stand by their sum; and names that more than one thing goes by.
    """
    used_g = _plain_weights(label)
    entries = label.built.ingredient_list
    for group in (entries.entries, entries.minor):
        names = [e.name for e in group if e.name.casefold() in used_g]
        for first, second in pairwise(names):
            if used_g[second.casefold()] > used_g[first.casefold()]:
                yield Finding(
                    what=say(
                        '"{second}" weighs more than "{first}" before it',
                        second=second,
                        first=first,
                    ),
                    where=say("ingredient list"),
                    mend=say("have the list written again from the recipe"),
                )


def _plain_weights(label: LabelToCheck) -> dict[str, Decimal]:
    """Return grams by name, of names that stand for one thing in one place."""
    used_g: defaultdict[str, Decimal] = defaultdict(Decimal)
    inside: set[str] = set()
    for line in opened(label.built.given.recipe.ingredients):
        name, *parts = (found.name.casefold() for found in line.substance.walk())
        inside |= set(parts)
        if line.substance.nature in (Nature.WATER, Nature.ALCOHOL):
            inside.add(name)
        used_g[name] += line.mass_g
    entries = label.built.ingredient_list
    listed = Counter(
        named.name.casefold()
        for entry in entries.everything
        for named in (entry.parts if entry.group_name else (entry,))
    )
    left_out = {left.name.casefold() for left in entries.left_out}
    return {
        name: grams
        for name, grams in used_g.items()
        if listed[name] == 1 and name not in inside | left_out
    }


@rule(
    "NAMES-ALL",
    to_say("Every ingredient is named or left out with a reason"),
    citation=cited("21 CFR 101.4, 101.100", "Arts. 18, 20", "B.01.008", "1.2.4", "4.2"),
)
def nothing_forgotten(label: LabelToCheck) -> Iterator[Finding]:
    """Each line of the recipe is in the list or on the list of what was left out."""
    elements = label.built.text.of(Role.INGREDIENTS)
    words = "\n".join(element.text for element in elements).casefold()
    excused = {left.name.casefold() for left in label.built.ingredient_list.left_out}
    for line in opened(label.built.given.recipe.ingredients):
        if not _is_accounted_for(line.substance, words, excused):
            shown = line.substance.name
            yield Finding(
                what=say(
                    '"{shown}" was used and is neither named nor excused', shown=shown
                ),
                where=say("ingredient list"),
                mend=say('put "{shown}" into the list', shown=shown),
            )


def _is_accounted_for(substance: Substance, words: str, excused: set[str]) -> bool:
    """Whether a substance, or all it is made of, is named or excused."""
    name = substance.name.casefold()
    if name in words or name in excused or f"sulphites of {name}" in excused:
        return True
    parts = [part.substance for part in substance.parts]
    return bool(parts) and all(
        _is_accounted_for(part, words, excused) for part in parts
    )


@rule(
    "ALLERGENS",
    to_say("Every allergen of every part of the recipe is on the label"),
    citation=cited("21 USC 343(w)", "Art. 21", "B.01.010.1", "1.2.3", "4.2.1.4"),
)
def allergens_declared(label: LabelToCheck) -> Iterator[Finding]:
    """Looks at the recipe itself, not at the list made from it."""
    regime = REGIMES[label.built.jurisdiction]
    marks: set[AllergenMark] = set()
    for line in opened(label.built.given.recipe.ingredients):
        marks |= line.substance.all_allergens
    roles = (Role.INGREDIENTS, Role.ALLERGENS)
    words = "\n".join(
        element.text for element in label.built.text.elements if element.role in roles
    )
    sulphites_named = label.built.ingredient_list.sulphite
    for mark in declared_in(marks, regime):
        if mark.code == "sulphites" and mark not in label.built.ingredient_list.marks:
            if sulphites_named.unknown:
                yield _undeclared(source_word(mark, regime))
        elif not _is_named(words, mark, regime):
            yield _undeclared(source_word(mark, regime))


def _is_named(words: str, mark: AllergenMark, regime: AllergenRegime) -> bool:
    if source_word(mark, regime).casefold() in words.casefold():
        return True
    return bool(names_source(words, mark, regime)) and not mark.species


def _undeclared(word: str) -> Finding:
    return Finding(
        what=say("{word} is in the recipe and not on the label", word=word),
        where=say("ingredient list and allergen statement"),
        mend=say("do not print; have the label written again and report the fault"),
    )


@rule(
    "SULPHITES",
    to_say("Sulphites near the limit are measured, not guessed"),
    citation=cited(
        "21 CFR 101.100(a)(4)", "Annex II.12", "B.01.010.2", "1.2.3", "4.2.1.4"
    ),
    severity=Severity.NOTE,
)
def sulphites_near_the_limit(label: LabelToCheck) -> Iterator[Finding]:
    """Between 8 and 10 mg/kg an estimate should be tested (working rule)."""
    found = label.built.ingredient_list.sulphite
    if not found.measured and 8 <= found.ppm <= 10:
        yield Finding(
            what=say(
                "sulphites are estimated at {ppm:.1f} mg/kg, near the limit of 10",
                ppm=found.ppm,
            ),
            where=say("ingredient list"),
            mend=say("have the finished food tested, or declare them"),
            asks=True,
        )


@rule(
    "PRODUCER",
    to_say("The label says who answers for the jar"),
    citation=cited("21 CFR 101.5", "Art. 9(1)(h)", "B.01.007(1.1)", "1.2.2", "4.4"),
)
def producer_named(label: LabelToCheck) -> Iterator[Finding]:
    """Name, and an address or what the place lets stand for it."""
    maker = label.built.given.producer
    if not maker.name:
        yield Finding(
            what=say("the name of the business is missing"),
            where=say("name and place of business"),
            mend=say("enter it under the business' facts"),
        )
    if not maker.address and not maker.number_replaces_address:
        yield Finding(
            what=say("the address is missing"),
            where=say("name and place of business"),
            mend=say("enter street, town and postal code under the business' facts"),
        )


@rule(
    "BATCH",
    to_say("The label carries the batch code"),
    citation="Directive 2011/91/EU Arts. 3, 5; Safe Food for Canadians Regulations "
    "92; elsewhere common practice",
    severity=Severity.SHOULD,
)
def batch_code(label: LabelToCheck) -> Iterator[Finding]:
    """Without it a jar cannot be traced."""
    yield from _missing(
        label,
        Role.BATCH_CODE,
        say("no batch code: a jar could not be traced"),
        say("print from a batch rather than from the product"),
    )


@rule(
    "DATES",
    to_say("The date promised lies after the day it was made"),
    citation="common practice",
)
def dates_in_order(label: LabelToCheck) -> Iterator[Finding]:
    """A best-before day before the cook day is a slip."""
    given = label.built.given
    if given.made_on and given.best_before_on and given.best_before_on <= given.made_on:
        yield Finding(
            what=say(
                "best before {best_before_on} is not after {made_on}",
                best_before_on=given.best_before_on,
                made_on=given.made_on,
            ),
            where=say("date"),
            mend=say("correct the keeping time of the product"),
        )


@rule(
    "CLAIMS",
    to_say("No words on the label claim what they may not"),
    citation="21 CFR 101.13, 101.54-101.65, 101.95; Regulation (EC) No 1924/2006",
)
def claims(label: LabelToCheck) -> Iterator[Finding]:
    """The maker's own words, read for claims."""
    for claim in claims_in(label.built.given.typed_text, claim_facts(label)):
        yield Finding(
            what=f'"{claim.words}": {claim.answer} ({claim.citation})',
            where=say("the maker's own words"),
            mend=say("take the words off, or meet what the rule demands"),
            asks=claim.verdict is Verdict.LOOK,
        )


def claim_facts(label: LabelToCheck) -> ClaimFacts:
    """Return what the recipe says about claims."""
    substances = [
        substance
        for line in opened(label.built.given.recipe.ingredients)
        for substance in line.substance.walk()
    ]
    return ClaimFacts(
        has_added_sugar=any(s.nature is Nature.SUGAR for s in substances),
        has_preservative=any(s.additive_class == "preservative" for s in substances),
    )


@rule(
    "CROSS-CONTACT",
    to_say("A cross-contact note stands beside, not instead of, the declaration"),
    citation="agency guidance (memory); Regulation (EU) No 1169/2011 Arts. 36, 37",
    severity=Severity.NOTE,
)
def cross_contact(label: LabelToCheck) -> Iterator[Finding]:
    """Reminds that the note must be true and replaces nothing."""
    if label.built.given.cross_contact_note:
        yield Finding(
            what=say(
                "the cross-contact note is printed as you wrote it; it must be "
                "true and does not replace cleaning or the allergen statement"
            ),
            where=say("cross-contact note"),
            mend=say("keep it only if it is true of every batch"),
            asks=True,
        )
