"""Loads the sheets whose rows are rows of one table: made, changed, or the same."""

import json
from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

from django.apps import apps
from django.core.exceptions import ValidationError
from django.db import models
from django.utils import timezone
from django.utils.text import slugify

from inventory.models import Business, MarketDay, Product, SoldOutMark
from inventory.quantities import QuantityError
from inventory.words import say
from inventory.workbook import cells
from production.models import Filling, Recipe, RecipeVersion
from production.workbook.layout import Column, Kind, Sheet
from production.workbook.reading import Line
from production.workbook.shelf import FaultyRowError, Shelf, loose

__all__ = ["load_plain", "model_value", "quantity_words"]

FIELDS_BESIDE = {"filling", "sold_out"}
GRAMS = Decimal("0.01")


def load_plain(shelf: Shelf, sheet: Sheet, lines: list[Line]) -> None:
    """Load one plain sheet; what is wrong is noted and the row passed over."""
    known = _known(shelf, sheet)
    seen: dict[tuple[Any, ...], int] = {}
    for line in lines:
        values = _sound_values(shelf, line)
        if values is None:
            continue
        identity = _identity(sheet, values, line)
        if identity in seen:
            shelf.wrong(
                line,
                None,
                None,
                wrong=say("says the same thing as row {seen}", seen=seen[identity]),
                right=say("keep one of the two rows"),
            )
            continue
        seen[identity] = line.row
        _load_row(shelf, line, values, known.get(identity))


def _sound_values(shelf: Shelf, line: Line) -> dict[str, Any] | None:
    """Model values of a line; None when anything about it is wrong."""
    before = len(shelf.findings)
    try:
        values = {} if line.is_faulty else _values(shelf, line)
    except FaultyRowError:
        shelf.fault(line)
        return None
    if line.is_faulty or len(shelf.findings) > before:
        shelf.fault(line)
        return None
    return values


def _load_row(
    shelf: Shelf, line: Line, values: dict[str, Any], known: models.Model | None
) -> None:
    try:
        if known is None:
            row = _make(shelf, line, values)
        else:
            row = _change(shelf, line, values, known)
        beside = BESIDE.get(line.sheet.key)
        if beside is not None and row is not None:
            beside(shelf, line, row)
    except ValidationError as error:
        shelf.fault(line)
        shelf.refused(line, error)
    except QuantityError as error:
        shelf.fault(line)
        column = line.sheet.column_of("as_typed")
        wrong, right = quantity_words(error)
        shelf.wrong(line, column, line.of("as_typed"), wrong=wrong, right=right)


def _known(shelf: Shelf, sheet: Sheet) -> dict[tuple[Any, ...], models.Model]:
    if sheet.key == "business":
        saved = Business.objects.filter(pk=1).first()
        return {(): saved} if saved else {}
    model = apps.get_model(sheet.model)
    related = [name for name in _plain_identity(sheet) if _is_relation(model, name)]
    rows = model._base_manager.select_related(*related)
    return {
        tuple(loose(_of(row, name)) for name in _plain_identity(sheet)): row
        for row in rows
    }


def _plain_identity(sheet: Sheet) -> tuple[str, ...]:
    if sheet.key == "recipes":
        return ("recipe", "number")
    return sheet.identity


def _is_relation(model: type[models.Model], name: str) -> bool:
    return model._meta.get_field(name).is_relation


def _of(row: models.Model, name: str) -> Any:
    found = getattr(row, name)
    return found.pk if isinstance(found, models.Model) else found


def _identity(sheet: Sheet, values: Mapping[str, Any], line: Line) -> tuple[Any, ...]:
    if sheet.key == "recipes":
        recipe = values.get("recipe")
        name = line.of("recipe.name")
        return (recipe.pk if recipe else name, values.get("number"))
    found = (values.get(name) for name in sheet.identity)
    return tuple(
        each.pk if isinstance(each, models.Model) else loose(each) for each in found
    )


def _values(shelf: Shelf, line: Line) -> dict[str, Any]:
    """Model values of a line's filled cells; empty cells are left out."""
    values: dict[str, Any] = {}
    for column in line.sheet.columns:
        name = column.field
        if name in FIELDS_BESIDE or "." in name or name in values:
            continue
        if column.refers:
            found = shelf.find(line, name)
            if found is not None:
                values[name] = found
            continue
        if line.values.get(column.heading) is not None:
            try:
                values[name] = model_value(column, line.values[column.heading])
            except cells.CellError as error:
                shelf.wrong(line, column, line.values[column.heading], wrong=error.wrong, right=error.right)  # fmt: skip
    if line.sheet.key == "recipes":
        values |= _recipe_values(line)
    return values


def quantity_words(error: QuantityError) -> tuple[str, str]:
    """What is wrong with a quantity, and what would be right."""
    wrong, _, right = str(error).replace(": ", "; ", 1).partition("; ")
    return wrong, right or say("write it as a cook does, such as 2 lb 4 oz")


def model_value(column: Column, value: Any) -> Any:
    """A cell's value as its field takes it.

    Raises:
        CellError: a list that cannot be read.
    """
    if column.kind is Kind.MOMENT:
        return timezone.make_aware(value)
    if column.kind is Kind.LIST:
        try:
            return json.loads(value)
        except ValueError as error:
            raise cells.CellError(
                say("cannot be read as a list"),
                say('write it as the book does, such as [{"kind": "wheat"}]'),
            ) from error
    return value


def _recipe_values(line: Line) -> dict[str, Any]:
    recipe = Recipe.objects.filter(name__iexact=line.of("recipe.name")).first()
    return {"recipe": recipe} if recipe else {}


def _make(shelf: Shelf, line: Line, values: dict[str, Any]) -> models.Model | None:
    model = apps.get_model(line.sheet.model)
    if not _fill_in(shelf, line, values):
        return None
    if line.sheet.key == "business":
        values["pk"] = 1
    row: models.Model = model(**values)
    row.full_clean()
    row.save()
    shelf.tally(line.sheet.key).created += 1
    shelf.put(line.sheet.key, row)
    return row


def _fill_in(shelf: Shelf, line: Line, values: dict[str, Any]) -> bool:
    """Fill what may be left empty; False when the row may not be added."""
    key = line.sheet.key
    if key == "recipes":
        values["recipe"] = _recipe(shelf, line)
    if key in {"recipe_lines", "recipe_steps"}:
        version = values["version"]
        if version.frozen_at and not shelf.is_made_here(version):
            _refuse_frozen(shelf, line, version)
            return False
    if key == "recipe_lines" and "grams" not in values:
        typed = f"{values['as_typed']} {values.get('form', '')}".strip()
        values["grams"] = values["material"].read_amount(typed).quantize(GRAMS)
    if key == "offers" and "quantity" not in values:
        values["quantity"] = values["material"].read_amount(values["as_typed"])
    return True


def _refuse_frozen(shelf: Shelf, line: Line, version: RecipeVersion) -> None:
    shelf.wrong(
        line,
        line.sheet.column_of("version"),
        version,
        wrong=say("was cooked already and is never changed"),
        right=say("write it as the next version"),
    )


def _recipe(shelf: Shelf, line: Line) -> Recipe:
    name = line.of("recipe.name")
    found = Recipe.objects.filter(name__iexact=name).first()
    values = {
        column.field.removeprefix("recipe."): line.values[column.heading]
        for column in line.sheet.columns
        if column.field.startswith("recipe.") and column.heading in line.values
    }
    if "makes_material" in values:
        values["makes_material"] = shelf.find(line, "recipe.makes_material")
    values.setdefault("slug", slugify(name))
    recipe = found or Recipe()
    for field, value in values.items():
        setattr(recipe, field, value)
    recipe.full_clean()
    recipe.save()
    return recipe


def _change(
    shelf: Shelf, line: Line, values: dict[str, Any], row: models.Model
) -> models.Model | None:
    differing = {
        name: value
        for name, value in values.items()
        if not _is_same(getattr(row, name), value)
    }
    if not differing:
        shelf.tally(line.sheet.key).same += 1
        return row
    if refusal := _refusal(line.sheet, row):
        wrong, right = refusal
        shelf.wrong(line, None, row, wrong=wrong, right=right)
        return None
    words = []
    for name, value in differing.items():
        words.append(f"{name.replace('_', ' ')} {getattr(row, name)} → {value}")
        setattr(row, name, value)
    row.full_clean()
    row.save(update_fields=list(differing))
    shelf.note_change(line, row, words)
    return row


def _is_same(kept: Any, value: Any) -> bool:
    if isinstance(kept, Decimal) and isinstance(value, Decimal | int):
        places = -int(kept.as_tuple().exponent)
        return kept == round(Decimal(value), max(places, 0))
    return bool(kept == value)


def _refusal(sheet: Sheet, row: models.Model) -> tuple[str, str] | None:
    """Why a row may not be changed by a file; None when it may."""
    version = row if isinstance(row, RecipeVersion) else getattr(row, "version", None)
    is_wording = sheet.key in {"recipes", "recipe_lines", "recipe_steps"}
    if is_wording and isinstance(version, RecipeVersion) and version.frozen_at:
        return say("was cooked already and is never changed"), say(
            "write it as the next version"
        )
    if sheet.key in {"batches", "readings", "instrument_checks"}:
        return say("stands in the book otherwise"), say(
            "correct it on the batch's own page"
        )
    if sheet.key in {"market_lines", "visit_lines"}:
        return say("was counted otherwise"), say("count it again on the day's own page")
    return None


def _fill_product(shelf: Shelf, line: Line, row: models.Model) -> None:
    name = line.of("filling")
    if name is None or not isinstance(row, Product):
        return
    column = line.sheet.column_of("filling")
    recipe = Recipe.objects.filter(name__iexact=name).first()
    if recipe is None:
        shelf.wrong(line, column, name, wrong=say("is no recipe"), right=say("write it as in Recipes, or add it there"))  # fmt: skip
        return
    filling = Filling.objects.filter(product=row).first() or Filling(product=row)
    if filling.recipe_id != recipe.pk:
        filling.recipe = recipe
        filling.save()


def _mark_sold_out(shelf: Shelf, line: Line, row: models.Model) -> None:
    text = line.of("sold_out")
    if text is None or not isinstance(row, MarketDay):
        return
    column = line.sheet.column_of("sold_out")
    for entry in text.split(";"):
        code, _, hour = entry.strip().partition("@")
        product = shelf.rows("products").get((loose(code),))
        if product is None:
            shelf.wrong(line, column, code, wrong=say("is no product"), right=say("write its code as in Products"))  # fmt: skip
            continue
        try:
            at = cells.as_time(hour) if hour else None
        except cells.CellError as error:
            shelf.wrong(line, column, hour, wrong=error.wrong, right=error.right)
            continue
        SoldOutMark.objects.update_or_create(
            day=row, product=product, defaults={"at": at}
        )


BESIDE: Mapping[str, Callable[[Shelf, Line, models.Model], None]] = {
    "products": _fill_product,
    "market_days": _mark_sold_out,
}
