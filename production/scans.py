"""The batch code in whatever a scanner or a phone's camera reads.

A label may carry the bare code, an address that ends in it, a GS1 Digital Link or a
GS1 element string; all lead to the same code. What is none of these is given back
as it is, to be read as typed.
"""

import re
from collections.abc import Callable, Sequence
from urllib.parse import unquote, urlsplit

from production.digital_link import read_digital_link
from production.gs1 import Element, ElementStringError, parse_bracketed, read_scan

__all__ = ["code_in_scan"]

LOT = "10"


def code_in_scan(text: str) -> str:
    """Return the batch code that a scanned text holds.

    Args:
        text: what the scanner delivered, or what somebody typed.
    """
    asked = text.strip()
    if asked.startswith("]"):
        return _lot_of(asked, read_scan)
    if asked.startswith("("):
        return _lot_of(asked, parse_bracketed)
    if re.match(r"https?://", asked, re.IGNORECASE):
        return _in_address(asked)
    return asked


def _lot_of(text: str, read: Callable[[str], Sequence[Element]]) -> str:
    try:
        return _lot(read(text)) or text
    except ElementStringError:
        return text


def _in_address(address: str) -> str:
    try:
        found = _lot(read_digital_link(address))
    except ElementStringError:
        found = ""
    last = unquote(urlsplit(address).path.rstrip("/").rpartition("/")[2])
    return found or last or address


def _lot(elements: Sequence[Element]) -> str:
    return next((element.value for element in elements if element.ai == LOT), "")
