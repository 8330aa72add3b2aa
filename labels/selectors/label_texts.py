"""The label text of a product or a batch, from the book."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import ROUND_DOWN, Decimal

from inventory.models import Business, Product
from inventory.models.outlets import OutletKind
from inventory.words import say, to_say
from labels.models import ProductLabel
from labels.rules.check import check_label, content_faults
from labels.rules.rule import LabelToCheck
from labels.selectors.errors import LabelSelectionError
from labels.selectors.label_book import LabelBook, with_readings
from labels.selectors.nutrition import nutrients_of
from labels.selectors.recipes import (
    Cooked,
    cooked_batch,
    cooked_version,
    recipe_as_used,
    singular,
)
from labels.statements.build import BuiltLabel, build_label
from labels.statements.fruit_content import quantified
from labels.statements.ingredient_list import CompoundStyle
from labels.statements.ingredients import IngredientError, Nature, opened
from labels.statements.label_input import (
    Jurisdiction,
    LabelInput,
    LabelInputError,
    Outlets,
    Producer,
)
from labels.statements.label_text import LabelTextError
from labels.statements.net_quantity import (
    DeclaredQuantity,
    NetQuantityError,
    QuantityUnit,
)
from labels.statements.nutrition import NutritionError
from labels.statements.nutrition_us import SERVING_G
from labels.statements.places import Place, PlaceError
from production.batch_codes import BatchCodeError, read_code
from production.best_by import add_months
from production.costing.breakdown import CostingError
from production.models import Batch, Recipe
from production.selectors.jar_answer import find_product
from production.selectors.net_check import declaration_of

__all__ = [
    "Subject",
    "book_for",
    "built_label",
    "cooked_for",
    "find_subject",
    "label_of",
]

COUNTRY_LAWS = {
    "US": Jurisdiction.US,
    "GB": Jurisdiction.UK,
    "CA": Jurisdiction.CA,
    "AU": Jurisdiction.AU,
    "NZ": Jurisdiction.NZ,
}
JAM_KINDS = (Recipe.Kind.JAM, Recipe.Kind.JELLY, Recipe.Kind.MARMALADE)
CHANNELS = {
    OutletKind.MARKET: "farmers_market",
    OutletKind.CONSIGNMENT: "stores_wholesale",
    OutletKind.WHOLESALE: "stores_wholesale",
    OutletKind.GATE: "home",
}
NO_PLACE = to_say(
    "no place is chosen; choose the place whose home-kitchen law you "
    "sell under, or write its profile"
)
SMALL_SHARE = Decimal(2)
"""Per cent under which a named ingredient counts as flavouring only."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """What a label is written for: a batch of a product, or the product alone."""

    product: Product
    batch: Batch | None = None

    @property
    def name(self) -> str:
        """Batch code and product, as shown."""
        code = self.batch.code if self.batch else ""
        return f"{code} {self.product}".strip()


def find_subject(text: str) -> Subject:
    """Find a batch by its code, else a product by code or name.

    Raises:
        LabelSelectionError: neither, or the batch fills no jars.
    """
    try:
        code = str(read_code(text))
    except BatchCodeError:
        code = ""
    batch = (
        with_readings(Batch.objects.filter(code=code))
        .select_related(
            "product__jar_size", "product__label__sheet", "product__filling__recipe"
        )
        .first()
        if code
        else None
    )
    if batch is not None:
        if batch.product is None:
            raise LabelSelectionError(
                say("batch {batch} fills no jars, so it has no label", batch=batch.code)
            )
        return Subject(product=batch.product, batch=batch)
    try:
        return Subject(product=find_product(text))
    except CostingError as error:
        raise LabelSelectionError(
            say("no batch has that code, and {error}", error=error)
        ) from error


def label_of(product: Product) -> ProductLabel:
    """Return a product's label settings, the usual ones where none are stored."""
    return getattr(product, "label", None) or ProductLabel(product=product)


def built_label(
    *,
    look: ProductLabel,
    on: datetime.date,
    batch: Batch | None = None,
    place_code: str | None = None,
    book: LabelBook | None = None,
) -> BuiltLabel:
    """Write the label text of a batch, or of a product without one.

    Args:
        look: the product's label settings.
        on: day, for versions of recipes and dates of a product.
        batch: the batch; ``None`` previews the product.
        place_code: another place than the seller's own.
        book: what the labels of the page need, where it is read already.

    Raises:
        LabelSelectionError: something the label needs is missing.
    """
    book = book or book_for(look.product, batch)
    place, jurisdiction = _law(book, look, place_code)
    try:
        cooked = cooked_for(book, look.product, batch, on=on)
        given = _label_input(book, look, cooked)
        built = build_label(given, jurisdiction, place)
    except (
        IngredientError,
        LabelInputError,
        LabelTextError,
        NetQuantityError,
        NutritionError,
    ) as error:
        raise LabelSelectionError(str(error)) from error
    reasons = list(content_faults(check_label(LabelToCheck(built=built, on=on))))
    if place is None and jurisdiction is COUNTRY_LAWS.get(book.business.country):
        reasons.append(say(NO_PLACE))
    return _as_draft(built, reasons)


def _as_draft(built: BuiltLabel, reasons: Iterable[str]) -> BuiltLabel:
    """Add reasons why the label may only be drawn as a draft."""
    every = dict.fromkeys((*built.text.draft_reasons, *reasons))
    return replace(built, text=replace(built.text, draft_reasons=tuple(every)))


def _law(
    book: LabelBook, look: ProductLabel, place_code: str | None
) -> tuple[Place | None, Jurisdiction]:
    """Return place and package law; a place counts only in its own country."""
    jurisdiction = Jurisdiction(look.jurisdiction)
    code = place_code or book.business.place_code
    profile = book.profile(code) if code else None
    if profile is None:
        if place_code:
            raise LabelSelectionError(
                say(
                    'there is no place profile "{place_code}"; choose one of the '
                    "Labels page, or write your own",
                    place_code=place_code,
                )
            )
        return None, jurisdiction
    law = COUNTRY_LAWS.get(profile.country, Jurisdiction.EU)
    try:
        place = profile.as_place()
    except PlaceError as error:
        raise LabelSelectionError(str(error)) from error
    if place_code:
        return place, law
    return (place if law is jurisdiction else None), jurisdiction


def book_for(product: Product, batch: Batch | None = None) -> LabelBook:
    """Return what the label of one batch, or of one product, needs of the book."""
    return LabelBook(batches=[batch] if batch else [], products=[product])


def cooked_for(
    book: LabelBook, product: Product, batch: Batch | None, *, on: datetime.date
) -> Cooked:
    """Return the batch as cooked, or the product's recipe as it would be.

    Raises:
        LabelSelectionError: no recipe fills the product.
    """
    if batch is not None:
        return cooked_batch(book, batch, on=on)
    recipe = book.recipe_of(product)
    if recipe is None:
        raise LabelSelectionError(
            say(
                "no recipe fills {product}; say which one on the product's page",
                product=product,
            )
        )
    return cooked_version(book, recipe, on=on)


def _label_input(book: LabelBook, look: ProductLabel, cooked: Cooked) -> LabelInput:
    recipe, product = cooked.version.recipe, look.product
    used = replace(
        recipe_as_used(cooked),
        style=CompoundStyle(look.compound_style),
        list_removed_water=look.lists_water,
    )
    given = LabelInput(
        identity=recipe.identity,
        identities=tuple(look.identities.items()),
        recipe=used,
        quantity=_quantity(book.business, product, cooked),
        producer=_producer(book.business),
        batch_code=(cooked.batch.code or "") if cooked.batch else "",
        storage=look.storage_note,
        cross_contact_note=recipe.cross_contact_note,
        maker_note=look.maker_note,
        claims=tuple(look.claims),
        soluble_solids_percent=_percent(cooked.solids),
        nutrition=nutrients_of(cooked) if look.shows_nutrition else None,
        serving_g=_serving_g(recipe),
        is_jam=recipe.kind in JAM_KINDS,
        outlets=_outlets(book, product),
    )
    given = replace(given, named_ingredients=_named(given))
    return _with_dates(given, book, product, cooked.batch)


def _with_dates(
    given: LabelInput, book: LabelBook, product: Product, batch: Batch | None
) -> LabelInput:
    if batch is None or batch.made_on is None:
        return given
    output = next(iter(book.outputs(batch)), None)
    promised = output.lot.best_by if output else None
    months = product.best_by_months or book.business.best_by_months
    return replace(
        given,
        made_on=batch.made_on,
        best_before_on=promised or add_months(batch.made_on, months),
    )


def _quantity(business: Business, product: Product, cooked: Cooked) -> DeclaredQuantity:
    """Return the declared net weight, or what the jar holds, never more."""
    if product.net_weight_g is not None:
        return DeclaredQuantity(amount=product.net_weight_g, unit=QuantityUnit.GRAM)
    declared = declaration_of(product, cooked.version)
    if declared is None:
        raise LabelSelectionError(
            say(
                "the net weight of {product} is not known; enter it on the "
                "product's page",
                product=product,
            )
        )
    if business.units == Business.Units.US and declared.ounces is not None:
        ounces = declared.ounces.quantize(Decimal("0.01"), ROUND_DOWN)
        return DeclaredQuantity(amount=ounces, unit=QuantityUnit.OUNCE)
    return DeclaredQuantity(
        amount=declared.grams or declared.larger_g, unit=QuantityUnit.GRAM
    )


def _producer(business: Business) -> Producer:
    return Producer(
        name=business.trade_name,
        street=business.street,
        city=business.city,
        region=business.region,
        postal_code=business.postal_code,
        country=business.country,
        phone=business.phone,
        email=business.email,
        registration_number=business.registration_number,
        county_of_issue=business.county_of_issue,
        mailing_address=business.mailing_address,
        in_directory=business.street_in_directory,
        number_replaces_address=business.number_replaces_address,
    )


def _percent(share: Decimal | None) -> Decimal | None:
    return None if share is None else share * 100


def _serving_g(recipe: Recipe) -> Decimal:
    kind = {"jelly": "jelly", "marmalade": "marmalade", "butter": "butter"}
    return SERVING_G[kind.get(recipe.kind, "jam")].value


def _outlets(book: LabelBook, product: Product) -> Outlets:
    """Return the ways a product is sold, from the outlets that have a price for it."""
    kinds = book.kinds_of_outlet(product)
    ways = frozenset(CHANNELS[kind] for kind in kinds if kind in CHANNELS)
    return Outlets(only_by_maker="stores_wholesale" not in ways, ways=ways)


def _named(given: LabelInput) -> tuple[str, ...]:
    """Return the ingredients the name of the food speaks of, besides jam's fruit."""
    words = given.identity.casefold()
    found: dict[str, None] = {}
    for line in opened(given.recipe.ingredients):
        substance = line.substance
        if given.is_jam and substance.nature is Nature.FRUIT:
            continue
        noun = substance.name.casefold().split(",")[0].split()[-1]
        stem = singular(noun)
        if len(stem) > 2 and stem in words:
            found[substance.name] = None
    shares = quantified(found, given.recipe.ingredients, given.recipe.finished_mass_g)
    return tuple(name for name, share in shares.shares if share >= SMALL_SHARE)
