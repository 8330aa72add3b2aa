"""The Nutrition Facts table of the United States and its exemptions."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from inventory.sourced import Kind, Sourced
from inventory.words import say
from labels.statements import nutrition_us_rounding as rounding
from labels.statements.label_text import NutritionPanel, NutritionRow
from labels.statements.nutrition import NutrientAmounts, us_energy_kcal

__all__ = [
    "Exemption",
    "Serving",
    "YearOfSales",
    "exemption",
    "insignificant",
    "nutrition_facts",
    "simplified_allowed",
]

FOOTNOTE = (
    "*The % Daily Value tells you how much a nutrient in a serving of food "
    "contributes to a daily diet. 2,000 calories a day is used for general "
    "nutrition advice."
)
"""Prescribed: 21 CFR 101.9(d)(9)."""

SHORT_FOOTNOTE = "% DV = % Daily Value"
SIMPLIFIED_FROM = 8
"""Insignificant nutrients of fifteen that allow the short table (101.9(f)(1))."""

_GRAMS_BY_KIND = {"jam": "20", "marmalade": "20", "jelly": "21", "butter": "17"}
SERVING_G = {
    kind: Sourced(
        value=Decimal(grams),
        unit="g",
        kind=Kind.MEASURED,
        source="USDA National Nutrient Database for Standard Reference",
        section="weight of 1 tbsp, items 19294, 19297, 19300, 19303",
        edition="release 28",
    )
    for kind, grams in _GRAMS_BY_KIND.items()
}
"""Weight of the reference amount of one tablespoon (101.12(b), from memory)."""

SALES_TO_CONSUMERS = Sourced(
    value=Decimal(500_000),
    unit="USD",
    kind=Kind.LEGAL,
    source="21 CFR",
    section="101.9(j)(1)(i)",
)
FOOD_SALES_TO_CONSUMERS = Sourced(
    value=Decimal(50_000),
    unit="USD",
    kind=Kind.LEGAL,
    source="21 CFR",
    section="101.9(j)(1)(i)",
)
UNITS_WITHOUT_NOTICE = 10_000
UNITS_WITH_NOTICE = 100_000
HOURS_OF_FULL_TIME = Decimal(2080)


@dataclass(frozen=True, slots=True, kw_only=True)
class Serving:
    """The serving a table is made for.

    Attributes:
        measure: household measure ("1 tbsp").
        mass_g: its weight, g.
        net_g: net weight of the jar, g.
    """

    measure: str
    mass_g: Decimal
    net_g: Decimal

    @property
    def is_whole_container(self) -> bool:
        """A jar under 200 % of the reference amount is one serving (b)(6)."""
        return self.net_g < 2 * self.mass_g

    @property
    def needs_second_column(self) -> bool:
        """Between 200 and 300 % a column for the whole jar is due (b)(12)(i)."""
        return 2 * self.mass_g <= self.net_g <= 3 * self.mass_g

    @property
    def size_text(self) -> str:
        """Serving size as printed."""
        if self.is_whole_container:
            grams = rounding.weight_of_serving_g(self.net_g)
            return f"1 jar ({grams.normalize():f}g)"
        grams = rounding.weight_of_serving_g(self.mass_g)
        return f"{self.measure} ({grams.normalize():f}g)"

    @property
    def servings_text(self) -> str:
        """Servings per container as printed."""
        if self.is_whole_container:
            return "1 serving per container"
        count = rounding.servings_per_container(self.net_g, self.mass_g)
        return f"{count} servings per container"


@dataclass(frozen=True, slots=True, kw_only=True)
class YearOfSales:
    """What the exemptions are read from.

    Attributes:
        all_to_consumers: sales of everything to consumers in a year (mean of
            two), USD.
        food_to_consumers: sales of food to consumers, USD.
        units_of_product: jars of this product, all sizes, in twelve months.
        paid_hours: hours paid in the year.
        only_to_consumers: this product is sold by its maker to eaters only.
    """

    all_to_consumers: Decimal
    food_to_consumers: Decimal
    units_of_product: int
    paid_hours: Decimal = HOURS_OF_FULL_TIME
    only_to_consumers: bool = True

    @property
    def full_time_equivalents(self) -> Decimal:
        """Paid hours over 2,080 (101.9(j)(18)(vi)(D))."""
        return self.paid_hours / HOURS_OF_FULL_TIME


@dataclass(frozen=True, slots=True, kw_only=True)
class Exemption:
    """Whether the nutrition table may be left off, and why.

    Attributes:
        applies: no table is asked for.
        notice_due: only with a notice to the agency each year.
        reason: one sentence for the maker.
        citation: provision.
    """

    applies: bool
    notice_due: bool
    reason: str
    citation: str


def exemption(sales: YearOfSales, claims: Iterable[str] = ()) -> Exemption:
    """Return whether a small maker may leave the table off.

    Args:
        sales: a year's sales and hours.
        claims: nutrition claims found on label, page or stall sign; any one
            ends the exemption.
    """
    found = tuple(claims)
    if found:
        return Exemption(
            applies=False,
            notice_due=False,
            reason=say(
                'the words "{found}" are a nutrition claim and end the exemption',
                found=found[0],
            ),
            citation="21 CFR 101.9(j)(1)(i), (j)(18)",
        )
    within = (
        sales.food_to_consumers <= FOOD_SALES_TO_CONSUMERS.value
        or sales.all_to_consumers <= SALES_TO_CONSUMERS.value
    )
    if sales.only_to_consumers and within:
        return Exemption(
            applies=True,
            notice_due=False,
            reason=say(
                "sold by the maker straight to the eater, within the sales limits"
            ),
            citation="21 CFR 101.9(j)(1)(i)",
        )
    return _low_volume(sales)


def _low_volume(sales: YearOfSales) -> Exemption:
    citation = "21 CFR 101.9(j)(18)"
    units, workers = sales.units_of_product, sales.full_time_equivalents
    if workers < 10 and units < UNITS_WITHOUT_NOTICE:
        return Exemption(
            applies=True,
            notice_due=False,
            citation=citation,
            reason=say(
                "{units} jars of this product in a year: low volume, no notice",
                units=units,
            ),
        )
    if workers < 100 and units < UNITS_WITH_NOTICE:
        return Exemption(
            applies=True,
            notice_due=True,
            citation=citation,
            reason=say(
                "{units} jars of this product in a year: low volume, with a notice "
                "to the agency before each year",
                units=units,
            ),
        )
    return Exemption(
        applies=False,
        notice_due=False,
        citation=citation,
        reason=say(
            "{units} jars of this product in a year are above every limit", units=units
        ),
    )


def insignificant(amounts: NutrientAmounts) -> tuple[str, ...]:
    """Return the nutrients that round to nothing, of the fifteen.

    Fibre, carbohydrate and protein also count below 1 g (101.9(f)(1)).
    """
    shown = {
        "calories": rounding.calories(us_energy_kcal(amounts)) == 0,
        "total fat": rounding.fat_g(amounts.fat_g) == 0,
        "saturated fat": rounding.fat_g(amounts.saturated_g) == 0,
        "trans fat": rounding.fat_g(amounts.trans_g) == 0,
        "cholesterol": amounts.cholesterol_mg < 2,
        "sodium": rounding.sodium_mg(amounts.sodium_mg) == 0,
        "total carbohydrate": amounts.carbohydrate_g < 1,
        "dietary fiber": amounts.fibre_g < 1,
        "total sugars": amounts.sugars_g < rounding.HALF,
        "added sugars": amounts.added_sugars_g < rounding.HALF,
        "protein": amounts.protein_g < 1,
    }
    for nutrient in ("vitamin_d_mcg", "calcium_mg", "iron_mg", "potassium_mg"):
        percent = rounding.vitamin_percent(nutrient, getattr(amounts, nutrient))
        shown[nutrient.rpartition("_")[0].replace("_", " ")] = percent == 0
    return tuple(name for name, nothing in shown.items() if nothing)


def simplified_allowed(amounts: NutrientAmounts) -> bool:
    """Say whether the short table may be used."""
    return len(insignificant(amounts)) >= SIMPLIFIED_FROM


def nutrition_facts(
    per_100_g: NutrientAmounts, serving: Serving, *, simplified: bool | None = None
) -> NutritionPanel:
    """Return the table, in the short form where it is allowed.

    Args:
        per_100_g: nutrients of 100 g finished food.
        serving: reference amount and net weight.
        simplified: force the short or the full table; ``None`` takes the short
            one where eight of the fifteen are insignificant.
    """
    mass_g = serving.net_g if serving.is_whole_container else serving.mass_g
    amounts = per_100_g.for_mass(mass_g)
    short = simplified_allowed(amounts) if simplified is None else simplified
    rows, vitamins = _rows(amounts), _vitamins(amounts)
    footnotes: tuple[str, ...] = (FOOTNOTE,)
    if short:
        nothing = set(insignificant(amounts))
        rows = tuple(row for row in rows if _kept(row, nothing))
        vitamins = tuple(v for v in vitamins if v.label.casefold() not in nothing)
        footnotes = (SHORT_FOOTNOTE,)
    kcal = f"{rounding.calories(us_energy_kcal(amounts))}"
    return NutritionPanel(
        form="us",
        title="Nutrition Facts",
        servings=serving.servings_text,
        serving_size=serving.size_text,
        calories=kcal,
        percent_heading="% DV" if short else "% Daily Value*",
        rows=rows,
        vitamins=vitamins,
        footnotes=footnotes,
        linear=_linear(serving, kcal, (*rows, *vitamins)),
    )


ALWAYS_SHOWN = frozenset({"Total Fat", "Sodium", "Total Carbohydrate", "Protein"})
"""Names the short table keeps even at nothing (101.9(f)(2))."""


def _kept(row: NutritionRow, nothing: set[str]) -> bool:
    if row.label in ALWAYS_SHOWN:
        return True
    name = "added sugars" if row.label.startswith("Includes") else row.label.casefold()
    return name not in nothing


def _row(
    label: str, nutrient: str, amount: str, value: Decimal, *, indent: int = 0
) -> NutritionRow:
    percent = ""
    if nutrient:
        percent = f"{rounding.percent_daily_value(nutrient, value)}%"
    return NutritionRow(
        label=label, amount=amount, percent=percent, indent=indent, bold=indent == 0
    )


def _rows(a: NutrientAmounts) -> tuple[NutritionRow, ...]:
    fat = f"{rounding.fat_g(a.fat_g).normalize():f}g"
    saturated = f"{rounding.fat_g(a.saturated_g).normalize():f}g"
    trans = f"{rounding.fat_g(a.trans_g).normalize():f}g"
    cholesterol = rounding.cholesterol_mg(a.cholesterol_mg)
    sodium = f"{rounding.sodium_mg(a.sodium_mg)}mg"
    grams = rounding.whole_grams
    return (
        _row("Total Fat", "fat_g", fat, a.fat_g),
        _row("Saturated Fat", "saturated_g", saturated, a.saturated_g, indent=1),
        _row("Trans Fat", "", trans, a.trans_g, indent=1),
        _row("Cholesterol", "cholesterol_mg", cholesterol, a.cholesterol_mg),
        _row("Sodium", "sodium_mg", sodium, a.sodium_mg),
        _row(
            "Total Carbohydrate",
            "carbohydrate_g",
            grams(a.carbohydrate_g),
            a.carbohydrate_g,
        ),
        _row("Dietary Fiber", "fibre_g", grams(a.fibre_g), a.fibre_g, indent=1),
        _row("Total Sugars", "", grams(a.sugars_g), a.sugars_g, indent=1),
        _row(
            f"Includes {grams(a.added_sugars_g)} Added Sugars",
            "added_sugars_g",
            "",
            a.added_sugars_g,
            indent=2,
        ),
        _row("Protein", "", grams(a.protein_g), a.protein_g),
    )


def _vitamins(amounts: NutrientAmounts) -> tuple[NutritionRow, ...]:
    rows = []
    for label, nutrient in (
        ("Vitamin D", "vitamin_d_mcg"),
        ("Calcium", "calcium_mg"),
        ("Iron", "iron_mg"),
        ("Potassium", "potassium_mg"),
    ):
        value: Decimal = getattr(amounts, nutrient)
        rows.append(
            NutritionRow(
                label=label,
                amount=rounding.mineral_amount(nutrient, value),
                percent=f"{rounding.vitamin_percent(nutrient, value)}%",
            )
        )
    return tuple(rows)


def _linear(serving: Serving, kcal: str, rows: Iterable[NutritionRow]) -> str:
    """Return the table as one running text."""
    parts = [
        f"{serving.servings_text}, Serving size: {serving.size_text}",
        f"Amount per serving: Calories {kcal}",
    ]
    for row in rows:
        percent = f" ({row.percent} DV)" if row.percent else ""
        parts.append(f"{row.label} {row.amount}".strip() + percent)
    return "Nutrition Facts " + ", ".join(parts) + "."
