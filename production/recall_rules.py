"""Rules of a recall: classes, how many to check, what a letter must say.

Classes are set by the authority, never here; the letter's parts follow the federal
guidance. Nothing here decides whether a recall is needed.

Sources: 21 CFR 7.3(m), 7.41, 7.42(b)(3), 7.49, 7.53, 7.55 (classes and shares read in
texts that restate them); FDA guidance "Product Recalls, Including Removals and
Corrections" (letter, status report).
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import date
from fractions import Fraction
from math import ceil

from inventory.words import say, to_say

__all__ = [
    "AUTHORITY_CLASSES",
    "EFFECTIVENESS_SHARES",
    "HEADLINE",
    "NoticeWords",
    "RecallNotice",
    "RecalledProduct",
    "contacts_needed",
]

HEADLINE = to_say("URGENT: FOOD RECALL")

AUTHORITY_CLASSES: Mapping[str, str] = {
    "I": to_say("reasonable probability of serious harm to health, or death"),
    "II": to_say("harm that passes or can be treated, or serious harm is unlikely"),
    "III": to_say("not likely to harm health"),
}

EFFECTIVENESS_SHARES: Mapping[str, Fraction] = {
    "A": Fraction(1),
    "C": Fraction(1, 10),
    "D": Fraction(1, 50),
    "E": Fraction(0),
}
"""Share of the consignees to check; level B lies between A and C and is agreed on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticeWords:
    """The words of the notices that only the maker can give.

    Attributes:
        why: what is wrong, plainly.
        harm: what may happen to somebody who eats it.
        what_to_do: what a buyer does with the jar.
        contact: whom to call, when.
    """

    why: str = ""
    harm: str = ""
    what_to_do: str = to_say(
        "Do not eat it. Keep the jar closed and bring it back; you get your money back."
    )
    contact: str = ""

    @property
    def missing(self) -> tuple[str, ...]:
        """Parts that are still empty, in words."""
        names = {"why": say("what is wrong"), "harm": say("what harm it may do")}
        names |= {"what_to_do": say("what to do"), "contact": say("whom to call")}
        return tuple(
            names[field.name]
            for field in fields(self)
            if not str(getattr(self, field.name)).strip()
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class RecalledProduct:
    """One product with the codes that are recalled."""

    name: str
    codes: tuple[str, ...]
    jars: int
    best_by: tuple[date, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RecallNotice:
    """Everything a notice says.

    Attributes:
        maker: trade name.
        address: lines of the maker's address.
        phone: the maker's telephone.
        on: day of the notice.
        products: what is recalled.
        words: the maker's words.
        sold_where: places and days it was sold.
        authority_class: class, only after the authority gave one.
    """

    maker: str
    address: tuple[str, ...]
    phone: str
    on: date
    products: tuple[RecalledProduct, ...]
    words: NoticeWords
    sold_where: tuple[str, ...] = ()
    authority_class: str = ""

    def as_text(self) -> str:
        """The notice for customers as plain text, for post on the web or by mail."""
        lines = [
            say(HEADLINE),
            "",
            say("{maker} asks you to bring back:", maker=self.maker),
            "",
        ]
        lines += [
            say("- {part}, batch {codes}", part=p.name, codes=", ".join(p.codes))
            for p in self.products
        ]
        lines += ["", say("The batch code is on the label or the lid."), ""]
        if self.sold_where:
            lines += [say("Sold: {where}.", where="; ".join(self.sold_where)), ""]
        lines += [
            say("Why: {why}", why=self.words.why),
            say("Harm: {harm}", harm=self.words.harm),
        ]
        lines += [say("What to do: {what_to_do}", what_to_do=self.words.what_to_do)]
        lines += [
            say("Questions: {contact}", contact=self.words.contact or self.phone),
            "",
        ]
        lines += [
            say("If you feel ill after eating it, see a doctor and say what you ate.")
        ]
        return "\n".join([*lines, "", self.maker, *self.address, self.on.isoformat()])


def contacts_needed(level: str, consignees: int) -> int:
    """Return how many consignees to check for a level.

    Args:
        level: A (all), C (one in ten), D (one in fifty) or E (none). Level B is
            between A and C, as agreed with the authority.
        consignees: how many got the product.

    Returns:
        Rounded up; with a handful of shops A is the sensible level.

    Raises:
        KeyError: another level.
    """
    return ceil(EFFECTIVENESS_SHARES[level] * consignees)
