"""Ingredient lines of a recipe file: whole lines of text, or objects."""

from collections.abc import Mapping, Sequence

from inventory.quantities import QuantityError
from inventory.words import say
from production.science.amounts import split_line
from production.science.batch_lines import WrittenLine
from production.science.materials import find
from production.science.recipe_fields import Fields, RecipeFileError

__all__ = ["written_lines"]

MOST_INGREDIENTS = 200
PARTS = frozenset(
    {
        "juice",
        "pulp",
        "rind",
        "peel",
        "zest",
        "grated rind",
        "grated peel",
        "grated zest",
    }
)
"""Words that begin a line like "juice of 2 lemons"."""


def written_lines(fields: Fields) -> tuple[WrittenLine, ...]:
    """The ingredient lines of a recipe, in its order.

    Raises:
        RecipeFileError: there are none, too many, or one names no material.
    """
    entries = fields.get("ingredients", "lines")
    if not isinstance(entries, Sequence) or isinstance(entries, str) or not entries:
        raise RecipeFileError(
            say('the recipe needs "ingredients": a list with at least one entry')
        )
    if len(entries) > MOST_INGREDIENTS:
        raise RecipeFileError(
            say(
                "{entries} ingredients are more than the {most_ingredients} a "
                "recipe may have",
                entries=len(entries),
                most_ingredients=MOST_INGREDIENTS,
            )
        )
    return tuple(_written(entry, number) for number, entry in enumerate(entries, 1))


def _written(entry: object, number: int) -> WrittenLine:
    if isinstance(entry, str):
        written = _from_text(entry)
    elif isinstance(entry, Mapping):
        written = _from_object(Fields(raw=entry))
    else:
        raise RecipeFileError(
            say(
                "ingredient {number} must be a line of text or an object, not {entry}",
                number=number,
                entry=str(entry)[:40],
            )
        )
    if not any(sign.isalpha() for sign in written.name):
        raise RecipeFileError(
            say(
                'ingredient {number} needs the name of a material: "material" in '
                "an object, or words after the amount in a line",
                number=number,
            )
        )
    return written


def _from_object(fields: Fields) -> WrittenLine:
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
    part, _, rest = line.strip().partition(" of ")
    if part.lower().strip() in PARTS:
        quantity, name = _split(rest)
        return WrittenLine(
            quantity=quantity, name=f"{name} {part.split()[-1]}", form=part
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
