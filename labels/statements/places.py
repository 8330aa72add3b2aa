"""A place's cottage-food law as it was read on a day, as a value.

Unknown stays unknown: a missing answer becomes a question for the authority,
never a permission. Wording known only from memory is no part of a ``Place``.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from inventory.words import say, to_say

__all__ = [
    "PARTICULAR_WORDS",
    "Answer",
    "Cap",
    "Completeness",
    "Particular",
    "ParticularCode",
    "Place",
    "PlaceError",
    "Sign",
    "StatementBasis",
    "StatementType",
    "Variant",
]

STALE_AFTER_DAYS = 365


class PlaceError(ValueError):
    """A place profile cannot be read."""


class Completeness(StrEnum):
    """How much of the law was read."""

    READY = "ready"
    PARTIAL = "partial"
    OUTLINE = "outline"
    OWN = "own"


class StatementBasis(StrEnum):
    """What kind of statement the place asks for."""

    EXACT = "exact"
    CONTENT = "content"
    RECOMMENDED = "recommended"
    NONE = "none"
    UNKNOWN = "unknown"


class Answer(StrEnum):
    """What a place says of a way of selling."""

    YES = "yes"
    NO = "no"
    CONDITIONAL = "conditional"
    UNKNOWN = "unknown"


class ParticularCode(StrEnum):
    """What else the label must carry."""

    PRODUCT_NAME = "product_name"
    INGREDIENTS_DESC_WEIGHT = "ingredients_desc_weight"
    INGREDIENTS = "ingredients"
    NET_QUANTITY = "net_quantity"
    ALLERGENS = "allergens"
    PRODUCER_NAME = "producer_name"
    PRODUCER_ADDRESS = "producer_address"
    MAILING_ADDRESS = "mailing_address"
    PHONE = "phone"
    EMAIL = "email"
    REGISTRATION_NUMBER = "registration_number"
    COUNTY_OF_ISSUE = "county_of_issue"
    MUNICIPALITY = "municipality"
    UNIT_OF_GOVERNMENT = "unit_of_government"
    DATE_MADE = "date_made"
    EXPIRATION_DATE = "expiration_date"
    BATCH_CODE = "batch_code"
    NUTRITION_IF_CLAIM = "nutrition_if_claim"
    NUTRITION_FACTS = "nutrition_facts"
    KEEP_REFRIGERATED = "keep_refrigerated"
    SPECIAL_FACILITY_NOTE = "special_facility_note"
    GENERAL_FOOD_LABEL = "general_food_label"


PARTICULAR_WORDS = {
    ParticularCode.PRODUCT_NAME: to_say("name of the product"),
    ParticularCode.INGREDIENTS_DESC_WEIGHT: to_say("ingredients, heaviest first"),
    ParticularCode.PRODUCER_NAME: to_say("producer's name"),
    ParticularCode.PRODUCER_ADDRESS: to_say("producer's address"),
    ParticularCode.PHONE: to_say("telephone number"),
    ParticularCode.EMAIL: to_say("e-mail address"),
    ParticularCode.REGISTRATION_NUMBER: to_say("registration or permit number"),
    ParticularCode.COUNTY_OF_ISSUE: to_say("county that issued the number"),
    ParticularCode.DATE_MADE: to_say("date it was made"),
    ParticularCode.EXPIRATION_DATE: to_say("best-by or expiration date"),
    ParticularCode.NUTRITION_IF_CLAIM: to_say(
        "nutrition information, if a claim is made"
    ),
    ParticularCode.GENERAL_FOOD_LABEL: to_say("whatever ordinary food labels carry"),
}
"""Words of the particulars whose code does not say it plainly."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Particular:
    """One thing the label must carry beside the statement.

    Attributes:
        code: what.
        required: "always", "conditional", "alternative" or "recommended".
        detail: condition or form, in short.
    """

    code: ParticularCode
    required: str
    detail: str = ""

    @property
    def words(self) -> str:
        """What it is, in words."""
        return say(PARTICULAR_WORDS.get(self.code, self.code.replace("_", " ")))


@dataclass(frozen=True, slots=True, kw_only=True)
class StatementType:
    """How the statement must look.

    Attributes:
        min_point_size: least nominal size, points.
        min_height_mm: least height of letters, mm.
        all_caps: "required", "as_printed" or "".
        contrast_required: type in clear contrast.
        bold: in heavier type.
        on_principal_panel: on the principal display panel.
        all_text: the size holds for the whole label.
        note: the rest, in short.
    """

    min_point_size: Decimal | None = None
    min_height_mm: Decimal | None = None
    all_caps: str = ""
    contrast_required: bool = False
    bold: bool = False
    on_principal_panel: bool = False
    all_text: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """Another wording, or a piece of content, with when it holds."""

    text: str
    when: str
    basis: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cap:
    """A yearly limit on sales.

    Attributes:
        amount: in ``currency``.
        less_than: the amount itself is already over.
        basis: word of the law ("gross_sales").
        period: "calendar_year" or "year_unspecified".
        scope: what is counted together.
        indexed: the amount is raised every year: ask for this year's.
        applies_to_jam: it limits jam.
    """

    amount: Decimal
    currency: str
    less_than: bool
    basis: str
    period: str
    scope: str
    indexed: bool = False
    applies_to_jam: bool = True
    note: str = ""

    @property
    def basis_words(self) -> str:
        """What is counted, in the law's words."""
        return self.basis.replace("_", " ")

    def is_exceeded_by(self, sales: Decimal) -> bool:
        """Say whether a year's sales pass the limit."""
        return sales >= self.amount if self.less_than else sales > self.amount


@dataclass(frozen=True, slots=True, kw_only=True)
class Sign:
    """A sign at the stall.

    Attributes:
        required: "always", "conditional" or "alternative" (sign or label).
        text: prescribed words, or "".
        detail: where and when, in short.
    """

    required: str
    text: str = ""
    detail: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One place's law as it was read.

    Attributes:
        statement: prescribed words, only where the basis is exact.
        own_statement: the maker's own sentence, where the law only says what
            must be said, or where the profile is the maker's own.
        caps_kind: "amount", "per_product", "none", "none_in_text_read",
            "unknown".
        channels: way of selling to answer.
    """

    code: str
    place: str
    country: str
    law_name: str
    citation: str
    authority: str
    text_date: str
    completeness: Completeness
    status: str
    read_on: date
    caution: str
    basis: StatementBasis
    region: str = ""
    statement: str = ""
    own_statement: str = ""
    variants: tuple[Variant, ...] = ()
    type: StatementType = StatementType()
    particulars: tuple[Particular, ...] = ()
    address_alternative: str = ""
    caps_kind: str = "unknown"
    caps: tuple[Cap, ...] = ()
    on_exceeding: str = ""
    registration_kind: str = "unknown"
    registration_detail: str = ""
    channels: tuple[tuple[str, Answer], ...] = ()
    channels_note: str = ""
    jams_allowed: Answer = Answer.UNKNOWN
    jams_notes: tuple[str, ...] = ()
    sign: Sign | None = None
    records: str = ""
    inspection: str = ""
    sources: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.basis is StatementBasis.EXACT and not self.statement:
            raise PlaceError(
                say(
                    "the profile of {place} says the words are fixed but holds none",
                    place=self.place,
                )
            )

    @property
    def may_be_printed_from(self) -> bool:
        """Whether labels may be printed from it, not only drafted."""
        return self.completeness in (Completeness.READY, Completeness.OWN)

    @property
    def words(self) -> str:
        """The statement a label of this place carries, "" for none."""
        if self.basis is StatementBasis.EXACT:
            return self.statement
        return self.own_statement

    @property
    def registration_words(self) -> str:
        """What kind of registration is asked for, in words."""
        return self.registration_kind.replace("_", " ")

    def is_stale(self, *, on: date) -> bool:
        """Whether it was read more than a year ago."""
        return (on - self.read_on).days > STALE_AFTER_DAYS

    def asks_for(self, *codes: ParticularCode) -> tuple[Particular, ...]:
        """Return the particulars with one of these codes."""
        return tuple(item for item in self.particulars if item.code in codes)

    def answer(self, channel: str) -> Answer:
        """Return what the place says of a way of selling."""
        return dict(self.channels).get(channel, Answer.UNKNOWN)
