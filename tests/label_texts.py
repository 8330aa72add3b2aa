"""Made-up label texts for the drawing tests, with the sizes the laws ask.

Sizes: US 21 CFR 101.2(c), 101.7(f), (h), (i); EU Reg. 1169/2011 Art. 13 and
Annex IV, Dir. 76/211/EEC Annex I 3.1; Canada SFCR 210, 211, 229, 230 and
Schedule 6, FDR B.01.008.1.
"""

from decimal import Decimal

from labels.statements.label_text import (
    AreaOf,
    LabelElement,
    LabelText,
    MeasuredOn,
    Panel,
    Placement,
    Role,
    SizeStep,
    TypeSize,
    TypeSizeRule,
    emphasised,
    plain,
)

FOOT = frozenset({Placement.BOTTOM_30_PERCENT, Placement.CLEAR_SPACE, Placement.BOLD})


def make_size(minimum_mm, measured_on, citation):
    return TypeSize(
        minimum_mm=Decimal(minimum_mm), measured_on=measured_on, citation=citation
    )


def make_rule(measured_on, citation, *steps, area_of=AreaOf.PRINCIPAL_DISPLAY_PANEL):
    return TypeSizeRule(
        steps=tuple(
            SizeStep(
                up_to_cm2=None if up_to is None else Decimal(up_to),
                size=make_size(minimum, measured_on, citation),
            )
            for up_to, minimum in steps
        ),
        area_of=area_of,
    )


US_TEXT = make_rule(MeasuredOn.LOWER_CASE_O, "21 CFR 101.2(c)", (None, "1.5875"))
US_NET = make_rule(
    MeasuredOn.LOWER_CASE_O,
    "21 CFR 101.7(i)",
    ("32.258", "1.5875"),
    ("161.29", "3.175"),
    ("645.16", "4.7625"),
    (None, "6.35"),
)
EU_TEXT = make_rule(
    MeasuredOn.X_HEIGHT,
    "Reg. (EU) 1169/2011 Art. 13",
    ("79.99", "0.9"),
    (None, "1.2"),
    area_of=AreaOf.LARGEST_SURFACE,
)
EU_NET = make_rule(MeasuredOn.NUMERAL, "Dir. 76/211/EEC Annex I 3.1", (None, "4"))
CA_TEXT = make_rule(MeasuredOn.LOWER_CASE_O, "SFCR 210", (None, "1.6"))
CA_NET = make_rule(
    MeasuredOn.NUMERAL, "SFCR Sch. 6", ("32", "1.6"), ("258", "3.2"), (None, "6.4")
)
CA_LIST = make_rule(MeasuredOn.X_HEIGHT, "FDR B.01.008.1", (None, "1.1"))


def make_element(role, words, size, *, panel=Panel.INFORMATION, **more):
    runs = words if isinstance(words, tuple) else plain(words)
    return LabelElement(role=role, runs=runs, size=size, panel=panel, **more)


def _us(name, net, ingredients, contains):
    information = [
        make_element(Role.INGREDIENTS, ingredients, US_TEXT),
        make_element(
            Role.PRODUCER,
            "Made by Lantern Hill Pantry, 14 Mill Lane, Fernbrook, VT 05999",
            US_TEXT,
        ),
        make_element(
            Role.PLACE_STATEMENT,
            "This product was made in a home kitchen that is not inspected.",
            US_TEXT,
        ),
        make_element(Role.BEST_BY, "Best by Nov 2027", None, mandatory=False),
        make_element(Role.BATCH_CODE, "Batch 26329A-M", None, mandatory=False),
    ]
    if contains:
        information.insert(
            1,
            make_element(
                Role.ALLERGENS,
                contains,
                US_TEXT,
                placement=frozenset({Placement.NEXT_TO_INGREDIENTS}),
            ),
        )
    return LabelText(
        jurisdiction="US",
        language="en",
        elements=(
            make_element(Role.IDENTITY, name, US_TEXT, panel=Panel.PRINCIPAL_DISPLAY),
            make_element(
                Role.NET_QUANTITY,
                net,
                US_NET,
                panel=Panel.PRINCIPAL_DISPLAY,
                placement=FOOT,
            ),
            *information,
        ),
    )


def _eu(name, net, ingredients):
    seen = frozenset({Placement.ONE_FIELD_OF_VISION})
    return LabelText(
        jurisdiction="UK",
        language="en",
        elements=(
            make_element(Role.IDENTITY, name, EU_TEXT, panel=Panel.ANY, placement=seen),
            make_element(
                Role.NET_QUANTITY, net, EU_NET, panel=Panel.ANY, placement=seen
            ),
            make_element(
                Role.INGREDIENTS, emphasised(ingredients), EU_TEXT, panel=Panel.ANY
            ),
            make_element(
                Role.FRUIT_CONTENT,
                "Prepared with 55 g of fruit per 100 g",
                EU_TEXT,
                panel=Panel.ANY,
            ),
            make_element(
                Role.BEST_BY, "Best before end: November 2027", EU_TEXT, panel=Panel.ANY
            ),
            make_element(
                Role.STORAGE,
                "Once opened keep refrigerated and use within 6 weeks.",
                EU_TEXT,
                panel=Panel.ANY,
            ),
            make_element(
                Role.PRODUCER,
                "Lantern Hill Pantry, 14 Mill Lane, Fernbrook",
                EU_TEXT,
                panel=Panel.ANY,
            ),
            make_element(Role.BATCH_CODE, "L 26329A-M", EU_TEXT, panel=Panel.ANY),
        ),
    )


def _ca(name, net, ingredients, contains):
    return LabelText(
        jurisdiction="CA",
        language="en",
        elements=(
            make_element(Role.IDENTITY, name, CA_TEXT, panel=Panel.PRINCIPAL_DISPLAY),
            make_element(
                Role.NET_QUANTITY,
                net,
                CA_NET,
                panel=Panel.PRINCIPAL_DISPLAY,
                placement=frozenset({Placement.BOLD}),
            ),
            make_element(Role.INGREDIENTS, ingredients, CA_LIST),
            make_element(
                Role.ALLERGENS,
                contains,
                CA_LIST,
                placement=frozenset({Placement.NEXT_TO_INGREDIENTS}),
            ),
            make_element(
                Role.PRODUCER,
                "Lantern Hill Pantry, 14 Mill Lane, Fernbrook ON K0K 0K0",
                CA_TEXT,
            ),
            make_element(Role.BEST_BY, "Best before 2027 NO 24", CA_TEXT),
            make_element(Role.BATCH_CODE, "Lot 26329A-M", CA_TEXT, mandatory=False),
        ),
    )


CHUTNEY = (
    "Ingredients: tomatoes, onions, cane sugar, cider vinegar, raisins, "
    "fish sauce (anchovies, salt), soy sauce (water, soybeans, wheat, salt), salt, "
    "ginger, mustard seed, chili"
)

TEXTS = {
    "us-chutney": _us(
        "Tomato Chutney",
        "Net Wt 10 oz (283 g)",
        CHUTNEY,
        "Contains: fish (anchovy), soy, wheat",
    ),
    "us-pear": _us(
        "Pear and Ginger Preserves",
        "Net Wt 10 oz (283 g)",
        "Ingredients: pears, sugar, crystallized ginger (ginger, sugar, "
        "sulfur dioxide), lemon juice, pectin",
        "",
    ),
    "us-almond": _us(
        "Plum and Almond Conserve",
        "Net Wt 9.5 oz (269 g)",
        "Ingredients: plums, sugar, almonds, raisins, orange juice, lemon juice",
        "Contains: tree nuts (almonds)",
    ),
    "uk-almond": _eu(
        "Plum Jam with Almonds",
        "280 g",
        [
            ("Ingredients: plums, sugar, ", False),
            ("almonds", True),
            (" (6%), raisins, orange juice, lemon juice, pectin", False),
        ],
    ),
    "uk-chutney": _eu(
        "Tomato Chutney",
        "280 g",
        [
            (
                "Ingredients: tomatoes (62%), onions, sugar, cider vinegar, raisins, ",
                False,
            ),
            ("fish", True),
            (" sauce (", False),
            ("anchovies", True),
            (", salt), soy sauce (water, ", False),
            ("soya", True),
            (" beans, ", False),
            ("wheat", True),
            (", salt), salt, ginger, ", False),
            ("mustard", True),
            (" seed, chilli", False),
        ],
    ),
    "ca-chutney": _ca(
        "Tomato Chutney",
        "280 g",
        CHUTNEY,
        "Contains: Anchovy, Soy, Wheat, Mustard, Sulphites",
    ),
    "ca-almond": _ca(
        "Plum and Almond Conserve",
        "280 g",
        "Ingredients: plums, sugars (sugar, orange juice, lemon juice), almonds, raisins",
        "Contains: Almonds, Sulphites",
    ),
}
