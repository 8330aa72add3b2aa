"""French names of common ingredients, for a label in both languages of Canada."""

import tomllib
from functools import cache
from pathlib import Path

__all__ = ["french_name"]

_TABLE = Path(__file__).with_name("french_names.toml")


@cache
def _names() -> dict[str, str]:
    names: dict[str, str] = tomllib.loads(_TABLE.read_text("utf-8"))["names"]
    return names


def french_name(name: str) -> str | None:
    """Return the usual French name of an ingredient, if the list has it.

    Source: general knowledge (memory); see the head of ``french_names.toml``.
    """
    return _names().get(name.casefold().strip())
