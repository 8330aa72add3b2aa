"""Everything one label is made from, as a value."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from inventory.words import say
from labels.statements.ingredient_list import RecipeAsUsed
from labels.statements.net_quantity import DeclaredQuantity
from labels.statements.nutrition import NutrientAmounts

__all__ = ["Jurisdiction", "LabelInput", "LabelInputError", "Outlets", "Producer"]


class LabelInputError(ValueError):
    """A label cannot be written from what was given."""


class Jurisdiction(StrEnum):
    """Whose package law a label follows."""

    US = "US"
    EU = "EU"
    UK = "UK"
    CA = "CA"
    AU = "AU"
    NZ = "NZ"
    CODEX = "CODEX"


@dataclass(frozen=True, slots=True, kw_only=True)
class Producer:
    """Who answers for the jar.

    Attributes:
        name: the name the business is run under.
        in_directory: the address stands in a current city or telephone
            directory, so that the street may be left off (US).
        number_replaces_address: the place lets the registration number stand
            for the home address and the maker wants it so.
    """

    name: str
    street: str = ""
    city: str = ""
    region: str = ""
    postal_code: str = ""
    country: str = ""
    phone: str = ""
    email: str = ""
    registration_number: str = ""
    county_of_issue: str = ""
    mailing_address: str = ""
    in_directory: bool = False
    number_replaces_address: bool = False

    @property
    def town_line(self) -> str:
        """Town, region and postal code as one line."""
        behind = " ".join(part for part in (self.region, self.postal_code) if part)
        return ", ".join(part for part in (self.city, behind) if part)

    @property
    def address(self) -> str:
        """The address as printed."""
        if self.number_replaces_address and self.registration_number:
            return ""
        street = "" if self.in_directory else self.street
        return ", ".join(part for part in (street, self.town_line) if part)


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlets:
    """How the product is sold, as far as label law asks.

    Attributes:
        only_by_maker: only by its maker in person to the eater.
        ways: channel codes of the place profile in use ("farmers_market").
    """

    only_by_maker: bool = True
    ways: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelInput:
    """The facts one label is written from.

    Attributes:
        identity: name of the food ("Strawberry Jam").
        identities: (language, name) for other languages.
        recipe: lines as used, with the finished weight.
        quantity: the declared net quantity.
        producer: who answers for it.
        batch_code: code of the batch, "" for a product without one.
        made_on, best_before_on: days of the batch, or ``None``.
        storage: storage words.
        cross_contact_note: the maker's own words, printed as written.
        maker_note: a line of the maker's.
        claims: words the maker wants on the label.
        named_ingredients: names of ingredients in the identity, besides the
            fruit of a jam, whose share EU law wants.
        soluble_solids_percent: refractometer reading at 20 degC, or ``None``.
        nutrition: nutrients of 100 g, where a table is wanted.
        serving_g: weight of a tablespoon of it.
        is_jam: it stands under jam law (fruit and sugar lines).
        shows_whole_date: the full date rather than the shortest form.
        uninspected_home: made in a home kitchen under the place's law.
        outlets: how it is sold.
        shows_ounces: ounces behind the metric figure (UK).
    """

    identity: str
    recipe: RecipeAsUsed
    quantity: DeclaredQuantity
    producer: Producer
    identities: tuple[tuple[str, str], ...] = ()
    batch_code: str = ""
    made_on: date | None = None
    best_before_on: date | None = None
    storage: str = ""
    cross_contact_note: str = ""
    maker_note: str = ""
    claims: tuple[str, ...] = ()
    named_ingredients: tuple[str, ...] = ()
    soluble_solids_percent: Decimal | None = None
    nutrition: NutrientAmounts | None = None
    serving_g: Decimal = Decimal(20)
    is_jam: bool = True
    shows_whole_date: bool = True
    outlets: Outlets = Outlets()
    shows_ounces: bool = False

    def __post_init__(self) -> None:
        if not self.identity.strip():
            raise LabelInputError(say("the label needs the name of the food; enter it"))
        if not self.producer.name.strip():
            raise LabelInputError(
                say("the label needs the name of the business; enter it")
            )

    def identity_in(self, language: str) -> str | None:
        """Return the name of the food in a language, if there is one."""
        names: Mapping[str, str] = dict(self.identities)
        return names.get(language)

    @property
    def typed_text(self) -> str:
        """Everything the maker typed freely, for the search for claims."""
        return "\n".join(
            part for part in (self.identity, self.maker_note, *self.claims) if part
        )
