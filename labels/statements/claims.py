"""Words a maker types that the law answers: found, and what they demand.

A hit means "look", save where the words cannot be lawful on this product.
Whole words, any case, a hyphen read as a space.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from inventory.words import say, to_say

__all__ = [
    "Claim",
    "ClaimFacts",
    "ClaimKind",
    "Verdict",
    "claims_in",
    "nutrition_claims",
    "reduction_reached",
]


class Verdict(StrEnum):
    """What the program says of a claim."""

    REFUSE = "refuse"
    LOOK = "look"


class ClaimKind(StrEnum):
    """Whether a claim is about nutrients, which ends nutrition exemptions."""

    NUTRITION = "nutrition"
    HEALTH = "health"
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimFacts:
    """What is known of the product the words stand on.

    Attributes:
        has_added_sugar: sugar, honey, syrup, jam or concentrated juice is in it.
        has_preservative: a chemical preservative is in it.
        sugar_free: below 0.5 g of sugars per reference amount and serving.
    """

    has_added_sugar: bool = True
    has_preservative: bool = False
    sugar_free: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """A claim found in a text.

    Attributes:
        words: as they stand in the text.
        verdict: refuse or look.
        kind: what it is about.
        answer: what the rule demands, one or two sentences.
        citation: provision.
    """

    words: str
    verdict: Verdict
    kind: ClaimKind
    answer: str
    citation: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pattern:
    pattern: str
    kind: ClaimKind
    answer: str
    citation: str
    refused_if: str = ""


_SUGAR = r"(?:sugars?)"
_PATTERNS = (
    _Pattern(
        pattern=rf"(?:very )?low (?:in )?{_SUGAR}",
        kind=ClaimKind.NUTRITION,
        answer=to_say(
            '"low sugar" has no definition, so it may not be used; say '
            '"reduced sugar" with its conditions, or nothing'
        ),
        citation="21 CFR 101.60(c)",
        refused_if="always",
    ),
    _Pattern(
        pattern=rf"(?:no {_SUGAR} added|no added {_SUGAR}|without added {_SUGAR})",
        kind=ClaimKind.NUTRITION,
        answer=to_say(
            "only if nothing that sweetens was added, jam, jelly and "
            "concentrated juice included; a nutrition table and a note on "
            "calories are then due"
        ),
        citation="21 CFR 101.60(c)(2)",
        refused_if="has_added_sugar",
    ),
    _Pattern(
        pattern=rf"(?:{_SUGAR} free|zero {_SUGAR}|no {_SUGAR}(?! added))",
        kind=ClaimKind.NUTRITION,
        answer=to_say(
            "under 0.5 g of sugars per reference amount and per serving, and "
            'each time "not a low calorie food" or the like; a nutrition table '
            "is then due"
        ),
        citation="21 CFR 101.60(c)(1)",
        refused_if="not sugar_free",
    ),
    _Pattern(
        pattern=rf"(?:reduced|less|lower|lowered) (?:in )?{_SUGAR}",
        kind=ClaimKind.NUTRITION,
        answer=to_say(
            "at least 25 % less than a named food, with the percentage and "
            "both amounts beside the words, and a nutrition table"
        ),
        citation="21 CFR 101.60(c)(5)",
    ),
    _Pattern(
        pattern=r"(?:low|reduced|fewer|lower) (?:in )?calories?|light|lite",
        kind=ClaimKind.NUTRITION,
        answer=to_say(
            "low calorie: at most 40 kcal per reference amount and per 50 g; "
            "reduced: at least 25 % fewer than a named food; a nutrition table "
            "is due"
        ),
        citation="21 CFR 101.60(b)",
    ),
    _Pattern(
        pattern=r"(?:only )?\d+ (?:calories|kcal|kj)",
        kind=ClaimKind.NUTRITION,
        answer=to_say(
            "a figure of calories outside the table is a nutrition claim and "
            "ends the exemption; print the whole table or drop the figure"
        ),
        citation="21 CFR 101.13(b), (c), (i); 101.9(j)(1)(i)",
    ),
    _Pattern(
        pattern=r"(?:fat|sodium|salt|cholesterol) free|low (?:in )?(?:fat|sodium|salt)",
        kind=ClaimKind.NUTRITION,
        answer=to_say(
            'true of all jam, so it must speak of the kind: "jam, a fat free '
            'food"; a nutrition table is due'
        ),
        citation="21 CFR 101.13(e)(2), 101.61(b), 101.62(b)(1)",
    ),
    _Pattern(
        pattern=r"no (?:salt added|added salt)",
        kind=ClaimKind.NUTRITION,
        answer=to_say(
            'the like food is normally salted, none was added, and "not a '
            'sodium free food" stands beside it if that is so'
        ),
        citation="21 CFR 101.61(c)(2)",
    ),
    _Pattern(
        pattern=r"(?:high|rich) in \w+|(?:good|excellent) source of \w+|high fib(?:er|re)"
        r"|contains (?:vitamins?|antioxidants?|fib(?:er|re))|vitamin [a-e]",
        kind=ClaimKind.NUTRITION,
        answer=to_say(
            "a level of a nutrient may only be named as defined; a nutrition "
            "table is due"
        ),
        citation="21 CFR 101.13(b), 101.54",
    ),
    _Pattern(
        pattern=r"healthy|healthful|healthier",
        kind=ClaimKind.NUTRITION,
        answer=to_say(
            '"healthy" is a defined term with a limit on added sugars that '
            "ordinary jam cannot meet; leave it off (from memory: ask)"
        ),
        citation="21 CFR 101.65(d)",
    ),
    _Pattern(
        pattern=r"(?:prevents?|cures?|treats?|relieves?|heals?)\b[\w ]*|"
        r"(?:diabetes|cancer|arthritis|heart disease)|boosts? (?:your )?immunity",
        kind=ClaimKind.HEALTH,
        answer=to_say(
            "a food may not be said to prevent, cure or treat; take the words off"
        ),
        citation="21 CFR 101.9(k)(1), 101.14",
        refused_if="always",
    ),
    _Pattern(
        pattern=r"fresh",
        kind=ClaimKind.OTHER,
        answer=to_say(
            '"fresh" means raw, never frozen, heated or preserved, so it does '
            'not fit the jar; "made with fresh fruit" is not plainly covered: '
            "ask"
        ),
        citation="21 CFR 101.95",
    ),
    _Pattern(
        pattern=r"(?:no|without|free of) preservatives?|preservative free",
        kind=ClaimKind.OTHER,
        answer=to_say("not true where a sorbate, benzoate or sulphite is in the list"),
        citation="21 CFR 101.22(a)(5)",
        refused_if="has_preservative",
    ),
    _Pattern(
        pattern=r"(?:all )?natural",
        kind=ClaimKind.OTHER,
        answer=to_say(
            "no rule defines it, a policy does: nothing artificial, and no "
            "colour of any origin; keep it only if that holds"
        ),
        citation="agency policy (memory)",
    ),
    _Pattern(
        pattern=r"gluten free",
        kind=ClaimKind.OTHER,
        answer=to_say("under 20 ppm of gluten and no gluten grain in the recipe"),
        citation="21 CFR 101.91 (memory)",
    ),
    _Pattern(
        pattern=r"organic",
        kind=ClaimKind.OTHER,
        answer=to_say(
            "the National Organic Program's rules apply even where "
            "certification does not; ask before printing"
        ),
        citation="7 CFR 205 (memory)",
    ),
    _Pattern(
        pattern=r"diabetic|keto|diet(?:etic)?|paleo",
        kind=ClaimKind.NUTRITION,
        answer=to_say("read as an implied nutrition claim: ask before printing"),
        citation="common practice",
    ),
)


def _folded(text: str) -> str:
    return re.sub(r"[-\u2010-\u2013\s]+", " ", text)


def claims_in(text: str, facts: ClaimFacts) -> tuple[Claim, ...]:
    """Return the claims of a text, each with what the rule demands.

    Args:
        text: label, product name, note or web text.
        facts: what is known of the product.
    """
    folded = _folded(text)
    found = []
    for row in _PATTERNS:
        match = re.search(rf"(?<!\w)(?:{row.pattern})(?!\w)", folded, re.IGNORECASE)
        if match:
            verdict = Verdict.REFUSE if _refused(row, facts) else Verdict.LOOK
            found.append(
                Claim(
                    words=match.group().strip(),
                    verdict=verdict,
                    kind=row.kind,
                    answer=say(row.answer),
                    citation=row.citation,
                )
            )
    return tuple(found)


def _refused(row: _Pattern, facts: ClaimFacts) -> bool:
    return {
        "": False,
        "always": True,
        "has_added_sugar": facts.has_added_sugar,
        "has_preservative": facts.has_preservative,
        "not sugar_free": not facts.sugar_free,
    }[row.refused_if]


def nutrition_claims(claims: Iterable[Claim]) -> tuple[str, ...]:
    """Return the words of the claims that end a nutrition exemption."""
    ending = (ClaimKind.NUTRITION, ClaimKind.HEALTH)
    return tuple(claim.words for claim in claims if claim.kind in ending)


def reduction_reached(reference: Decimal, actual: Decimal) -> bool:
    """Say whether a reduction claim holds: at least 25 % less (101.60(b), (c))."""
    return actual * 4 <= reference * 3
