"""Names abroad: Codex CXS 296-2009, Directive 2001/113/EC, the UK, Canada.

Most of these were read in copies that quote the law; Codex figures come from memory
and so may warn but never refuse. A place profile dates the text it was read from.
"""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from inventory.quantity_format import format_mass
from inventory.words import say
from production.science.identity import (
    IdentityInput,
    NameAnswer,
    NameVerdict,
    fruit_label,
    minimum,
)
from production.science.kinds import ProductKind
from production.science.working import plain

__all__ = ["abroad_names", "canada_names", "codex_names", "eu_names", "uk_names"]

CODEX = "Codex CXS 296-2009, sections 3.1.2 and 3.2 (figures from memory)"
EU = "Directive 2001/113/EC, annex I, figures from 14 June 2026"
UK = "Jam and Similar Products Regulations (SI 2003/3120; WSI 2018/274; SR 2018/78)"
CANADA = (
    "Canadian Food Compositional Standards, volume 10 (former FDR B.11.201 to B.11.241)"
)
SIXTY = Decimal("0.60")
THOUSAND = Decimal(1000)
JAM_LIKE = frozenset({ProductKind.JAM, ProductKind.PRESERVES, ProductKind.CONSERVE})
NOT_MIXED_IN_EXTRA = frozenset(
    {"Apple", "Pear", "Melon", "Watermelon", "Grape", "Pumpkin", "Cucumber", "Tomato"}
)
APPLE_RHUBARB = frozenset({"Apple", "Rhubarb"})


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rule:
    """One name with its minimum fruit and solids.

    Attributes:
        place: whose standard.
        noun: "Jam", "Extra Jam".
        fruit: least fruit as a fraction of the product; None where no figure is set.
        solids: least soluble solids, fraction.
        citation: the rule.
        refuses: False where the figure is from memory: it may only warn.
    """

    place: str
    noun: str
    fruit: Decimal | None
    solids: Decimal
    citation: str
    refuses: bool = True


def abroad_names(product: IdentityInput) -> tuple[NameAnswer, ...]:
    """Names under the standards outside the United States, place by place."""
    if product.kind is ProductKind.INTERMEDIATE:
        return ()
    return (
        *codex_names(product),
        *eu_names(product),
        *uk_names(product),
        *canada_names(product),
    )


def _noun(product: IdentityInput) -> str | None:
    """The standardised noun of a kind; None where none of these standards has one."""
    if product.kind in JAM_LIKE:
        return "Jam"
    if product.kind is ProductKind.JELLY:
        return "Jelly"
    return "Marmalade" if product.kind is ProductKind.MARMALADE else None


def _judge(
    product: IdentityInput, rule: _Rule, *, also_missing: tuple[str, ...] = ()
) -> NameAnswer:
    reasons, missing, measure = [], list(also_missing), []
    if rule.fruit is not None:
        share = product.fruit_share
        reasons.append(
            say(
                "{share} g of fruit per 100 g; {fruit} g needed",
                share=share.scaled(Decimal(100)).text(),
                fruit=plain(rule.fruit * 100),
            )
        )
        if share.likely < rule.fruit:
            more_g = (rule.fruit - share.likely) * product.finished_g.likely
            missing.append(
                say("{more} more fruit in this batch", more=format_mass(more_g))
            )
        elif share.low < rule.fruit:
            measure.append(
                say("the weight of the finished batch, which decides the fruit content")
            )
        if product.kind is ProductKind.JELLY:
            measure.append(
                say("the water in the extract, which is not fruit, to be deducted")
            )
    reasons.append(
        say(
            "soluble solids {solids} %; {needed} % needed",
            solids=product.solids.scaled(Decimal(100)).text(),
            needed=plain(rule.solids * 100),
        )
    )
    _judge_solids(product, rule, missing, measure)
    verdict = NameVerdict.EARNED
    if missing:
        verdict = NameVerdict.NOT_EARNED if rule.refuses else NameVerdict.ASK
    elif measure:
        verdict = NameVerdict.MEASURE
    return NameAnswer(
        place=rule.place,
        name=f"{_fruits(product)} {rule.noun}".strip(),
        verdict=verdict,
        reasons=tuple(reasons),
        missing=(*missing, *measure),
        citation=rule.citation,
    )


def _judge_solids(
    product: IdentityInput, rule: _Rule, missing: list[str], measure: list[str]
) -> None:
    wanted = f"{plain(rule.solids * 100)} %"
    solids = product.solids
    if solids.likely < rule.solids and (
        product.measured_solids or solids.high < rule.solids
    ):
        missing.append(say("cook on to {wanted} soluble solids", wanted=wanted))
    elif not product.measured_solids and solids.low < rule.solids:
        measure.append(
            say("a refractometer reading of {wanted} or more", wanted=wanted)
        )


def _fruits(product: IdentityInput) -> str:
    labels = list(dict.fromkeys(part.fruit.label for part in product.parts))
    if len(labels) >= 3:
        return "Mixed Fruit"
    if len(labels) == 2:
        return f"{labels[0]} and {labels[1].lower()}"
    return fruit_label(product.parts[:1])


def _outside(
    product: IdentityInput, place: str, citation: str
) -> tuple[NameAnswer, ...]:
    return (
        NameAnswer(
            place=place,
            name=f"{_fruits(product)} {product.kind.words.title()}".strip(),
            verdict=NameVerdict.ASK,
            reasons=(
                say(
                    "this standard has no {kind}: a descriptive name",
                    kind=product.kind.said,
                ),
            ),
            citation=citation,
        ),
    )


def codex_names(product: IdentityInput) -> tuple[NameAnswer, ...]:
    """Codex jam, jelly or citrus marmalade, both sets of figures."""
    noun = _noun(product)
    if noun is None or not product.parts:
        return _outside(product, "Codex", CODEX)
    if noun == "Marmalade":
        rule = _Rule(
            place="Codex",
            noun=noun,
            fruit=Decimal("0.20"),
            solids=SIXTY,
            citation=CODEX,
            refuses=False,
        )
        return (_judge(product, rule),)
    answers = []
    for column, words in ((0, ""), (1, ", where the country allows the lower set")):
        percent = minimum(
            "codex_percent", product, column=column, of=lambda fruit: fruit.codex
        )
        rule = _Rule(
            place="Codex",
            noun=f"{noun}{words}",
            fruit=percent / 100,
            solids=SIXTY,
            citation=CODEX,
            refuses=False,
        )
        answers.append(_judge(product, rule))
    return tuple(answers)


def eu_names(product: IdentityInput) -> tuple[NameAnswer, ...]:
    """European Union, products made from 14 June 2026."""
    return _directive(product, "European Union", "eu_from_2026", EU, "citrus marmalade")


def uk_names(product: IdentityInput) -> tuple[NameAnswer, ...]:
    """United Kingdom, by the texts read (the figures of the older directive)."""
    return _directive(product, "United Kingdom", "eu_until_2026", UK, "marmalade")


def _directive(
    product: IdentityInput, place: str, table: str, citation: str, marmalade: str
) -> tuple[NameAnswer, ...]:
    noun = _noun(product)
    if noun is None or not product.parts:
        return _outside(product, place, citation)
    if noun == "Marmalade":
        return (_directive_marmalade(product, place, citation, marmalade),)
    answers = []
    for column, grade in ((0, noun), (1, f"Extra {noun}")):
        per_kg = minimum(table, product, column=column, of=lambda fruit: fruit.eu)
        rule = _Rule(
            place=place,
            noun=grade,
            fruit=per_kg / THOUSAND,
            solids=SIXTY,
            citation=citation,
        )
        answers.append(
            _judge(product, rule, also_missing=_extra(product) if column else ())
        )
    return tuple(answers)


def _directive_marmalade(
    product: IdentityInput, place: str, citation: str, noun: str
) -> NameAnswer:
    rule = _Rule(
        place=place, noun=noun, fruit=Decimal("0.20"), solids=SIXTY, citation=citation
    )
    others = tuple(
        say("citrus only, not {fruit}", fruit=part.fruit.label.lower())
        for part in product.parts
        if not part.is_citrus
    )
    answer = _judge(product, rule, also_missing=others)
    pulp_g = sum((part.grams for part in product.parts if not part.is_peel), Decimal(0))
    if (
        answer.verdict is NameVerdict.EARNED
        and pulp_g < Decimal("0.15") * product.finished_g.high
    ):
        return NameAnswer(
            place=place,
            name=answer.name,
            verdict=NameVerdict.MEASURE,
            reasons=answer.reasons,
            missing=(
                "7.5 g of the fruit per 100 g must be pulp and juice: weigh the peel",
            ),
            citation=citation,
        )
    return answer


def _extra(product: IdentityInput) -> tuple[str, ...]:
    """Fruits that extra jam and extra jelly take only by themselves."""
    if len(product.parts) < 2:
        return ()
    return tuple(
        say("no {fruit} mixed with other fruit", fruit=part.fruit.label.lower())
        for part in product.parts
        if part.fruit.label in NOT_MIXED_IN_EXTRA
    )


def canada_names(product: IdentityInput) -> tuple[NameAnswer, ...]:
    """Canada: jam, jam with pectin, marmalade, preserve, jelly, jelly with pectin."""
    makers: dict[ProductKind, Callable[[IdentityInput], _Rule]] = {
        ProductKind.JAM: _canada_jam,
        ProductKind.CONSERVE: _canada_preserve,
        ProductKind.PRESERVES: _canada_preserve,
        ProductKind.JELLY: _canada_jelly,
        ProductKind.MARMALADE: _canada_marmalade,
    }
    maker = makers.get(product.kind)
    if maker is None or not product.parts:
        return _outside(product, "Canada", CANADA)
    not_named: tuple[str, ...] = ()
    if (
        product.kind is not ProductKind.JELLY
        and product.kind is not ProductKind.MARMALADE
    ):
        not_named = tuple(
            say("no {fruit} (it has a name of its own)", fruit=part.fruit.label.lower())
            for part in product.parts
            if part.fruit.label in APPLE_RHUBARB
        )
    return (_judge(product, maker(product), also_missing=not_named),)


def _canada(noun: str, fruit: str | None, solids: str) -> _Rule:
    return _Rule(
        place="Canada",
        noun=noun,
        fruit=Decimal(fruit) if fruit else None,
        solids=Decimal(solids),
        citation=CANADA,
    )


def _canada_jam(product: IdentityInput) -> _Rule:
    if product.pectin_added:
        return _canada("Jam with Pectin", "0.27", "0.66")
    return _canada("Jam", "0.45", "0.66")


def _canada_preserve(product: IdentityInput) -> _Rule:
    """45 parts of fruit to 55 of sweetener, told as a share of this product."""
    needed = Decimal(45) / 55 * product.sweetener_g / product.finished_g.likely
    return _Rule(
        place="Canada", noun="Preserve", fruit=needed, solids=SIXTY, citation=CANADA
    )


def _canada_jelly(product: IdentityInput) -> _Rule:
    if product.pectin_added:
        return _canada("Jelly with Pectin", "0.32", "0.62")
    return _canada("Jelly", None, "0.62")


def _canada_marmalade(product: IdentityInput) -> _Rule:
    if product.pectin_added:
        return _canada("Marmalade with Pectin", "0.27", "0.65")
    return _canada("Marmalade", None, "0.65")
