"""The first page of an empty book, and the way to the demonstration."""

import subprocess
import sys

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from inventory.words import say
from labels import beginning
from labels.forms.beginning import BeginningForm

DEMONSTRATION_PORT = 8010
BACKEND = "inventory.roles.RoleBackend"


@login_not_required
def begin(request: HttpRequest) -> HttpResponse:
    """Ask the five questions, then go on to the first recipe."""
    if not beginning.is_empty():
        return redirect("/")
    needs_owner = not User.objects.exists()
    if not needs_owner and not request.user.is_authenticated:
        return redirect("login")
    beginning.bring_fixtures()
    form = BeginningForm(request.POST or None, needs_owner=needs_owner)
    if request.method == "POST" and form.is_valid() and _began(request, form):
        messages.success(request, say("The book is open. Write your first recipe."))
        return redirect("production:recipe-create")
    return render(request, "labels/begin.html", {"form": form})


def _began(request: HttpRequest, form: BeginningForm) -> bool:
    values = form.cleaned_data
    owner = request.user if isinstance(request.user, User) else User()
    if owner._state.adding:
        owner.username = values["username"]
        owner.set_password(values["password"])
        owner.is_staff = owner.is_superuser = True
    try:
        beginning.begin(
            owner=owner,
            business=form.as_business(),
            jars=values["jars"],
            market_name=values["market_name"],
            market_weekday=values["market_weekday"],
        )
    except beginning.BeginningError as error:
        form.add_error(None, f"{error}.")
    except ValidationError as error:
        form.add_error(None, error.messages)
    else:
        login(request, owner, backend=BACKEND)
        return True
    return False


@login_not_required
@require_POST
def demonstration(request: HttpRequest) -> HttpResponse:
    """Start the demonstration beside this book, in a file and on a port of its own."""
    if not beginning.is_empty():
        return redirect("/")
    subprocess.Popen(  # noqa: S603  our own command, no words of the reader's in it
        [
            sys.executable,
            str(settings.BASE_DIR / "manage.py"),
            "demo",
            "--port",
            str(DEMONSTRATION_PORT),
        ],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    host = request.get_host().split(":")[0]
    address = f"http://{host}:{DEMONSTRATION_PORT}/"
    return render(request, "labels/demonstration.html", {"address": address})
