"""Two roles: the owner sees everything, a helper does the work without the money."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.backends import ModelBackend
from django.contrib.auth.models import AbstractBaseUser, AnonymousUser, Group, User
from django.core.exceptions import PermissionDenied
from django.db.models import Exists, OuterRef
from django.http import HttpRequest, HttpResponseBase

from inventory.words import say

HELPER_GROUP = "helper"
KEPT = "_is_owner"
"""Where the role is kept on the person, for the length of a request."""

View = Callable[..., HttpResponseBase]


def is_owner(user: AbstractBaseUser | AnonymousUser) -> bool:
    """Whether this person may see costs and decide.

    Everyone who can sign in is an owner unless put among the helpers. The
    answer is kept on the user for the length of a request.
    """
    if not isinstance(user, User):
        return False
    kept = getattr(user, KEPT, None)
    if kept is None:
        kept = user.is_superuser or not user.groups.filter(name=HELPER_GROUP).exists()
        setattr(user, KEPT, kept)
    return bool(kept)


class RoleBackend(ModelBackend):
    """Django's passwords; the reader of a page and their role come in one query."""

    def get_user(self, user_id: int) -> User | None:
        """The person of a session, with their role; None when they may not sign in."""
        helpers = Group.objects.filter(name=HELPER_GROUP, user=OuterRef("pk"))
        found = User.objects.annotate(is_helper=Exists(helpers)).filter(pk=user_id)
        user = found.first()
        if user is None or not self.user_can_authenticate(user):
            return None
        setattr(user, KEPT, user.is_superuser or not user.is_helper)
        return user


def make_helper(user: User) -> User:
    """Put a person among the helpers."""
    group, _ = Group.objects.get_or_create(name=HELPER_GROUP)
    user.groups.add(group)
    setattr(user, KEPT, False)
    return user


def owner_required(view: View) -> View:
    """Refuse a helper with 403 and a sentence."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        if not is_owner(request.user):
            raise PermissionDenied(say("only the owner may open this page; ask them"))
        return view(request, *args, **kwargs)

    return guarded
