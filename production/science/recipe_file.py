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
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Any

from inventory.quantities import QuantityError
from production.science.amounts import split_line
from production.science.balance import Finish, FinishKind
from production.science.batch_lines import (
    BatchLine,
    WrittenLine,
    batch_line,
    measured_after_preparation,
    sets_by_itself,
)
from production.science.boiling import Kitchen
from production.science.finish_rules import finish_above, finish_at_solids, read_finish
from production.science.jars import FILL_C, JarShape, jar_named, neck_area
from production.science.kinds import ProductKind, read_kind
from production.science.materials import find
from production.science.prediction import DEFAULT_JARS, BatchInput, ProcessChoice
from production.science.published import PublishedYield, read_published_yield
from production.science.span import Span
from production.science.working import ScienceError

__all__ = ["RecipeFileError", "read_document", "read_recipe"]

MOST_CHARACTERS = 500_000
MOST_INGREDIENTS = 200
F_DEGREE = Decimal("1.8")
INCH_MM = Decimal("25.4")
SPREAD_BOILED_OFF = Span(
    low=Decimal("0.07"), likely=Decimal("0.12"), high=Decimal("0.25")
)
"""Share of the pot that 15 to 20 minutes of boiling drive off (common practice)."""


class RecipeFileError(ScienceError):
    """A recipe file that cannot be read; the sentence says what to change."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Fields:
    """The file's object, asked for its keys by any of their names."""

    raw: Mapping[str, Any]

    def get(self, *names: str) -> Any:
        return next(
            (self.raw[name] for name in names if self.raw.get(name) is not None), None
        )

    def text(self, *names: str) -> str:
        value = self.get(*names)
        if value is None:
            return ""
        if isinstance(value, Mapping):
            return _Fields(raw=value).text("text")
        if isinstance(value, (list, tuple, bool)):
            raise RecipeFileError(
                f'"{names[0]}" must be text, not {json.dumps(value)[:40]}'
            )
        return str(value).strip()

    def number(self, *names: str) -> Decimal | None:
        value = self.get(*names)
        if value is None:
            return None
        try:
            number = Decimal(str(value))
        except InvalidOperation:
            number = Decimal("NaN")
        if isinstance(value, bool) or not number.is_finite():
            raise RecipeFileError(
                f'"{names[0]}" must be a number, not {json.dumps(value)[:40]}'
            )
        return number


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
    fields = _Fields(raw=document)
    written = _written_lines(fields)
    lines = tuple(line for each in written if (line := batch_line(each)) is not None)
    lines = _goes_in(fields, lines)
    if not lines:
        raise RecipeFileError(
            "nothing in this recipe goes into the pot; list its ingredients"
        )
    kind, notes = _kind(fields, lines)
    altitude_ft = fields.number("altitude_ft")
    return BatchInput(
        name=fields.text("name", "title") or "this recipe",
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
            f"the recipe file has more than {MOST_CHARACTERS:,} characters; one recipe is "
            "much shorter"
        )
    try:
        document = json.loads(text, parse_float=Decimal, parse_constant=_no_constant)
    except (json.JSONDecodeError, RecursionError) as error:
        where = (
            f" (line {error.lineno})" if isinstance(error, json.JSONDecodeError) else ""
        )
        raise RecipeFileError(
            f"the recipe file is not valid JSON{where}; mend it"
        ) from error
    if not isinstance(document, Mapping):
        raise RecipeFileError(
            'the recipe file must be one object with a list of "ingredients", not a '
            f"{type(document).__name__}"
        )
    return document


def _no_constant(name: str) -> Decimal:
    raise RecipeFileError(f"the recipe file holds {name}, which is no number; mend it")


def _written_lines(fields: _Fields) -> tuple[WrittenLine, ...]:
    entries = fields.get("ingredients", "lines")
    if not isinstance(entries, Sequence) or isinstance(entries, str) or not entries:
        raise RecipeFileError(
            'the recipe needs "ingredients": a list with at least one entry'
        )
    if len(entries) > MOST_INGREDIENTS:
        raise RecipeFileError(
            f"{len(entries)} ingredients are more than the {MOST_INGREDIENTS} a recipe may have"
        )
    return tuple(_written(entry, number) for number, entry in enumerate(entries, 1))


def _written(entry: object, number: int) -> WrittenLine:
    if isinstance(entry, str):
        written = _from_text(entry)
    elif isinstance(entry, Mapping):
        written = _from_object(_Fields(raw=entry))
    else:
        raise RecipeFileError(
            f"ingredient {number} must be a line of text or an object, not {str(entry)[:40]}"
        )
    if not any(sign.isalpha() for sign in written.name):
        raise RecipeFileError(
            f'ingredient {number} needs the name of a material: "material" in an object, '
            "or words after the amount in a line"
        )
    return written


def _from_object(fields: _Fields) -> WrittenLine:
    quantity = (
        f"{fields.text('quantity', 'amount', 'value')} {fields.text('unit')}".strip()
    )
    form = ", ".join(
        filter(None, (fields.text("form"), _meaningful(fields.text("note"))))
    )
    in_pot = fields.get("in_pot")
    return WrittenLine(
        quantity=quantity,
        name=fields.text("material", "ingredient", "name", "item"),
        form=form,
        in_pot=in_pot is None or bool(in_pot),
    )


def _meaningful(note: str) -> str:
    """Notes tell where fruit comes from ("about 3 lb"); only some change the measure."""
    telling = (
        "measured",
        "drained",
        "removed",
        "taken out",
        "discard",
        "not in the pot",
    )
    return note if any(word in note.lower() for word in telling) else ""


def _from_text(line: str) -> WrittenLine:
    head, _, rest = line.strip().partition(" of ")
    part = head.lower().strip()
    if part in {
        "juice",
        "grated rind",
        "rind",
        "zest",
        "grated zest",
        "grated peel",
        "peel",
    }:
        quantity, name = _split(rest)
        return WrittenLine(
            quantity=f"{quantity} each", name=f"{name} {part.split()[-1]}", form=part
        )
    quantity, name = _split(line)
    material, _, form = name.partition(",")
    if find(material, form) is None:
        material = name
    return WrittenLine(quantity=quantity, name=material.strip(), form=form.strip())


def _split(line: str) -> tuple[str, str]:
    try:
        return split_line(line)
    except QuantityError:
        return "", line.strip()


def _goes_in(fields: _Fields, lines: tuple[BatchLine, ...]) -> tuple[BatchLine, ...]:
    measured = fields.get("goes_in", "measured_after_preparation")
    if measured is None:
        return lines
    if not isinstance(measured, Mapping):
        raise RecipeFileError('"goes_in" must be an object with "quantity" and "what"')
    inner = _Fields(raw=measured)
    quantity = f"{inner.text('quantity')} {inner.text('unit')}".strip()
    return measured_after_preparation(
        lines, quantity=quantity, what=inner.text("what") or "juice"
    )


def _kind(
    fields: _Fields, lines: tuple[BatchLine, ...]
) -> tuple[ProductKind, tuple[str, ...]]:
    said = fields.text("kind", "product_type")
    kind = read_kind(said) or read_kind(fields.text("name", "title"))
    if said.lower().strip() == ProductKind.INTERMEDIATE:
        kind = ProductKind.INTERMEDIATE
    if kind is None:
        return ProductKind.JAM, (
            'no kind was given: taken as jam; say "kind" in the file',
        )
    peppers = any(line.material and line.material.family == "pepper" for line in lines)
    if kind is ProductKind.JELLY and peppers:
        return ProductKind.PEPPER_JELLY, ()
    return kind, ()


def _finish(fields: _Fields, kind: ProductKind, *, pectin_added: bool) -> Finish:
    said = fields.get("finish", "finish_as_published")
    if not isinstance(said, Mapping):
        text = fields.text("finish", "finish_as_published")
        found = read_finish(text, kind, pectin_added=pectin_added)
        return _spread(fields, text, found) if not pectin_added else found
    inner = _Fields(raw=said)
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
        '"finish" needs one of solids_percent, above_boiling_f, above_boiling_c, boil_min '
        "or uncooked"
    )


def _spread(fields: _Fields, text: str, found: Finish) -> Finish:
    """A spread without pectin is boiled for a while, not to the jellying point."""
    called = f"{fields.text('kind', 'product_type')} {fields.text('name', 'title')}"
    if found.strict or "spread" not in called.lower() or "gel" in text.lower():
        return found
    return Finish(kind=FinishKind.TIME, boil_off=SPREAD_BOILED_OFF, strict=False)


def _jars(fields: _Fields) -> tuple[JarShape, ...]:
    asked = fields.get("jars", "jar")
    if asked is None:
        return DEFAULT_JARS
    entries = (
        asked if isinstance(asked, Sequence) and not isinstance(asked, str) else [asked]
    )
    if not entries:
        raise RecipeFileError(
            '"jars" is empty; name a size such as "8 fl oz", or leave it out'
        )
    return tuple(_jar(entry) for entry in entries)


def _jar(entry: object) -> JarShape:
    if not isinstance(entry, Mapping):
        return jar_named(str(entry))
    inner = _Fields(raw=entry)
    name, brim_ml = inner.text("name"), inner.number("brim_ml")
    bore_mm, area = inner.number("bore_mm"), inner.number("neck_area_cm2")
    if not name or brim_ml is None or (bore_mm is None and area is None):
        raise RecipeFileError(
            'a jar needs "name", "brim_ml" and "bore_mm" (or "neck_area_cm2")'
        )
    neck = area if area is not None else neck_area(bore_mm or Decimal(0))
    return JarShape(name=name, brim_ml=brim_ml, neck_area_cm2=neck)


def _headspace(fields: _Fields) -> Decimal | None:
    inches = fields.number("headspace_in")
    return fields.number("headspace_mm") if inches is None else inches * INCH_MM


def _process(fields: _Fields) -> ProcessChoice:
    minutes = fields.number("process_min")
    if minutes is not None and minutes != minutes.to_integral_value():
        raise RecipeFileError(f'"process_min" must be whole minutes, not {minutes}')
    return ProcessChoice(
        row=fields.text("process"),
        recipe_min=None if minutes is None else int(minutes),
        jars_sterile=bool(fields.get("sterile_jars", "jars_sterile")),
    )


def _published(fields: _Fields) -> PublishedYield | None:
    return read_published_yield(fields.text("yield", "published_yield"))
