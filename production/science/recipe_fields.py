"""The keys of a recipe file, asked for by any of their names and checked for type."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Any

from inventory.words import say
from production.science.working import ScienceError

__all__ = ["Fields", "RecipeFileError"]


class RecipeFileError(ScienceError):
    """A recipe file that cannot be read; the sentence says what to change."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fields:
    """The file's object, asked for its keys by any of their names."""

    raw: Mapping[str, Any]

    def get(self, *names: str) -> Any:
        """The value under the first of these names that holds one."""
        return next(
            (self.raw[name] for name in names if self.raw.get(name) is not None), None
        )

    def text(self, *names: str) -> str:
        """The value as text, empty where there is none.

        Raises:
            RecipeFileError: it is a list or a yes or no.
        """
        value = self.get(*names)
        if value is None:
            return ""
        if isinstance(value, Mapping):
            return Fields(raw=value).text("text")
        if isinstance(value, (list, tuple, bool)):
            raise RecipeFileError(
                say(
                    '"{names}" must be text, not {value}',
                    names=names[0],
                    value=json.dumps(value)[:40],
                )
            )
        return str(value).strip()

    def number(self, *names: str) -> Decimal | None:
        """The value as a number, None where there is none.

        Raises:
            RecipeFileError: it is no number.
        """
        value = self.get(*names)
        if value is None:
            return None
        try:
            number = Decimal(str(value))
        except InvalidOperation:
            number = Decimal("NaN")
        if isinstance(value, bool) or not number.is_finite():
            raise RecipeFileError(
                say(
                    '"{names}" must be a number, not {value}',
                    names=names[0],
                    value=json.dumps(value)[:40],
                )
            )
        return number
