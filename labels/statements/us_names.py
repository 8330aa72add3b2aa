"""Common or usual names of ingredients in the United States, and wrong ones.

Source: 21 CFR 101.4(b), 101.22.
"""

import re

__all__ = ["certified_colour_name", "class_name", "name_problem"]

CLASS_NAMES = (
    (r"(?:dried|dry|powdered|frozen|liquid|fresh)? ?(?:whole )?eggs?", "eggs"),
    (r"(?:dried|frozen|liquid) egg whites?", "egg whites"),
    (r"(?:dried|frozen|liquid) egg yolks?", "egg yolks"),
    (r"(?:concentrated|reconstituted|dry|dried) (?:whole )?milk", "milk"),
    (r"(?:concentrated|reconstituted|dry|dried) (?:skim|nonfat) milk", "nonfat milk"),
    (r"(?:concentrated|reconstituted|dry|dried) buttermilk", "buttermilk"),
    (r"(?:concentrated|reconstituted|dry|dried) whey", "whey"),
    (r"(?:butter ?oil|anhydrous butterfat)", "butterfat"),
)
"""Foods that may go by a class name: 101.4(b)(3)-(12)."""

FOODS_NOT_SPICES = ("onion", "garlic", "celery")
OTHER_SUGARS = (
    "coconut",
    "palm",
    "honey",
    "maple",
    "agave",
    "corn",
    "dextrose",
    "glucose",
    "date",
)
PRESERVATIVES = (
    "sorbate",
    "sorbic acid",
    "benzoate",
    "benzoic acid",
    "bisulfite",
    "bisulphite",
    "metabisulfite",
    "metabisulphite",
    "sulfur dioxide",
    "sulphur dioxide",
    "propionate",
)


def class_name(name: str) -> str:
    """Return the class name a food may go by, or its own name."""
    for pattern, usual in CLASS_NAMES:
        if re.fullmatch(pattern, name.strip(), re.IGNORECASE):
            return usual
    return name


def certified_colour_name(name: str) -> str:
    """Return a certified colour's listed name, without its needless letters.

    "FD&C" and "No." may go, "Lake" stays: 101.22(k)(1).
    """
    short = re.sub(r"\b(?:FD&C|D&C)\s+|\bNo\.?\s*", "", name)
    return re.sub(
        r"\s+(?:aluminum|aluminium|calcium)\s+lake\b",
        " Lake",
        short,
        flags=re.IGNORECASE,
    )


def name_problem(label_name: str, material: str = "", additive_class: str = "") -> str:
    """Return what is wrong with a name on the label, or "".

    Args:
        label_name: as it is to be printed.
        material: what it is.
        additive_class: its function, "" for a food.
    """
    shown, real = label_name.casefold().strip(), material.casefold()
    if shown == "sugar" and any(word in real for word in OTHER_SUGARS):
        return (
            f'"sugar" means cane or beet sugar only (101.4(b)(20)); write "{material}"'
        )
    if shown in ("spice", "spices") and any(word in real for word in FOODS_NOT_SPICES):
        return f'"{material}" is a food, not a spice (101.22(a)(2), (h)(3)); name it'
    is_preservative = any(word in f"{shown} {real}" for word in PRESERVATIVES)
    if is_preservative and not additive_class and "(" not in shown:
        return (
            f'"{label_name}" is a chemical preservative; enter its function so that '
            "it stands beside the name (101.22(j))"
        )
    return ""
