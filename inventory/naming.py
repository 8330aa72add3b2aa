"""Names of models and fields, in the reader's language.

Django makes a name out of an attribute where none is given ("day_fee" becomes "day
fee"). Here such a name becomes one to translate, without a word in the models and
without a migration: what a migration records is the name as given, which stays none.
"""

from collections.abc import Iterator
from typing import Any

from django.apps import apps
from django.db import models
from django.utils.translation import gettext_lazy

__all__ = ["APPS", "make_translatable", "names"]

APPS = ("inventory", "production", "labels")
NEVER_SHOWN = {
    "answer",
    "body",
    "bound",
    "calendar_token",
    "objective",
    "result",
    "slug",
    "token",
}


def make_translatable() -> None:
    """Let every name Django made by itself be looked up when it is shown."""
    for model in _models():
        meta = model._meta
        if "verbose_name" not in meta.original_attrs:
            meta.verbose_name = gettext_lazy(str(meta.verbose_name))
        for field in _unnamed(model):
            field.verbose_name = gettext_lazy(_plain(field))


def names() -> Iterator[tuple[str, str]]:
    """Yield each name Django made, with the module it belongs to."""
    for model in _models():
        module = model.__module__.replace(".", "/") + ".py"
        if "verbose_name" not in model._meta.original_attrs:
            yield module, str(model._meta.verbose_name)
        yield from ((module, _plain(field)) for field in _unnamed(model))


def _models() -> Iterator[Any]:
    for name in APPS:
        yield from apps.get_app_config(name).get_models()


def _unnamed(model: type[models.Model]) -> Iterator[Any]:
    fields: tuple[Any, ...] = (*model._meta.fields, *model._meta.many_to_many)
    for field in fields:
        if field.name in NEVER_SHOWN or field.primary_key:
            continue
        if field._verbose_name is None and not field.name.startswith("history_"):
            yield field


def _plain(field: Any) -> str:
    return str(field.name.replace("_", " "))
