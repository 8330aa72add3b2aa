"""``manage.py predict_batch``: what a batch will do, before the pot is lit."""

import json
from argparse import ArgumentParser
from dataclasses import replace
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any

from django.core.management.base import CommandError
from django.db import DatabaseError
from django.utils import timezone

from inventory.management.sellers import SellersCommand
from inventory.models import Business
from production.scaling import ScalingError
from production.science.atmosphere import METRES_PER_FOOT
from production.science.boiling import Kitchen
from production.science.prediction import BatchInput, predict
from production.science.prediction_report import as_data, as_lines
from production.science.processing import Canner
from production.science.recipe_file import RecipeFileError, read_recipe
from production.science.working import ScienceError
from production.selectors.kitchen import NoVersionError, current_version
from production.selectors.prediction import (
    RecipeNotFoundError,
    batch_input,
    find_recipe,
)

LARGEST_FILE = 1_000_000


class Command(SellersCommand):
    help = "Predict a batch: boiling and finishing point, jars, minutes, name."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "recipe", nargs="?", default="", help="name of a recipe in the book"
        )
        parser.add_argument(
            "--recipe-file", help="a recipe as JSON instead of one in the book"
        )
        parser.add_argument(
            "--altitude", help="feet above sea level; the kitchen's own if left out"
        )
        parser.add_argument("--canner", choices=[canner.value for canner in Canner])
        parser.add_argument(
            "--factor", default="1", help="share of the tested batch, at most 1"
        )
        parser.add_argument("--format", choices=["table", "json"], default="table")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            prediction = predict(_asked(options))
        except (
            ScienceError,
            ScalingError,
            RecipeNotFoundError,
            NoVersionError,
        ) as error:
            raise CommandError(str(error), returncode=2) from error
        if options["format"] == "json":
            self.stdout.write(
                json.dumps(as_data(prediction), indent=2, ensure_ascii=False)
            )
            return
        for line in as_lines(prediction):
            self.stdout.write(line)


def _asked(options: dict[str, Any]) -> BatchInput:
    """The batch in question, with what the command line says about it."""
    if bool(options["recipe"]) == bool(options["recipe_file"]):
        raise ScienceError("name one recipe of the book, or give one --recipe-file")
    asked = (
        _from_file(options["recipe_file"])
        if options["recipe_file"]
        else _from_book(options["recipe"])
    )
    if options["altitude"] is not None:
        altitude_ft = _number("--altitude", options["altitude"])
        asked = replace(asked, kitchen=Kitchen(altitude_ft=altitude_ft))
    if options["canner"]:
        asked = replace(
            asked, process=replace(asked.process, canner=Canner(options["canner"]))
        )
    return replace(asked, factor=_number("--factor", options["factor"]))


def _number(option: str, text: str) -> Decimal:
    try:
        number = Decimal(text.replace(",", ""))
    except InvalidOperation:
        number = Decimal("NaN")
    if not number.is_finite():
        raise ScienceError(f'{option} must be a number, not "{text}"')
    return number


def _from_book(name: str) -> BatchInput:
    try:
        version = current_version(find_recipe(name), on=timezone.localdate())
        return batch_input(version, business=Business.current())
    except DatabaseError as error:
        raise ScienceError(
            "the book is not set up yet: run manage.py migrate, or give a --recipe-file"
        ) from error


def _from_file(path: str) -> BatchInput:
    file = Path(path)
    try:
        if file.stat().st_size > LARGEST_FILE:
            raise RecipeFileError(
                f"{path} is larger than {LARGEST_FILE:,} bytes; one recipe is not"
            )
        asked = read_recipe(file.read_text(encoding="utf-8"))
    except OSError as error:
        raise RecipeFileError(f"{path} cannot be read: {error.strerror}") from error
    except UnicodeDecodeError as error:
        raise RecipeFileError(f"{path} is not a text file in UTF-8") from error
    return _in_this_kitchen(asked)


def _in_this_kitchen(asked: BatchInput) -> BatchInput:
    """Altitude and canner of the book's kitchen, where there is a book to ask."""
    try:
        business = Business.objects.first()
    except DatabaseError:
        business = None
    if business is None:
        return asked
    canner = Canner(business.canner)
    asked = replace(asked, process=replace(asked.process, canner=canner))
    if asked.kitchen is not None:
        return asked
    altitude_ft = business.altitude_m / METRES_PER_FOOT.value
    return replace(asked, kitchen=Kitchen(altitude_ft=altitude_ft))
