"""A recipe in a JSON file, for a prediction without putting it in the book.

The file is one object. Only ``ingredients`` is needed; other keys are free to be
there and are ignored.

``name``           "Strawberry jam"
``kind``           jam, preserves, jelly, pepper jelly, marmalade, conserve, butter,
                   chutney, fruit in syrup, intermediate (also ``product_type``); read
                   from the name where it is left out
``ingredients``    a list; each entry either one line of text ("5 1/2 cups crushed
                   strawberries") or an object with

                   ``material``  name as a cook writes it (also ``ingredient``, ``name``)
                   ``quantity``  "5 1/2 cups", "4 to 4 1/2 cups", "1 package (3 oz)"
                   ``unit``      where the quantity does not hold it already
                   ``form``      crushed, sliced, juice, "peeled, finely chopped" ...
                   ``note``      further words; "measured whole" is understood
                   ``in_pot``    false for what is drained off or lifted out
``goes_in``        object with ``quantity`` and ``what`` where only measured juice or
                   pulp goes into the pot (also ``measured_after_preparation``)
``finish``         "8 F above boiling water", "65 % soluble solids", "full rolling boil,
                   1 minute", "gel point" (also ``finish_as_published``); or an object
                   with one of ``solids_percent``, ``above_boiling_f``,
                   ``above_boiling_c``, ``boil_min``, ``uncooked``
``yield``          what the recipe promises: "7 to 8 half-pints" (also
                   ``published_yield``, text or an object with ``text``)
``jars``           list of sizes ("8 fl oz", "half-pint", "190 ml") or objects with
                   ``name``, ``brim_ml`` and ``bore_mm`` or ``neck_area_cm2``
``headspace_mm``, ``headspace_in``, ``fill_c``
``process``        row of the process table; ``process_min`` the recipe's own sea-level
                   minutes; ``sterile_jars`` true where empty jars are sterilised
``altitude_ft``    used where the caller gives none
"""

import json
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from inventory.words import say
from production.science.balance import Finish, FinishKind
from production.science.batch_lines import (
    BatchLine,
    batch_line,
    measured_after_preparation,
    sets_by_itself,
)
from production.science.boiling import Kitchen
from production.science.finish_rules import finish_above, finish_at_solids, read_finish
from production.science.jars import FILL_C, JarShape, jar_named, neck_area
from production.science.kinds import ProductKind, read_kind
from production.science.prediction import DEFAULT_JARS, BatchInput, ProcessChoice
from production.science.published import PublishedYield, read_published_yield
from production.science.recipe_fields import Fields, RecipeFileError
from production.science.recipe_lines import written_lines
from production.science.span import Span

__all__ = ["RecipeFileError", "read_document", "read_recipe"]

MOST_CHARACTERS = 500_000
F_DEGREE = Decimal("1.8")
INCH_MM = Decimal("25.4")
SPREAD_BOILED_OFF = Span(
    low=Decimal("0.07"), likely=Decimal("0.12"), high=Decimal("0.25")
)
"""Share of the pot that 15 to 20 minutes of boiling drive off (common practice)."""


def read_recipe(text: str) -> BatchInput:
    """Read a recipe file into a batch to be predicted.

    Args:
        text: the file's text, JSON as this module describes it.

    Returns:
        The batch; what could not be read of single materials is listed in its lines.

    Raises:
        RecipeFileError: the file is no recipe; one sentence says why.
        ScienceError: a figure in it is impossible.
    """
    return read_document(_document(text))


def read_document(document: Mapping[str, Any]) -> BatchInput:
    """Read a recipe that is an object already, with the keys of this module.

    Raises:
        RecipeFileError: it is no recipe; one sentence says why.
        ScienceError: a figure in it is impossible.
    """
    fields = Fields(raw=document)
    kind, notes = _kind(fields)
    lines = _lines(fields, kind)
    if not lines:
        raise RecipeFileError(
            say("nothing in this recipe goes into the pot; list its ingredients")
        )
    if kind is ProductKind.JELLY and _has_peppers(lines):
        kind = ProductKind.PEPPER_JELLY
    altitude_ft = fields.number("altitude_ft")
    return BatchInput(
        name=fields.text("name", "title") or say("this recipe"),
        kind=kind,
        lines=lines,
        finish=_finish(fields, kind, pectin_added=sets_by_itself(lines)),
        kitchen=None if altitude_ft is None else Kitchen(altitude_ft=altitude_ft),
        jars=_jars(fields),
        headspace_mm=_headspace(fields),
        fill_c=fields.number("fill_c") or FILL_C.value,
        process=_process(fields),
        published=_published(fields),
        notes=notes,
    )


def _document(text: str) -> Mapping[str, Any]:
    if len(text) > MOST_CHARACTERS:
        raise RecipeFileError(
            say(
                "the recipe file has more than {most_characters:,} characters; one "
                "recipe is much shorter",
                most_characters=MOST_CHARACTERS,
            )
        )
    try:
        document = json.loads(text, parse_float=Decimal, parse_constant=_no_constant)
    except (json.JSONDecodeError, RecursionError) as error:
        where = (
            say(" (line {lineno})", lineno=error.lineno)
            if isinstance(error, json.JSONDecodeError)
            else ""
        )
        raise RecipeFileError(
            say("the recipe file is not valid JSON{where}; mend it", where=where)
        ) from error
    if not isinstance(document, Mapping):
        raise RecipeFileError(
            say(
                'the recipe file must be one object with a list of "ingredients", '
                "not a {name}",
                name=type(document).__name__,
            )
        )
    return document


def _no_constant(name: str) -> Decimal:
    raise RecipeFileError(
        say("the recipe file holds {name}, which is no number; mend it", name=name)
    )


def _lines(fields: Fields, kind: ProductKind) -> tuple[BatchLine, ...]:
    """The lines as they go into the pot: of a jelly's fruit only the juice."""
    measured = fields.get("goes_in", "measured_after_preparation")
    press = kind is ProductKind.JELLY and measured is None
    read = (batch_line(each, press=press) for each in written_lines(fields))
    lines = tuple(line for line in read if line is not None)
    if measured is None:
        return lines
    if not isinstance(measured, Mapping):
        raise RecipeFileError(
            say('"goes_in" must be an object with "quantity" and "what"')
        )
    inner = Fields(raw=measured)
    quantity = f"{inner.text('quantity')} {inner.text('unit')}".strip()
    what = inner.text("what") or "juice"
    return measured_after_preparation(lines, quantity=quantity, what=what)


def _kind(fields: Fields) -> tuple[ProductKind, tuple[str, ...]]:
    said = fields.text("kind", "product_type")
    if said.lower().strip() == ProductKind.INTERMEDIATE:
        return ProductKind.INTERMEDIATE, ()
    kind = read_kind(said) or read_kind(fields.text("name", "title"))
    if kind is None:
        return ProductKind.JAM, (
            say('no kind was given: taken as jam; say "kind" in the file'),
        )
    return kind, ()


def _has_peppers(lines: tuple[BatchLine, ...]) -> bool:
    return any(line.material and line.material.family == "pepper" for line in lines)


def _finish(fields: Fields, kind: ProductKind, *, pectin_added: bool) -> Finish:
    said = fields.get("finish", "finish_as_published")
    if not isinstance(said, Mapping):
        text = fields.text("finish", "finish_as_published")
        found = read_finish(text, kind, pectin_added=pectin_added)
        return _spread(fields, text, found) if not pectin_added else found
    inner = Fields(raw=said)
    if (
        percent := inner.number("solids_percent", "soluble_solids_percent", "brix")
    ) is not None:
        return finish_at_solids(percent / 100)
    if (above_f := inner.number("above_boiling_f")) is not None:
        return finish_above(above_f / F_DEGREE)
    if (above_c := inner.number("above_boiling_c")) is not None:
        return finish_above(above_c)
    if inner.get("uncooked"):
        return Finish(kind=FinishKind.NONE)
    if inner.number("boil_min") is not None:
        return Finish(kind=FinishKind.TIME)
    raise RecipeFileError(
        say(
            '"finish" needs one of solids_percent, above_boiling_f, '
            "above_boiling_c, boil_min or uncooked"
        )
    )


def _spread(fields: Fields, text: str, found: Finish) -> Finish:
    """A spread without pectin is boiled for a while, not to the jellying point."""
    called = f"{fields.text('kind', 'product_type')} {fields.text('name', 'title')}"
    if found.strict or "spread" not in called.lower() or "gel" in text.lower():
        return found
    return Finish(kind=FinishKind.TIME, boil_off=SPREAD_BOILED_OFF, strict=False)


def _jars(fields: Fields) -> tuple[JarShape, ...]:
    asked = fields.get("jars", "jar")
    if asked is None:
        return DEFAULT_JARS
    entries = (
        asked if isinstance(asked, Sequence) and not isinstance(asked, str) else [asked]
    )
    if not entries:
        raise RecipeFileError(
            say('"jars" is empty; name a size such as "8 fl oz", or leave it out')
        )
    return tuple(_jar(entry) for entry in entries)


def _jar(entry: object) -> JarShape:
    if not isinstance(entry, Mapping):
        return jar_named(str(entry))
    inner = Fields(raw=entry)
    name, brim_ml = inner.text("name"), inner.number("brim_ml")
    bore_mm, area = inner.number("bore_mm"), inner.number("neck_area_cm2")
    if not name or brim_ml is None or (bore_mm is None and area is None):
        raise RecipeFileError(
            say('a jar needs "name", "brim_ml" and "bore_mm" (or "neck_area_cm2")')
        )
    neck = area if area is not None else neck_area(bore_mm or Decimal(0))
    return JarShape(name=name, brim_ml=brim_ml, neck_area_cm2=neck)


def _headspace(fields: Fields) -> Decimal | None:
    inches = fields.number("headspace_in")
    return fields.number("headspace_mm") if inches is None else inches * INCH_MM


def _process(fields: Fields) -> ProcessChoice:
    minutes = fields.number("process_min")
    if minutes is not None and minutes != minutes.to_integral_value():
        raise RecipeFileError(
            say('"process_min" must be whole minutes, not {minutes}', minutes=minutes)
        )
    return ProcessChoice(
        row=fields.text("process"),
        recipe_min=None if minutes is None else int(minutes),
        jars_sterile=bool(fields.get("sterile_jars", "jars_sterile")),
    )


def _published(fields: Fields) -> PublishedYield | None:
    return read_published_yield(fields.text("yield", "published_yield"))
