"""Ask once more before something is undone for good, and say what it does in numbers."""

from collections.abc import Sequence

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

__all__ = ["ask_first"]

YES = "yes"
ASKED = "confirmed"
NOT_KEPT = {"csrfmiddlewaretoken", ASKED}


def ask_first(
    request: HttpRequest,
    *,
    question: str,
    facts: Sequence[str],
    submit: str,
    back: str,
) -> HttpResponse | None:
    """The page that asks, until it was answered with yes.

    Args:
        request: what was sent is sent again with the answer.
        question: what would be done, as a question.
        facts: what that means in numbers, a sentence each.
        submit: the words of the key that does it.
        back: where to go instead.
    """
    if request.POST.get(ASKED) == YES:
        return None
    kept = [
        (name, value)
        for name, values in request.POST.lists()
        if name not in NOT_KEPT
        for value in values
    ]
    context = {
        "question": question,
        "facts": facts,
        "submit": submit,
        "back": back,
        "kept": kept,
    }
    return render(request, "includes/confirm.html", context)
