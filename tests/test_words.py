"""Every sentence a person sees goes through the catalogue, and the catalogue holds it."""

import ast
import importlib
import pkgutil
import re
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from babel.messages.pofile import read_po
from django.apps import apps
from django.conf import settings
from django.forms import BaseForm
from django.test import Client
from django.utils import formats, translation
from django.utils.functional import Promise
from django.utils.translation.template import templatize

from inventory import words
from inventory.catalogue import Words, in_python, in_table, in_templatized, placeholders
from inventory.management.commands import messages
from inventory.money import format_money

FOLDER = Path(settings.LOCALE_PATHS[0]) / "es" / "LC_MESSAGES"


def catalogue():
    with (FOLDER / "django.po").open("rb") as file:
        return read_po(file, locale="es")


def said(message):
    """Pairs of a sentence and what stands for it."""
    if isinstance(message.id, str):
        return [(message.id, message.string)]
    last = len(message.id) - 1
    return [(message.id[min(n, last)], s) for n, s in enumerate(message.string)]


def missing_words():
    """What the program says and the catalogue does not hold translated."""
    known = catalogue()
    found = (
        (each, known.get(each.sentence, each.context or None))
        for each in messages.gather(settings.BASE_DIR)
    )
    return [
        each.sentence
        for each, message in found
        if message is None or not messages.translated(message)
    ]


# -- the catalogue --


def test_the_catalogue_is_complete():
    assert missing_words() == []


def test_every_translation_keeps_the_gaps():
    wrong = [
        (sentence, translated)
        for message in catalogue()
        if message.id and messages.translated(message)
        for sentence, translated in said(message)
        if placeholders(translated) != placeholders(sentence)
        and not (
            message.pluralizable and placeholders(translated) < placeholders(sentence)
        )
    ]
    assert wrong == []


def test_every_translation_can_be_filled():
    for message in catalogue():
        for sentence, translated in said(message) if message.id else ():
            gaps = placeholders(sentence)
            if translated and gaps and "%(" not in sentence:
                Filled().vformat(translated, (), dict.fromkeys(gaps, Anything()))


def test_the_compiled_catalogue_is_the_written_one(tmp_path):
    (tmp_path / "django.po").write_bytes((FOLDER / "django.po").read_bytes())
    messages.compile_catalogue(tmp_path, "es")
    assert (tmp_path / "django.mo").read_bytes() == (FOLDER / "django.mo").read_bytes()


# -- nothing is left outside --


USER_VISIBLE = {"label", "help_text", "verbose_name", "empty_label", "empty_text"}
SPOKEN = {"success", "error", "warning", "info"}
ROOMS = ("forms", "tables", "filters", "views", "models")


def plain_strings(path):
    """Literals that reach a person without passing the catalogue."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        if isinstance(node, ast.keyword) and node.arg in USER_VISIBLE:
            yield from literal(node.value)
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            owner = getattr(node.func.value, "id", "")
            if owner == "messages" and node.func.attr in SPOKEN:
                for argument in node.args[1:]:
                    yield from literal(argument)
        elif isinstance(node, ast.Raise) and isinstance(node.exc, ast.Call):
            for argument in node.exc.args:
                yield from literal(argument)


def literal(node):
    if isinstance(node, ast.JoinedStr):
        text = "".join(p.value for p in node.values if isinstance(p, ast.Constant))
    else:
        text = node.value if isinstance(node, ast.Constant) else ""
    if isinstance(text, str) and re.search(r"[A-Za-z]{3,} |^[A-Z][a-z]{2,}$", text):
        yield f"{text} (line {node.lineno})"


def rooms():
    for app in ("inventory", "production", "labels"):
        for path in sorted((settings.BASE_DIR / app).rglob("*.py")):
            parts = path.relative_to(settings.BASE_DIR / app).parts
            if parts[0].removesuffix(".py") in ROOMS:
                yield path


@pytest.mark.parametrize("path", list(rooms()), ids=lambda path: path.name)
def test_no_plain_sentence_stands_in_a_room_of_pages(path):
    assert list(plain_strings(path)) == []


def forms_of_the_program():
    for app in ("inventory", "production", "labels"):
        package = importlib.import_module(f"{app}.forms")
        for found in pkgutil.iter_modules(package.__path__):
            module = importlib.import_module(f"{app}.forms.{found.name}")
            for form in vars(module).values():
                if isinstance(form, type) and issubclass(form, BaseForm):
                    yield form


def test_every_field_of_every_form_has_a_label_to_translate():
    bare = {
        f"{form.__module__}.{form.__name__}.{name}"
        for form in forms_of_the_program()
        for name, field in getattr(form, "base_fields", {}).items()
        if not field.widget.is_hidden
        and field.label != ""
        and not isinstance(field.label, Promise)
    }
    assert bare == set()


SCRIPTS = [
    path
    for app in ("inventory", "production", "labels")
    for path in sorted((settings.BASE_DIR / app / "static").rglob("*.js"))
    if "vendor" not in path.parts
]


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.name)
def test_scripts_take_their_words_from_the_page(path):
    shown = re.findall(
        r"(?:textContent|innerText|title|placeholder|alert)\s*(?:=|\()\s*[\"'`]([^\"'`]*)",
        path.read_text(encoding="utf-8"),
    )
    bare = [re.sub(r"\$\{.*", "", text) for text in shown]
    assert [text for text in bare if re.search("[A-Za-z]{3}", text)] == []


# -- how sentences are found --


def test_a_sentence_chosen_by_a_condition_is_found_in_both_forms():
    source = 'say("one way" if a else "the other", a=a)'
    assert {each.sentence for each in in_python(source)} == {"one way", "the other"}


def test_plurals_and_constants_are_found():
    source = 'say_count("{count} jar", "{count} jars", n)\nX = to_say("later")'
    found = set(in_python(source))
    assert found == {Words("{count} jar", "{count} jars"), Words("later")}


def test_templates_are_read_through_what_django_makes_of_them():
    text = (
        '{% translate "Week" %}{% blocktranslate count n=n %}{{ n }} jar{% plural %}'
        '{{ n }} jars{% endblocktranslate %}{{ day|date:_("j M") }}'
    )
    found = set(in_templatized(templatize(text)))
    assert found == {Words("Week"), Words("%(n)s jar", "%(n)s jars"), Words("j M")}


def test_tables_name_the_keys_that_hold_words():
    table = '[[row]]\nname = "swollen lid"\ncode = "BULGE"\n'
    assert list(in_table(table, "row", ["name", "missing"])) == [Words("swollen lid")]


# -- how a sentence is said --


class Filled(words._Filler):
    """Fills gaps with anything, whatever the format asks."""


class Anything(Decimal):
    """A value that every format takes."""

    def __new__(cls):
        return super().__new__(cls, 7)

    def __format__(self, spec):
        return "7"


@pytest.fixture
def spanish():
    with translation.override("es"):
        yield


def test_a_sentence_without_a_reader_is_the_english_one():
    assert words.say("{jars} jars of {name}", jars=3, name="plum") == "3 jars of plum"


@pytest.mark.usefixtures("spanish")
def test_decimals_get_the_readers_sign():
    assert words.say("{ph:.1f}", ph=Decimal("4.6")) == "4,6"
    assert words.figures("1,234.5") == "1.234,5"


@pytest.mark.usefixtures("spanish")
def test_days_and_months_get_the_readers_names():
    assert words.say("{on:%A %d %B}", on=date(2026, 6, 21)) == "domingo 21 junio"


def test_the_seller_in_the_united_states_keeps_the_point():
    assert words.as_written_in("es", "en_US") == "es-us"
    with translation.override("es-us"):
        assert words.say("{ph:.1f}", ph=Decimal("4.6")) == "4.6"
        assert formats.get_format("DECIMAL_SEPARATOR") == "."
        assert format_money(Decimal("1234.5"), "USD", "en_US") == "$1,234.50"


def test_other_sellers_write_as_their_country_does():
    assert words.as_written_in("es", "es_AR") == "es"
    assert words.as_written_in("en-us", "de_DE") == "en-us"
    with translation.override("es"):
        assert words.local("es_AR") == "es_AR"
        assert words.local("de_DE") == "es"


# -- choosing a language --


@pytest.mark.django_db
def test_the_foot_of_the_page_changes_the_language(owner_client):
    answer = owner_client.post("/language/", {"language": "es", "next": "/pantry/"})
    assert answer.headers["Location"] == "/pantry/"
    page = owner_client.get("/pantry/")
    assert 'lang="es' in page.content.decode()


@pytest.mark.django_db
def test_signed_out_the_language_can_be_chosen_too(owner):
    client = Client()
    client.post("/language/", {"language": "es", "next": "/sign-in/"})
    assert 'lang="es' in client.get("/sign-in/").content.decode()


def test_names_django_makes_are_translated_without_a_migration():
    field = apps.get_model("inventory", "Outlet")._meta.get_field("contact")
    assert field.deconstruct()[3].get("verbose_name") is None
    with translation.override("es"):
        assert str(field.verbose_name) != ""
