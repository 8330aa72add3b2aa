"""What there is to translate, found in the program's own files.

Python is read as a syntax tree rather than as text, so that a sentence chosen by a
condition is found in both its forms and nothing else is. Templates come in as
`django.utils.translation.template.templatize` leaves them: calls between blanks.
Tables name their keys that hold words for people.
"""

import ast
import re
import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

__all__ = ["Words", "in_python", "in_table", "in_templatized", "placeholders"]

ONE = {"_", "gettext", "gettext_lazy", "say", "to_say"}
MANY = {"ngettext", "ngettext_lazy", "say_count", "to_say_count"}
WITH_CONTEXT = {"pgettext", "pgettext_lazy"}
CALL = re.compile(r"\b(?:_|gettext|ngettext|pgettext)\(")
GAP = re.compile(r"%\((\w+)\)|(?<!\{)\{(\w+)[^{}]*\}(?!\})|(%[sd])")


@dataclass(frozen=True, slots=True, order=True)
class Words:
    """One thing to translate: a sentence, its plural, and what tells it apart."""

    sentence: str
    plural: str = ""
    context: str = ""


def in_python(source: str) -> Iterator[Words]:
    """Yield what a module says, in the order of its syntax tree."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            yield from _of_call(node.func.id, node.args)


def in_templatized(source: str) -> Iterator[Words]:
    """Yield what a template says, given what ``templatize`` made of it."""
    for match in CALL.finditer(source):
        call = _call_at(source, match.start())
        if call is not None and isinstance(call.func, ast.Name):
            yield from _of_call(call.func.id, call.args)


def in_table(source: str, table: str, keys: Iterable[str]) -> Iterator[Words]:
    """Yield the words of a TOML table's rows under the keys that hold words."""
    wanted = tuple(keys)
    for row in tomllib.loads(source)[table]:
        yield from (Words(row[key]) for key in wanted if row.get(key))


def placeholders(sentence: str) -> frozenset[str]:
    """Names of the gaps of a sentence, of both kinds in use."""
    return frozenset(
        next(name for name in match.groups() if name)
        for match in GAP.finditer(sentence)
    )


def _of_call(name: str, arguments: list[ast.expr]) -> Iterator[Words]:
    if name in ONE and arguments:
        yield from (Words(text) for text in _texts(arguments[0]))
    elif name in MANY and len(arguments) > 1:
        pairs = zip(_texts(arguments[0]), _texts(arguments[1]), strict=False)
        yield from (Words(single, several) for single, several in pairs)
    elif name in WITH_CONTEXT and len(arguments) > 1:
        for context in _texts(arguments[0]):
            yield from (Words(text, "", context) for text in _texts(arguments[1]))


def _texts(argument: Any) -> Iterator[str]:
    """The literal texts an argument may be."""
    if isinstance(argument, ast.Constant) and isinstance(argument.value, str):
        if argument.value:
            yield argument.value
    elif isinstance(argument, ast.IfExp):
        yield from _texts(argument.body)
        yield from _texts(argument.orelse)


def _call_at(source: str, start: int) -> ast.Call | None:
    """The call that begins here; its end is the first bracket that makes sense."""
    end = source.find(")", start)
    while end != -1:
        try:
            tree = ast.parse(source[start : end + 1], mode="eval")
        except SyntaxError:
            end = source.find(")", end + 1)
            continue
        return tree.body if isinstance(tree.body, ast.Call) else None
    return None
