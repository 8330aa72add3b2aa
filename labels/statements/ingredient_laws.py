"""The laws and words of ingredient lists, place by place."""

from labels.statements import sulphites, water
from labels.statements.allergens import AllergenRegime
from labels.statements.ingredient_list import ListLaw
from labels.statements.ingredient_text import ListWords

__all__ = [
    "ANZ_LAW",
    "ANZ_WORDS",
    "CA_FR_WORDS",
    "CA_LAW",
    "CA_WORDS",
    "CODEX_LAW",
    "CODEX_WORDS",
    "EU_LAW",
    "EU_WORDS",
    "US_LAW",
    "US_WORDS",
]

FUNCTION_AFTER_NAME = frozenset({"preservative", "to promote color retention"})
"""Functions the US list shows beside the name (21 CFR 101.22(j))."""

PLURALS = {"pectin": "pectins"}
"""Names of additives in the singular that EU law prints in the plural."""


def us_additive(additive_class: str, name: str) -> tuple[str, str]:
    """Name an additive; a chemical preservative with its function."""
    shown = additive_class if additive_class in FUNCTION_AFTER_NAME else ""
    return name, shown


def eu_additive(additive_class: str, name: str) -> tuple[str, str]:
    """Name an additive behind its category (Annex VII.C)."""
    return f"{additive_class}: {PLURALS.get(name.casefold(), name)}", ""


def anz_additive(additive_class: str, name: str) -> tuple[str, str]:
    """Name an additive in brackets behind its class (1.2.4-7, memory)."""
    return additive_class, name


US_LAW = ListLaw(
    regime=AllergenRegime.US,
    sulphite_limit=sulphites.US_LIMIT,
    water=water.boiled_away,
    water_citation="FDA Food Labeling Guide, ch. VI; CPG 555.875",
    incidental_citation="21 CFR 101.100(a)(3)",
    closing_phrase=True,
)
US_WORDS = ListWords(
    regime=AllergenRegime.US,
    heading="Ingredients: ",
    capital_entries=True,
    additive=us_additive,
    full_stop=True,
)

EU_LAW = ListLaw(
    regime=AllergenRegime.EU,
    sulphite_limit=sulphites.EU_LIMIT,
    water=water.remaining_over_share,
    water_citation="Regulation (EU) No 1169/2011 Annex VII.A.1",
    incidental_citation="Regulation (EU) No 1169/2011 Art. 20",
    volatile_by_remainder=True,
    spread_allowed=True,
    bare_alcohol=True,
)
EU_WORDS = ListWords(
    regime=AllergenRegime.EU,
    heading="Ingredients: ",
    emphasise=True,
    annotate=True,
    additive=eu_additive,
)

CA_LAW = ListLaw(
    regime=AllergenRegime.CA,
    sulphite_limit=sulphites.CA_LIMIT,
    water=water.boiled_away,
    water_citation="Food and Drug Regulations B.01.008(3)(e)",
    incidental_citation="Food and Drug Regulations B.01.008",
    group_sugars="Sugars",
)
CA_WORDS = ListWords(
    regime=AllergenRegime.CA,
    heading="Ingredients: ",
    heading_emphasis=True,
    capital_entries=True,
)
CA_FR_WORDS = ListWords(
    regime=AllergenRegime.CA_FR,
    heading="Ingrédients : ",
    heading_emphasis=True,
    language="fr",
    capital_entries=True,
)

ANZ_LAW = ListLaw(
    regime=AllergenRegime.ANZ,
    sulphite_limit=sulphites.ANZ_LIMIT,
    water=water.less_than_share,
    water_citation="Food Standards Code 1.2.4-3",
    incidental_citation="Food Standards Code 1.2.4-3",
)
ANZ_WORDS = ListWords(
    regime=AllergenRegime.ANZ,
    heading="Ingredients: ",
    emphasise=True,
    annotate=True,
    additive=anz_additive,
)

CODEX_LAW = ListLaw(
    regime=AllergenRegime.EU,
    sulphite_limit=sulphites.CODEX_LIMIT,
    water=water.boiled_away,
    water_citation="CXS 1-1985, 4.2.1.5",
    incidental_citation="CXS 1-1985, 4.2.4",
)
CODEX_WORDS = ListWords(
    regime=AllergenRegime.EU,
    heading="Ingredients: ",
    annotate=True,
    additive=eu_additive,
)
