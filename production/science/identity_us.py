"""Names under the US standards: 21 CFR 150.110, .140, .160, and the marmalade guide."""

from dataclasses import dataclass
from decimal import Decimal

from inventory.quantity_format import format_mass
from inventory.words import say
from production.science.identity import (
    IdentityInput,
    NameAnswer,
    NameVerdict,
    fruit_label,
)
from production.science.kinds import ProductKind
from production.science.working import plain

__all__ = ["us_names"]

PLACE = "United States"
JAM_RULE = "21 CFR 150.160"
JELLY_RULE = "21 CFR 150.140"
BUTTER_RULE = "21 CFR 150.110"
MARMALADE_GUIDE = "FDA Compliance Policy Guide 550.575 (1980)"
GROUP_I = Decimal(47) / 55
GROUP_II = Decimal(45) / 55
JELLY = Decimal(45) / 55
BUTTER = Decimal(5) / 2
SWEET_MARMALADE = Decimal(30) / 70
SOUR_MARMALADE = Decimal(25) / 75
SPREADABLE = Decimal("0.65")
BUTTER_SOLIDS = Decimal("0.43")
SHARE = Decimal("0.2")
PINEAPPLE_SHARE = Decimal("0.1")
MOST_FRUITS = 5
SOUR_CITRUS = frozenset({"Bitter Orange", "Lemon", "Lime"})


def us_names(product: IdentityInput) -> tuple[NameAnswer, ...]:
    """The name the product may carry in the United States, and what is missing.

    Args:
        product: what the standards ask.

    Returns:
        The standardised name with its verdict; where it is not earned, also the
        name that is free ("Strawberry Spread").
    """
    kind = product.kind
    if kind is ProductKind.INTERMEDIATE:
        return ()
    if kind in {ProductKind.JAM, ProductKind.PRESERVES}:
        return _with_spread(product, _jam(product))
    if kind is ProductKind.JELLY:
        return _with_spread(product, _jelly(product))
    if kind is ProductKind.BUTTER:
        return (_butter(product),)
    if kind is ProductKind.MARMALADE:
        return (_marmalade(product),)
    return (_free(product),)


def _with_spread(product: IdentityInput, answer: NameAnswer) -> tuple[NameAnswer, ...]:
    if answer.verdict is NameVerdict.EARNED:
        return (answer,)
    spread = NameAnswer(
        place=PLACE,
        name=f"{_fruit_name(product)} Spread",
        verdict=NameVerdict.EARNED,
        is_likely=True,
        reasons=(say("no standard reserves this name; every ingredient is listed"),),
        citation="21 CFR 101.3(b)",
    )
    return (answer, spread)


def _fruit_name(product: IdentityInput) -> str:
    if not product.parts:
        return "Mixed Fruit"
    many = len(product.parts) > MOST_FRUITS
    return "Mixed Fruit" if many else fruit_label(product.parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Found:
    """What a standard found in a product.

    Attributes:
        reasons: figures found.
        missing: what keeps it from the name.
        measure: what only a reading can settle.
        likely: the estimates reach the standard.
    """

    reasons: list[str]
    missing: list[str]
    measure: list[str]
    likely: bool


def _answer(name: str, citation: str, found: _Found) -> NameAnswer:
    verdict = NameVerdict.EARNED
    if found.missing:
        verdict = NameVerdict.NOT_EARNED
    elif found.measure:
        verdict = NameVerdict.MEASURE
    return NameAnswer(
        place=PLACE,
        name=name,
        verdict=verdict,
        reasons=tuple(found.reasons),
        missing=(*found.missing, *found.measure),
        citation=citation,
        is_likely=not found.missing and found.likely,
    )


def _no_standard(
    product: IdentityInput, noun: str, why: str, citation: str
) -> NameAnswer:
    return NameAnswer(
        place=PLACE,
        name=f"{_fruit_name(product)} {noun}",
        verdict=NameVerdict.ASK,
        reasons=(why, say("name it descriptively and ask before you print")),
        citation=citation,
    )


def _proportion(
    fruit_g: Decimal, sweetener_g: Decimal, ratio: Decimal, *, to: int
) -> tuple[str, str | None]:
    """What was found, in the standard's parts, and what is missing from it."""
    if sweetener_g <= 0:
        return say("no sweetener is added"), None
    found = fruit_g / sweetener_g * to
    wanted = ratio * to
    reason = say(
        "{found} parts of fruit to {to} of sweetener solids; {wanted} are needed",
        found=plain(found),
        to=to,
        wanted=plain(wanted),
    )
    short_g = ratio * sweetener_g - fruit_g
    if short_g <= 0:
        return reason, None
    less_g = sweetener_g - fruit_g / ratio
    return reason, (
        say(
            "{wanted} more parts of fruit ({short} in this batch), or "
            "{less} less sugar ({share} % of it)",
            wanted=plain(wanted - found),
            short=format_mass(short_g),
            less=format_mass(less_g),
            share=plain(less_g / sweetener_g * 100),
        )
    )


def _solids(
    product: IdentityInput, least: Decimal
) -> tuple[str, str | None, str | None]:
    """What was found, what is missing, what must be measured."""
    likely = product.solids
    reason = say(
        "soluble solids {likely} %; {least} % needed",
        likely=likely.scaled(Decimal(100)).text(),
        least=plain(least * 100),
    )
    if likely.likely < least and (product.measured_solids or likely.high < least):
        return (
            reason,
            say("cook on to {least} % soluble solids", least=plain(least * 100)),
            None,
        )
    if likely.low >= least or (product.measured_solids and likely.likely >= least):
        return reason, None, None
    return (
        reason,
        None,
        say("a refractometer reading of {least} % or more", least=plain(least * 100)),
    )


def _combination(product: IdentityInput) -> list[str]:
    """What breaks the rule on combinations of two to five fruits."""
    shares = product.shares()
    if len(shares) > MOST_FRUITS:
        return [
            say(
                "at most {most_fruits} fruits, not {shares}",
                most_fruits=MOST_FRUITS,
                shares=len(shares),
            )
        ]
    if len(shares) == 1:
        return []
    missing = []
    for fruit, share in shares:
        least = PINEAPPLE_SHARE if fruit.label == "Pineapple" else SHARE
        if share < least:
            missing.append(
                say(
                    "{fruit} as at least {least} % of the fruit, not {share} %",
                    fruit=fruit.label.lower(),
                    least=plain(least * 100),
                    share=plain(share * 100),
                )
            )
    return missing


def _jam(product: IdentityInput) -> NameAnswer:
    noun = "Preserves" if product.kind is ProductKind.PRESERVES else "Jam"
    parts = product.parts
    outside = [
        part.fruit.label.lower()
        for part in parts
        if part.fruit.group is None and not part.is_juice
    ]
    if not parts or outside:
        what = ", ".join(outside) or say("nothing here")
        return _no_standard(
            product, noun, say("the standard does not list {what}", what=what), JAM_RULE
        )
    groups = {part.fruit.group for part in parts}
    if groups == {"combination"}:
        why = say("the standard takes apple only together with other fruit")
        return _no_standard(product, noun, why, JAM_RULE)
    ratio = GROUP_I if groups == {"I"} else GROUP_II
    reason, short = _proportion(product.fruit_g, product.sweetener_g, ratio, to=55)
    solids_reason, thin, measure = _solids(product, SPREADABLE)
    missing = [text for text in (short, thin) if text]
    missing += _combination(product)
    missing += _apple_share(product)
    missing += [
        say("no {fruit} juice", fruit=part.fruit.label.lower())
        for part in parts
        if part.is_juice
    ]
    missing += [
        say("fresh or frozen {fruit}, not dried", fruit=part.fruit.label.lower())
        for part in parts
        if part.is_dried
    ]
    missing += [say("no {other}", other=say(other)) for other in product.others]
    return _answer(
        f"{_fruit_name(product)} {noun}",
        f"{JAM_RULE}(b)-(e)",
        _Found(
            missing=missing,
            reasons=[reason, solids_reason],
            measure=[*([measure] if measure else []), *_unknowns(product)],
            likely=product.solids.likely >= SPREADABLE,
        ),
    )


def _apple_share(product: IdentityInput) -> list[str]:
    return [
        say(
            "apple as at most 50 % of the fruit, not {share} %",
            share=plain(share * 100),
        )
        for fruit, share in product.shares()
        if fruit.group == "combination" and share > Decimal("0.5")
    ]


def _unknowns(product: IdentityInput) -> list[str]:
    return [
        say("an answer on {name}, which the standards here do not know", name=name)
        for name in product.unknown
    ]


def _jelly(product: IdentityInput) -> NameAnswer:
    parts = product.parts
    outside = [
        part.fruit.label.lower() for part in parts if part.fruit.jelly_factor is None
    ]
    if not parts or outside:
        what = ", ".join(outside) or say("a jelly without fruit juice")
        return _no_standard(
            product,
            "Jelly",
            say("the standard does not list {what}", what=what),
            JELLY_RULE,
        )
    juice_g = sum(
        (part.solids_g.likely * (part.fruit.jelly_factor or 0) for part in parts),
        Decimal(0),
    )
    reason, short = _proportion(juice_g, product.sweetener_g, JELLY, to=55)
    solids_reason, thin, measure = _solids(product, SPREADABLE)
    missing = [text for text in (short, thin) if text] + _combination(product)
    missing += [say("no {other}", other=say(other)) for other in product.others]
    wanted = [measure] if measure else []
    if not short:
        wanted += _sure_of_juice(product)
    return _answer(
        f"{_fruit_name(product)} Jelly",
        f"{JELLY_RULE}(b)-(e)",
        _Found(
            missing=missing,
            reasons=[
                say(
                    "juice counted by its solids: {juice} of standard juice",
                    juice=format_mass(juice_g),
                ),
                reason,
                solids_reason,
            ],
            measure=[*wanted, *_unknowns(product)],
            likely=product.solids.likely >= SPREADABLE,
        ),
    )


def _sure_of_juice(product: IdentityInput) -> list[str]:
    """The juice's own solids decide; say so where the range does not settle it."""
    least = sum(
        (part.solids_g.low * (part.fruit.jelly_factor or 0) for part in product.parts),
        Decimal(0),
    )
    if least >= JELLY * product.sweetener_g:
        return []
    return [say("a refractometer reading of the juice before sugar")]


def _butter(product: IdentityInput) -> NameAnswer:
    parts = product.parts
    outside = [
        part.fruit.label.lower() for part in parts if part.fruit.butter_factor is None
    ]
    if not parts or outside:
        what = ", ".join(outside) or say("nothing here")
        return _no_standard(
            product,
            "Butter",
            say("the standard does not list {what}", what=what),
            BUTTER_RULE,
        )
    fruit_g = sum(
        (part.solids_g.likely * (part.fruit.butter_factor or 0) for part in parts),
        Decimal(0),
    )
    reason, short = _proportion(fruit_g, product.sweetener_g, BUTTER, to=2)
    solids_reason, thin, measure = _solids(product, BUTTER_SOLIDS)
    missing = [text for text in (short, thin) if text] + _combination(product)
    missing += [say("no {other}", other=say(other)) for other in product.others]
    return _answer(
        f"{_fruit_name(product)} Butter",
        f"{BUTTER_RULE}(b)-(e)",
        _Found(
            missing=missing,
            reasons=[
                say(
                    "fruit counted by its solids: {fruit} of standard fruit",
                    fruit=format_mass(fruit_g),
                ),
                reason,
                solids_reason,
            ],
            measure=[*([measure] if measure else []), *_unknowns(product)],
            likely=product.solids.likely >= BUTTER_SOLIDS,
        ),
    )


def _marmalade(product: IdentityInput) -> NameAnswer:
    citrus = [part for part in product.parts if part.is_citrus]
    if not citrus or len(citrus) != len(product.parts):
        why = say(
            "marmalade is kept for citrus; from other fruit the jam standard "
            "is expected"
        )
        return _no_standard(product, "Marmalade", why, MARMALADE_GUIDE)
    sour = all(part.fruit.label in SOUR_CITRUS for part in citrus)
    ratio, to = (SOUR_MARMALADE, 75) if sour else (SWEET_MARMALADE, 70)
    reason, short = _proportion(product.fruit_g, product.sweetener_g, ratio, to=to)
    solids_reason, thin, measure = _solids(product, SPREADABLE)
    labels = list(dict.fromkeys(part.fruit.label for part in citrus))
    name = (
        labels[0] if len(labels) == 1 else ", ".join(labels[:-1]) + f" and {labels[-1]}"
    )
    return _answer(
        f"{name} Marmalade",
        f"{MARMALADE_GUIDE}; no standard of identity",
        _Found(
            missing=[text for text in (short, thin) if text],
            reasons=[reason, solids_reason],
            measure=[measure] if measure else [],
            likely=product.solids.likely >= SPREADABLE,
        ),
    )


def _free(product: IdentityInput) -> NameAnswer:
    fruit = fruit_label([part for part in product.parts if not part.is_dried][:3])
    noun = product.kind.words.title()
    reasons = [
        (
            say(
                "no standard covers {kind}: a common or descriptive name, with "
                "every ingredient listed",
                kind=product.kind.said,
            )
        )
    ]
    if "nuts" in product.others or any(part.is_dried for part in product.parts):
        reasons.append(
            say("nuts and dried fruit belong in the name, or in words beside it")
        )
    return NameAnswer(
        place=PLACE,
        name=f"{fruit} {noun}".strip(),
        verdict=NameVerdict.EARNED,
        is_likely=True,
        reasons=tuple(reasons),
        citation="21 CFR 101.3(b)",
    )
