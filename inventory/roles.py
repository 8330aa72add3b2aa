"""Two roles: the owner sees everything, a helper does the work without the money."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.models import AbstractBaseUser, AnonymousUser, Group, User
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponseBase

from inventory.words import say

HELPER_GROUP = "helper"

View = Callable[..., HttpResponseBase]


def is_owner(user: AbstractBaseUser | AnonymousUser) -> bool:
    """Whether this person may see costs and decide.

    Everyone who can sign in is an owner unless put among the helpers. The
    answer is kept on the user for the length of a request.
    """
    if not isinstance(user, User):
        return False
    kept = getattr(user, "_is_owner", None)
    if kept is None:
        kept = user.is_superuser or not user.groups.filter(name=HELPER_GROUP).exists()
        user._is_owner = kept  # type: ignore[attr-defined]
    return bool(kept)


def make_helper(user: User) -> User:
    """Put a person among the helpers."""
    group, _ = Group.objects.get_or_create(name=HELPER_GROUP)
    user.groups.add(group)
    user._is_owner = False  # type: ignore[attr-defined]
    return user


def owner_required(view: View) -> View:
    """Refuse a helper with 403 and a sentence."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        if not is_owner(request.user):
            raise PermissionDenied(say("only the owner may open this page; ask them"))
        return view(request, *args, **kwargs)

    return guarded
