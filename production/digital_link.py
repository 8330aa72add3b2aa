"""GS1 Digital Link: the web address a QR code of a jar may carry.

``https://host/01/{GTIN}/10/{batch code}`` names product and batch and opens a
page in any phone. Writing needs a licensed GTIN; a maker without one uses a
plain address of their own (``plain_address``). Only the form is handled here,
nothing is fetched.

Source: GS1 Barcode Syntax Dictionary and the tests of the GS1 Syntax Engine
(both Apache-2.0), snapshots of 2026; characters that stay unescaped: RFC 3986,
section 2.3.
"""

import re
from collections.abc import Sequence
from urllib.parse import quote, unquote

from inventory.words import say
from production.gs1 import Element, ElementStringError, find_identifier

__all__ = ["DigitalLinkError", "digital_link", "plain_address", "read_digital_link"]

_PRIMARY_KEYS = ("00", "01", "414", "417")
_ADDRESS = re.compile(r"(https?|HTTPS?)://([^/?#]+)(/[^?#]*)?(?:\?([^#]*))?(?:#.*)?")


class DigitalLinkError(ElementStringError):
    """A web address is not a GS1 Digital Link."""


def digital_link(elements: Sequence[Element], *, stem: str) -> str:
    """Write elements as a web address.

    Args:
        elements: exactly one primary key (GTIN, SSCC, location or party), and
            what describes it, in any order.
        stem: scheme, host and optional path before the key, such as
            ``https://id.gs1.org``.

    Returns:
        The address; qualifiers in the path in their fixed order, everything else
        in the query in the order given.

    Raises:
        DigitalLinkError: no or several primary keys, or an element that has no
            place in an address.
    """
    keys = [element for element in elements if element.ai in _PRIMARY_KEYS]
    if len(keys) != 1:
        raise DigitalLinkError(say("a Digital Link names one product, carton or place"))
    key = keys[0]
    values = {element.ai: element.value for element in elements}
    qualifiers = [q for q in find_identifier(key.ai).qualifiers if q in values]
    path = "".join(
        f"/{ai}/{quote(values[ai], safe='')}" for ai in [key.ai, *qualifiers]
    )
    rest = [e for e in elements if e is not key and e.ai not in qualifiers]
    for element in rest:
        if not find_identifier(element.ai).query:
            raise DigitalLinkError(
                say(
                    "({ai}) has no place in the address of a ({key})",
                    ai=element.ai,
                    key=key.ai,
                )
            )
    query = "&".join(f"{e.ai}={quote(e.value, safe='')}" for e in rest)
    return stem.rstrip("/") + path + ("?" + query if query else "")


def plain_address(code: str, *, stem: str) -> str:
    """Write the address of a batch for a maker without a GTIN.

    Args:
        code: batch code.
        stem: scheme, host and optional path of the maker's own site.
    """
    return f"{stem.rstrip('/')}/t/{quote(code, safe='')}"


def read_digital_link(address: str, *, legacy: bool = False) -> tuple[Element, ...]:
    """Read the elements of a web address.

    Args:
        address: the whole address, as scanned.
        legacy: also accept a trade item number of fewer than 14 digits, an old
            habit.

    Returns:
        The primary key, its qualifiers, then the query's elements in their order.

    Raises:
        DigitalLinkError: the address has another form.
    """
    parts = _ADDRESS.fullmatch(address)
    if parts is None:
        raise DigitalLinkError(
            say('"{address}" is not a web address of http or https', address=address)
        )
    try:
        elements = [*_read_path(parts[3] or "", legacy=legacy), *_read_query(parts[4])]
    except DigitalLinkError:
        raise
    except ElementStringError as error:
        raise DigitalLinkError(str(error)) from error
    repeated = {e.ai for e in elements if [x.ai for x in elements].count(e.ai) > 1}
    if repeated:
        raise DigitalLinkError(
            say("({repeated}) stands twice in the address", repeated=min(repeated))
        )
    return tuple(elements)


def _read_path(path: str, *, legacy: bool) -> list[Element]:
    segments = path.split("/")[1:]
    for at in range(len(segments) - 2, -1, -1):
        if segments[at] in _PRIMARY_KEYS and (len(segments) - at) % 2 == 0:
            return _read_pairs(segments[at:], legacy=legacy)
    raise DigitalLinkError(say("the address names no product, carton or place"))


def _read_pairs(segments: list[str], *, legacy: bool) -> list[Element]:
    pairs = list(zip(segments[::2], segments[1::2], strict=True))
    allowed = find_identifier(pairs[0][0]).qualifiers
    order = [allowed.index(ai) if ai in allowed else -1 for ai, _value in pairs[1:]]
    if -1 in order or order != sorted(set(order)):
        raise DigitalLinkError(
            say(
                "behind /{pairs}/ stand only {allowed}, in that order",
                pairs=pairs[0][0],
                allowed=", ".join(allowed) or "nothing",
            )
        )
    elements = []
    for ai, raw in pairs:
        value = unquote(raw)
        short = ai == "01" and len(value) in {8, 12, 13}
        elements.append(
            Element(ai=ai, value=value.zfill(14) if legacy and short else value)
        )
    return elements


def _read_query(query: str | None) -> list[Element]:
    elements = []
    for part in re.split(r"[&;]", query or ""):
        key, _, raw = part.partition("=")
        if not re.fullmatch(r"[0-9]+", key):
            continue
        if "+" in raw:
            raise DigitalLinkError(
                say('write "+" as %2B in the value of {key}', key=key)
            )
        if not find_identifier(key).query:
            raise DigitalLinkError(
                say("({key}) belongs in the path, not in the query", key=key)
            )
        elements.append(Element(ai=key, value=unquote(raw)))
    return elements
