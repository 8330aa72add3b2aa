"""An amount as a published recipe prints it: ranges, packages, "about".

The cook's own reader (`inventory.quantities`) takes one exact amount. Recipes in
print also say "4 to 4 1/2 cups", "1 package (3 oz)" and "about 2 lb": those are
taken apart here into one or two exact quantities, and the package into its size.
"""

import re
from dataclasses import dataclass
from fractions import Fraction

from inventory.quantities import Quantity, read_quantity
from inventory.quantity_parts import MissingUnitError, Part, UnreadableQuantityError
from inventory.units import canonical_unit

__all__ = ["Amount", "read_amount", "split_line"]

NUMBER = r"(?:\d+[ -]\d+/0*[1-9]\d*|\d+/0*[1-9]\d*|\d*\.\d+|\d+)"
PACK = (
    r"(?:box|boxes|package|packages|pkg|pkgs|pack|packs|packet|packets|pouch|pouches|can|"
    r"cans|jar|jars|bottle|bottles|envelope|envelopes|carton|cartons|bag|bags|container|"
    r"containers|basket|baskets)"
)
MEASURE = r"(?:fl\.? ?oz\.?|fluid ounces?|ounces?|oz\.?|g|grams?|ml|pounds?|lbs?\.?|pints?|quarts?)"
HEDGES = re.compile(
    r"\b(about|approximately|approx\.?|around|scant|heaping|heaped|generous|level|slightly|"
    r"rounded|a little|or so|or more|optional)\b"
)
RANGE = re.compile(
    rf"^(?P<low>{NUMBER}) *(?:to|or|-) *(?P<high>{NUMBER})(?P<rest>\D.*|)$"
)
SIZED_PACK = re.compile(
    rf"^(?:(?P<count>{NUMBER}|one|two|three|four|a) )??(?P<size>{NUMBER})[ -]?"
    rf"(?P<unit>{MEASURE})[ -]{PACK}$"
)
INNER_SIZE = re.compile(rf"(?P<size>{NUMBER})[ -]?(?P<unit>{MEASURE})(?: each)?")
MEASURED_BOX = re.compile(rf"\b(quarts?|pints?|pounds?|cups?|lbs?)[ -]{PACK}\b")
MIXED = re.compile(r"\b(\d+)-(\d+/\d+)")
FRACTIONS = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅛": "1/8",
             "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅙": "1/6", "⅕": "1/5"}  # fmt: skip
SIZES = {"small", "medium", "large", "extra", "big"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """One amount, or the two ends of a printed range.

    Attributes:
        text: as printed.
        low: the smaller end.
        high: the larger end; equal to ``low`` where there is no range.
    """

    text: str
    low: Quantity
    high: Quantity

    @property
    def is_packed(self) -> bool:
        """Counted in cans, boxes or bags, whose content is ready to use."""
        return bool(re.search(rf"\b{PACK}\b", self.text.lower()))


def read_amount(text: str) -> Amount:
    """Read an amount as recipes print it.

    Args:
        text: "5 1/2 cups", "4 to 4 1/2 cups", "1 package (3 oz)", "3, large".

    Returns:
        One or two exact quantities.

    Raises:
        QuantityError: the text cannot be read; the sentence says what to write.
    """
    plain, inner = _plain(text)
    ends = RANGE.match(plain)
    if ends and _value(ends["low"]) < _value(ends["high"]):
        low, high = (ends[side] + ends["rest"] for side in ("low", "high"))
    else:
        low = high = plain
    return Amount(text=text.strip(), low=_read(low, inner), high=_read(high, inner))


def _plain(text: str) -> tuple[str, str]:
    """Text without hedges and brackets, and what stood in the brackets."""
    plain = text.strip()
    for sign, spelled in FRACTIONS.items():
        plain = plain.replace(sign, f" {spelled}")
    plain = re.sub("[\u2010-\u2015\u2212]", "-", plain.replace("\u2044", "/"))
    plain = re.sub(r"(?<=\d) *T\b\.?", " tbsp", plain)
    plain = re.sub(r"(?<=\d) *t\b\.?", " tsp", plain)
    inner = " ".join(re.findall(r"\(([^)]*)\)", plain))
    plain = re.sub(r"\([^)]*\)", " ", plain)
    plain = HEDGES.sub(" ", plain.lower())
    plain = MEASURED_BOX.sub(r"\1", MIXED.sub(r"\1 \2", plain))
    return " ".join(plain.split()).strip(" ,;"), MIXED.sub(r"\1 \2", inner.lower())


def _value(number: str) -> Fraction:
    return sum((Fraction(part) for part in re.split("[ -]", number)), Fraction(0))


def _read(plain: str, inner: str) -> Quantity:
    sized = SIZED_PACK.match(plain)
    if sized:
        one = read_quantity(f"{sized['size']} {sized['unit']}")
        return _times(one, _count(sized["count"]))
    try:
        quantity = read_quantity(plain)
    except MissingUnitError:
        quantity = read_quantity(f"{plain} each")
    size = INNER_SIZE.search(inner)
    if size and re.search(rf"\b{PACK}$", plain):
        one = read_quantity(f"{size['size']} {size['unit']}")
        return _times(one, quantity.parts[0].amount)
    return quantity


def _count(word: str | None) -> Fraction:
    if word is None:
        return Fraction(1)
    spelled = {"one": 1, "a": 1, "two": 2, "three": 3, "four": 4}
    return Fraction(spelled[word]) if word in spelled else _value(word)


def _times(one: Quantity, count: Fraction) -> Quantity:
    return Quantity(
        text=one.text,
        parts=tuple(
            Part(amount=part.amount * count, unit=part.unit) for part in one.parts
        ),
    )


def split_line(line: str) -> tuple[str, str]:
    """Take a whole ingredient line apart into amount and material.

    Args:
        line: "5 1/2 cups crushed strawberries (about 3 quart boxes)".

    Returns:
        The amount ("5 1/2 cups") and the rest ("crushed strawberries").

    Raises:
        QuantityError: the line does not begin with an amount.
    """
    for sign, spelled in FRACTIONS.items():
        line = line.replace(sign, f" {spelled}")
    found = re.match(
        rf" *(?P<amount>(?:about )?{NUMBER}(?: *(?:to|-|or) *{NUMBER})?) *"
        rf"(?P<inner>\([^)]*\))? *(?P<rest>.*)$",
        line,
    )
    if not found:
        raise UnreadableQuantityError(line)
    unit, rest = _leading_unit(found["rest"].split())
    amount = " ".join(filter(None, (found["amount"], unit, found["inner"])))
    return amount, rest.removeprefix("of ").strip()


def _leading_unit(tokens: list[str]) -> tuple[str, str]:
    """Unit, pack or size words at the head of the rest of a line."""
    unit: list[str] = []
    while tokens and _is_unit(tokens[0], after_unit=bool(unit)):
        unit.append(tokens.pop(0).strip(",").removesuffix("-sized"))
    if unit and tokens and tokens[0].startswith("("):
        while tokens:
            token = tokens.pop(0)
            unit.append(token)
            if token.endswith(")"):
                break
    return " ".join(unit), " ".join(tokens)


def _is_unit(token: str, *, after_unit: bool) -> bool:
    word = token.strip(".,").lower().removesuffix("-sized")
    if re.fullmatch(PACK, word):
        return True
    if after_unit:
        return False
    known = word in SIZES or word in {
        "cloves",
        "sprigs",
        "sticks",
        "stalks",
        "drops",
        "heads",
    }
    return known or canonical_unit(word) is not None or token in {"T", "t"}
