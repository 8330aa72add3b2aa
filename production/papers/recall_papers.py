"""Papers of a recall: the letter to a shop, the sign at the stall, the post to buyers.

What a letter must say follows the federal guidance: the headline, every code, why
and what harm, how far it goes, what to do, whom to call, and a form to answer on.
The words about the fault are the maker's own.

Source: FDA guidance "Product Recalls, Including Removals and Corrections"; 21 CFR
7.49.
"""

from collections.abc import Sequence

from reportlab.platypus import Flowable  # noqa: TID253 - imported with papers only

from inventory import paper
from inventory.words import say, to_say
from production.recall_rules import HEADLINE, RecallNotice

__all__ = ["buyer_post", "market_sign", "shop_letter"]

ILL = to_say("If you feel ill after eating it, see a doctor and say what you ate.")


def shop_letter(notice: RecallNotice, *, shop: str, address: str, jars: int) -> bytes:
    """Write the letter to one shop, with its reply form, as PDF.

    Args:
        notice: what is recalled and why.
        shop: name of the shop.
        address: its contact line; may be empty.
        jars: jars it got, by the book.
    """
    parts = [
        paper.title(say(HEADLINE)),
        paper.text(f"{notice.maker}\n" + "\n".join(notice.address)),
        paper.text(f"{notice.on:%d %B %Y}"),
        paper.text(
            "\n".join(
                part
                for part in (say("To the manager of {shop}", shop=shop), address)
                if part
            )
        ),
        paper.heading(say("Please take these jars off sale now")),
        _products(notice),
        paper.text(say("By our book you got {jars} of these jars.", jars=jars)),
        *_reasons(notice),
        paper.heading(say("What we ask of you")),
        *paper.bullet_list(
            [
                (
                    say(
                        "Take the jars from the shelf, the back room and from what buyers "
                        "brought back."
                    )
                ),
                say(
                    "Stop handing them on. If you passed some on, pass this letter on "
                    "too."
                ),
                say(
                    "Keep them apart until we fetch them; do not destroy them unasked."
                ),
                say("Tell everybody who sells in your shop."),
                say("Answer today on the form below, or by telephone."),
            ]
        ),
        _contact(notice),
        paper.together(_reply_form(shop)),
    ]
    return paper.pdf(parts, name=f"{say(HEADLINE)}, {shop}", footer=_footer(notice))


def market_sign(notice: RecallNotice) -> bytes:
    """Write the sign for the stall and the market's board, as PDF.

    Its words are large: it is read standing, over a table.
    """
    products = [
        paper.title(f"{product.name}: {', '.join(product.codes)}")
        for product in notice.products
    ]
    parts = [
        paper.title(say(HEADLINE)),
        paper.title(say("{maker} asks you to bring back", maker=notice.maker)),
        paper.gap(6),
        *products,
        paper.gap(6),
        paper.text(say("The batch code is on the label or the lid.")),
        *_sold(notice),
        *_reasons(notice),
        paper.gap(6),
        paper.title(notice.words.what_to_do),
        paper.caution(say(ILL)),
        paper.title(say("Questions: {notice}", notice=_whom(notice))),
    ]
    return paper.pdf(
        parts,
        name=say("{headline}, sign", headline=say(HEADLINE)),
        footer=_footer(notice),
    )


def buyer_post(notice: RecallNotice) -> bytes:
    """Write the post to buyers who left an address, as PDF."""
    parts = [
        paper.title(say(HEADLINE)),
        paper.text(f"{notice.maker}, {notice.on:%d %B %Y}"),
        paper.text(
            say(
                "You may have bought one of these jars from us. Please look at the "
                "batch code on its label or lid."
            )
        ),
        _products(notice),
        *_sold(notice),
        *_reasons(notice),
        paper.heading(say("What to do")),
        paper.text(notice.words.what_to_do),
        paper.caution(say(ILL)),
        _contact(notice),
    ]
    return paper.pdf(
        parts,
        name=say("{headline}, post", headline=say(HEADLINE)),
        footer=_footer(notice),
    )


def _products(notice: RecallNotice) -> Flowable:
    columns = [
        paper.Column(heading=say("Product"), share=2),
        paper.Column(heading=say("Batch code on label or lid"), share=2),
        paper.Column(heading=say("Best by"), share=1.2),
        paper.Column(heading=say("Jars made"), share=0.8, align="right"),
    ]
    rows = [
        [
            product.name,
            ", ".join(product.codes),
            ", ".join(f"{day:%d %b %Y}" for day in product.best_by),
            str(product.jars),
        ]
        for product in notice.products
    ]
    return paper.table(columns, rows)


def _reasons(notice: RecallNotice) -> Sequence[Flowable]:
    pairs = [(say("Why"), notice.words.why), (say("What harm"), notice.words.harm)]
    if notice.authority_class:
        pairs.append(
            (
                say("Class"),
                say(
                    "class {authority_class}, given by the authority",
                    authority_class=notice.authority_class,
                ),
            )
        )
    return [
        paper.facts([(name, words or say("to be filled in")) for name, words in pairs])
    ]


def _sold(notice: RecallNotice) -> Sequence[Flowable]:
    if not notice.sold_where:
        return []
    return [
        paper.heading(say("Where it was sold")),
        *paper.bullet_list(notice.sold_where),
    ]


def _contact(notice: RecallNotice) -> Flowable:
    return paper.facts([(say("Questions"), _whom(notice))])


def _whom(notice: RecallNotice) -> str:
    return notice.words.contact or notice.phone or say("to be filled in")


def _reply_form(shop: str) -> Sequence[Flowable]:
    return [
        paper.heading(say("Answer of {shop}", shop=shop)),
        paper.write_in(say("Jars found and taken off sale"), 120),
        paper.write_in(say("Jars sold already"), 120),
        paper.write_in(say("Jars passed on, and to whom"), 160),
        paper.write_in(say("Name and signature"), 160),
        paper.write_in(say("Date"), 80),
    ]


def _footer(notice: RecallNotice) -> str:
    return say(
        "{maker}. Your local authority's word goes before this paper.",
        maker=notice.maker,
    )
