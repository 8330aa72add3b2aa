"""Rules of the EU, the United Kingdom, Canada, Australia and New Zealand."""

from collections.abc import Iterator

from inventory.words import say, to_say
from labels.rules.general import claim_facts
from labels.rules.rule import Finding, LabelToCheck, Severity, rule
from labels.statements.claims import claims_in, nutrition_claims
from labels.statements.eu import sugar_line_due
from labels.statements.label_input import Jurisdiction
from labels.statements.label_text import Role
from labels.statements.nutrition_ca import Sale, table_due
from labels.statements.nutrition_eu import exempt

EUROPE = (Jurisdiction.EU, Jurisdiction.UK)
CANADA = (Jurisdiction.CA,)
AUSTRALASIA = (Jurisdiction.AU, Jurisdiction.NZ)
FIC = "Regulation (EU) No 1169/2011"


def _claims(label: LabelToCheck) -> tuple[str, ...]:
    return nutrition_claims(claims_in(label.built.given.typed_text, claim_facts(label)))


@rule(
    "EU-DATE",
    to_say("A best-before date is given"),
    citation=f"{FIC} Arts. 9(1)(f), 24, Annex X",
    where=EUROPE,
)
def best_before(label: LabelToCheck) -> Iterator[Finding]:
    """Jam is not in the list of foods free of a date."""
    if label.built.text.first(Role.BEST_BY) is None:
        yield Finding(
            what=say("the best-before date is missing"),
            where=say("date"),
            mend=say("print from a batch, which knows its cook day"),
        )


@rule(
    "EU-FRUIT",
    to_say("The fruit statement stands on jam, jelly and marmalade"),
    citation="Directive 2001/113/EC Art. 2(3)",
    where=EUROPE,
)
def fruit_statement(label: LabelToCheck) -> Iterator[Finding]:
    """Prepared with so much fruit per 100 g."""
    if label.built.given.is_jam and not label.built.text.first(Role.FRUIT_CONTENT):
        yield Finding(
            what=say(
                "the fruit statement is missing: no ingredient is marked as fruit"
            ),
            where=say("front"),
            mend=say("set the kind of the fruit materials to fruit"),
        )


@rule(
    "EU-SUGAR",
    to_say("The statement of total sugar stands where it is due"),
    citation="Directive 2001/113/EC Art. 2(4); SI 2003/3120",
    where=EUROPE,
)
def sugar_statement(label: LabelToCheck) -> Iterator[Finding]:
    """Needs a refractometer reading; not due beside a table showing sugars."""
    due = sugar_line_due(label.built.given, label.built.jurisdiction)
    if due and not label.built.text.first(Role.SUGAR_CONTENT):
        yield Finding(
            what=say(
                "the total sugar statement is missing: the batch has no "
                "refractometer reading"
            ),
            where=say("front"),
            mend=say(
                "read the cooled jam at 20 °C and record it, or print the "
                "nutrition declaration"
            ),
        )


@rule(
    "EU-LIST",
    to_say("No allergen box repeats the ingredient list"),
    citation="Commission notice 2017/C 428/01 (memory)",
    severity=Severity.SHOULD,
    where=EUROPE,
)
def no_second_box(label: LabelToCheck) -> Iterator[Finding]:
    """Allergens are emphasised inside the list instead."""
    if label.built.text.first(Role.ALLERGENS):
        yield Finding(
            what=say('a "Contains" line beside the list is not wanted here'),
            where=say("allergen statement"),
            mend=say("leave it off; the list itself emphasises them"),
        )


@rule(
    "EU-NUTRITION",
    to_say("A nutrition declaration is there, or the small-maker exemption holds"),
    citation=f"{FIC} Arts. 30, 49, Annex V.18, 19",
    where=EUROPE,
)
def nutrition_declared(label: LabelToCheck) -> Iterator[Finding]:
    """Void when a claim appears."""
    if label.built.text.first(Role.NUTRITION):
        return
    local = label.built.given.outlets.only_by_maker
    claims = _claims(label)
    if not exempt(sold_by_maker_or_locally=local, claims=claims):
        why = (
            say('"{claims}" is a claim', claims=claims[0])
            if claims
            else say("it is sold through others")
        )
        yield Finding(
            what=say("the nutrition declaration is missing: {why}", why=why),
            where=say("nutrition declaration"),
            mend=say("switch the nutrition table on"),
            asks=not claims,
        )


@rule(
    "EU-STORAGE",
    to_say("Storage after opening is stated"),
    citation=f"{FIC} Art. 25",
    severity=Severity.SHOULD,
    where=EUROPE,
)
def storage_words(label: LabelToCheck) -> Iterator[Finding]:
    """Where special storage is needed."""
    if not label.built.given.storage:
        yield Finding(
            what=say("no words on keeping after opening"),
            where=say("storage"),
            mend=say(
                'write "refrigerate after opening" on the product\'s label settings'
            ),
        )


@rule(
    "CA-LANGUAGES",
    to_say("Mandatory text stands in English and French"),
    citation="Food and Drug Regulations B.01.012(2); Safe Food for Canadians "
    "Regulations 206(1)",
    where=CANADA,
)
def both_languages(label: LabelToCheck) -> Iterator[Finding]:
    """Local food where one language is hardly spoken may be excepted."""
    for reason in label.built.text.draft_reasons:
        if "French" in reason:
            yield Finding(
                what=reason,
                where=say("French text"),
                mend=say(
                    "enter the French names; food made and sold only locally may be "
                    "excepted: ask (B.01.012(3))"
                ),
            )


@rule(
    "CA-NUTRITION",
    to_say("A nutrition facts table is there, or only the maker sells"),
    citation="Food and Drug Regulations B.01.401(2)(b), (3)",
    where=CANADA,
)
def canadian_table(label: LabelToCheck) -> Iterator[Finding]:
    """Stand, fair and farmers' market sales by the maker are exempt."""
    if label.built.text.first(Role.NUTRITION):
        return
    sale = Sale(only_by_maker_in_person=label.built.given.outlets.only_by_maker)
    claims = _claims(label)
    if table_due(sale, claims):
        why = (
            say('"{claims}" is a claim', claims=claims[0])
            if claims
            else say("it is also sold by others")
        )
        yield Finding(
            what=say("a nutrition facts table is due: {why}", why=why),
            where=say("nutrition facts table"),
            mend=say(
                "sell it only yourself and drop the claim, or have a table made; "
                "this program draws none for Canada"
            ),
        )


@rule(
    "CA-UNIT",
    to_say("The unit of the net quantity is the one the authority wants"),
    citation="Safe Food for Canadians Regulations 231",
    severity=Severity.NOTE,
    where=CANADA,
)
def unit_of_jam(label: LabelToCheck) -> Iterator[Finding]:
    """Viscous food goes by volume; jam in millilitres is common practice."""
    if label.built.given.quantity.by_weight:
        yield Finding(
            what=say(
                "viscous food is declared by volume unless the authority's list "
                "says otherwise; jam in millilitres is common practice"
            ),
            where=say("net quantity"),
            mend=say("ask the authority whether your jam goes by weight or by volume"),
            asks=True,
        )


@rule(
    "AN-NUTRITION",
    to_say("A nutrition panel is there, or the jar is sold where it was made"),
    citation="Food Standards Code 1.2.1-6(1)(a), 1.2.8 (memory)",
    severity=Severity.SHOULD,
    where=AUSTRALASIA,
)
def australasian_panel(label: LabelToCheck) -> Iterator[Finding]:
    """A market away from the kitchen wants a full label."""
    if label.built.text.first(Role.NUTRITION) is None:
        yield Finding(
            what=say(
                "no nutrition panel: needed on jars sold away from the kitchen, "
                "unless the pack is under 100 cm²"
            ),
            where=say("nutrition panel"),
            mend=say("ask your council; this program draws none for Australia"),
            asks=True,
        )
