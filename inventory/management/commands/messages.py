from collections.abc import Iterator
from pathlib import Path
from typing import Any

from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po
from django.conf import settings
from django.core.management.base import BaseCommand
from django.utils import translation
from django.utils.translation import to_locale
from django.utils.translation.template import templatize

from inventory import naming
from inventory.catalogue import Words, in_python, in_table, in_templatized

ROOMS = ("inventory", "production", "labels", "config")
TABLES = (
    ("production/symptoms.toml", "symptom", ("name", "causes", "response", "caution")),
    ("production/workbook/sheets.toml", "sheet", ("about",)),
)


HEADER = "# Setting Point: what it says, in another language."


class Command(BaseCommand):
    """Gather what is to be translated and compile what is."""

    requires_system_checks = ()
    help = "Gather every sentence into the catalogues and compile them."

    def handle(self, *args: Any, **options: Any) -> None:
        """Bring each language's catalogue up to date; what is translated stays."""
        gathered = gather(settings.BASE_DIR)
        for code, _ in settings.LANGUAGES:
            if code == settings.LANGUAGE_CODE:
                continue
            folder = settings.LOCALE_PATHS[0] / to_locale(code) / "LC_MESSAGES"
            known, missing = bring_up_to_date(folder, to_locale(code), gathered)
            self.stdout.write(f"{code}: {known} sentences, {missing} untranslated.")


def gather(root: Path) -> dict[Words, list[str]]:
    """Everything to be translated, each with the files that say it.

    Args:
        root: the folder of the program.

    Returns:
        Words in the order of the files, with paths below the root.
    """
    found: dict[Words, list[str]] = {}
    with translation.override(None):
        for path, words in _everything(root):
            places = found.setdefault(words, [])
            if path not in places:
                places.append(path)
    return found


def bring_up_to_date(
    folder: Path, locale: str, gathered: dict[Words, list[str]]
) -> tuple[int, int]:
    """Write ``django.po`` and ``django.mo`` of one language.

    Returns:
        How many sentences there are, and how many still have no translation.
    """
    path = folder / "django.po"
    before = read(path, locale)
    after = Catalog(
        locale=locale,
        project="Setting Point",
        version="1",
        header_comment=HEADER,
        last_translator="Setting Point",
        language_team="Setting Point",
        msgid_bugs_address="none",
        fuzzy=False,
    )
    after.creation_date = before.creation_date
    after.revision_date = before.revision_date
    for words, places in gathered.items():
        name = (words.sentence, words.plural) if words.plural else words.sentence
        old = before.get(words.sentence, words.context or None)
        after.add(
            name,
            old.string if old and _fits(old.string, words) else None,
            locations=[(place, 1) for place in places],
            context=words.context or None,
        )
    folder.mkdir(parents=True, exist_ok=True)
    with path.open("wb") as file:
        write_po(file, after, width=79, include_lineno=False, ignore_obsolete=True)
    compile_catalogue(folder, locale)
    missing = sum(1 for message in after if message.id and not translated(message))
    return len(gathered), missing


def compile_catalogue(folder: Path, locale: str) -> None:
    """Compile what ``django.po`` holds."""
    with (folder / "django.mo").open("wb") as file:
        write_mo(file, read(folder / "django.po", locale))


def read(path: Path, locale: str) -> Catalog:
    """The catalogue of a language; empty where there is none yet."""
    if not path.exists():
        return Catalog(locale=locale)
    with path.open("rb") as file:
        return read_po(file, locale=locale)


def translated(message: Any) -> bool:
    """Whether every form of a message has its words."""
    forms = message.string
    return all(forms) if isinstance(forms, tuple | list) else bool(forms)


def _fits(string: Any, words: Words) -> bool:
    return isinstance(string, tuple | list) == bool(words.plural)


def _everything(root: Path) -> Iterator[tuple[str, Words]]:
    for room in ROOMS:
        for path in sorted((root / room).rglob("*.py")):
            if "migrations" not in path.parts:
                name = path.relative_to(root).as_posix()
                yield from ((name, each) for each in in_python(_text(path)))
    yield from ((name, Words(words)) for name, words in naming.names())
    for path in sorted((root / "templates").rglob("*.*")):
        if path.suffix not in {".html", ".js"}:
            continue
        name = path.relative_to(root).as_posix()
        yield from ((name, w) for w in in_templatized(templatize(_text(path))))
    for name, table, keys in TABLES:
        yield from ((name, w) for w in in_table(_text(root / name), table, keys))


def _text(path: Path) -> str:
    return path.read_text(encoding="utf-8")
