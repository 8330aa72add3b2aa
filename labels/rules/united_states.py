"""Federal rules of the United States."""

from collections.abc import Iterator

from inventory.words import say, to_say
from labels.rules.general import claim_facts
from labels.rules.net_quantity_text import net_quantity_problems
from labels.rules.rule import Finding, LabelToCheck, Severity, rule
from labels.statements.allergens import AllergenRegime, species_missing
from labels.statements.claims import claims_in, nutrition_claims
from labels.statements.ingredients import Nature, opened
from labels.statements.label_input import Jurisdiction
from labels.statements.label_text import Role
from labels.statements.nutrition_us import exemption
from labels.statements.us_names import name_problem

US = (Jurisdiction.US,)
ANTIFOAM_FATS = ("butter", "cream", "margarine")
STANDARD_NAMES = ("jam", "jelly", "preserve", "preserves", "butter")


@rule(
    "US-NET",
    to_say("The net weight is worded as the regulation wants it"),
    citation="21 CFR 101.7; 15 USC 1453",
    where=US,
)
def net_weight_wording(label: LabelToCheck) -> Iterator[Finding]:
    """Units, order, fractions, decimals and the dual declaration."""
    element = label.built.text.first(Role.NET_QUANTITY)
    if element is None:
        return
    for problem in net_quantity_problems(element.text):
        yield Finding(
            what=problem,
            where=say("net quantity"),
            mend=say("let the program write the net quantity from the declared weight"),
        )


@rule(
    "US-RELISH",
    to_say("A pickle product or relish is declared in fluid ounces"),
    citation="21 CFR 101.7(r)",
    severity=Severity.SHOULD,
    where=US,
)
def relish_by_volume(label: LabelToCheck) -> Iterator[Finding]:
    """Chutney is not named in the rule; a relish is."""
    identity = label.built.given.identity.casefold()
    if "relish" in identity or "pickle" in identity:
        yield Finding(
            what=say("relishes and pickle products go by fluid measure, not by weight"),
            where=say("net quantity"),
            mend=say("name it a chutney if it is one, or ask your authority"),
            asks=True,
        )


@rule(
    "US-NAMES",
    to_say("Ingredients go by their common or usual names"),
    citation="21 CFR 101.4(b), 101.22",
    where=US,
)
def ingredient_names(label: LabelToCheck) -> Iterator[Finding]:
    """Sugar, spices and preservatives under their right names."""
    for line in opened(label.built.given.recipe.ingredients):
        for substance in line.substance.walk():
            problem = name_problem(substance.name, "", substance.additive_class)
            if problem:
                yield Finding(
                    what=problem,
                    where=say("ingredient list"),
                    mend=say(
                        'correct the label name or class of "{substance}"',
                        substance=substance.name,
                    ),
                )


@rule(
    "US-SPECIES",
    to_say("Fish and shellfish are named by species"),
    citation="21 USC 343(w)(2)",
    where=US,
)
def species_named(label: LabelToCheck) -> Iterator[Finding]:
    """The group's name alone does not do."""
    marks = label.built.ingredient_list.marks
    for mark in species_missing(marks, AllergenRegime.US):
        yield Finding(
            what=say("the species of {mark} is not entered", mark=mark.code),
            where=say("allergen statement"),
            mend=say("enter the species on the material, for example fish: anchovies"),
        )


@rule(
    "US-ADDRESS",
    to_say("Street, city, state and ZIP code are given"),
    citation="21 CFR 101.5(d)",
    where=US,
)
def full_address(label: LabelToCheck) -> Iterator[Finding]:
    """The street may only go if a directory or the state's number stands for it."""
    maker = label.built.given.producer
    if maker.number_replaces_address:
        return
    if not maker.postal_code:
        yield Finding(
            what=say("the ZIP code is missing"),
            where=say("name and place of business"),
            mend=say("enter it under the business' facts"),
        )
    if not maker.street and not maker.in_directory:
        yield Finding(
            what=say("the street address is missing"),
            where=say("name and place of business"),
            mend=say(
                "enter it; it may go only if a current city or telephone directory "
                "lists you, or your state lets a number stand for it"
            ),
        )


@rule(
    "US-NUTRITION",
    to_say("A nutrition table is there, or an exemption holds"),
    citation="21 CFR 101.9(a), (j)(1), (j)(18)",
    where=US,
)
def nutrition_or_exemption(label: LabelToCheck) -> Iterator[Finding]:
    """The small-seller exemption, explained, and void when a claim appears."""
    if label.built.text.first(Role.NUTRITION):
        return
    found = claims_in(label.built.given.typed_text, claim_facts(label))
    words = nutrition_claims(found)
    if words:
        yield Finding(
            what=say(
                '"{words}" is a nutrition claim: it ends every exemption, and the '
                "nutrition table is missing",
                words=words[0],
            ),
            where=say("nutrition table"),
            mend=say("take the words off, or switch the nutrition table on"),
        )
    elif label.year_of_sales is None:
        yield Finding(
            what=say(
                "no nutrition table: exempt while food sold straight to eaters "
                "stays at or below $50,000 a year (or everything at or below "
                "$500,000); jars sold to a shop need the low-volume exemption "
                "instead"
            ),
            where=say("nutrition table"),
            mend=say("check your sales against both limits once a year"),
            asks=True,
        )
    else:
        result = exemption(label.year_of_sales, words)
        exempt = result.applies and not result.notice_due
        yield Finding(
            what=f"{result.reason} ({result.citation})",
            where=say("nutrition table"),
            mend=say(
                "nothing is due while that holds; a nutrition claim on label, page "
                "or stall sign would end it"
            )
            if exempt
            else say("switch the nutrition table on, or file the yearly notice"),
            asks=result.applies,
        )


@rule(
    "US-FAT",
    to_say("A standardised name stands on no jar with animal fat against foam"),
    citation="21 CFR 150.110(c)(8), 150.140(c)(7), 150.160(c)(7)",
    severity=Severity.SHOULD,
    where=US,
)
def no_butter_in_jam(label: LabelToCheck) -> Iterator[Finding]:
    """Butter declares milk and costs the plain name."""
    words = label.built.given.identity.casefold().split()
    if not any(name in words for name in STANDARD_NAMES):
        return
    for line in opened(label.built.given.recipe.ingredients):
        used = line.substance.name.casefold()
        if any(fat == used or used.endswith(f" {fat}") for fat in ANTIFOAM_FATS):
            yield Finding(
                what=say(
                    '"{substance}" is not among what the standard allows, so the plain '
                    "name is not earned",
                    substance=line.substance.name,
                ),
                where=say("name of the food"),
                mend=say('skim instead, or use a name outside the standard ("spread")'),
            )


@rule(
    "US-NUTS",
    to_say("Nuts in the jar are in the name or beside it"),
    citation="21 CFR 101.18(b); common practice",
    severity=Severity.NOTE,
    where=US,
)
def nuts_in_the_name(label: LabelToCheck) -> Iterator[Finding]:
    """A name that gives some ingredients and not the nuts can mislead."""
    identity = label.built.given.identity.casefold()
    for line in opened(label.built.given.recipe.ingredients):
        if line.substance.nature is not Nature.NUT:
            continue
        stem = line.substance.name.casefold().split()[-1].rstrip("s")
        if stem not in identity and "nut" not in identity:
            yield Finding(
                what=say(
                    "the name does not speak of the {substance}",
                    substance=line.substance.name,
                ),
                where=say("name of the food"),
                mend=say(
                    'say "with {substance}" in or beside the name',
                    substance=line.substance.name,
                ),
                asks=True,
            )
