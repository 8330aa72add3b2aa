"""What every entry needs: the clock asked once, and refusals said on the form."""

from collections.abc import Callable
from datetime import date
from typing import TypeVar
from uuid import UUID

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.forms import BaseForm
from django.http import HttpRequest
from django.utils import timezone

from inventory.consignment import ConsignmentError
from inventory.forms.fields import said
from inventory.ledger import LedgerError, Stamp
from inventory.markets import MarketError
from inventory.purchasing import PurchasingError
from inventory.quantities import QuantityError
from inventory.reconciliation import ReconciliationError

__all__ = ["REFUSALS", "attempt", "stamp"]

REFUSALS = (
    LedgerError,
    MarketError,
    ConsignmentError,
    PurchasingError,
    QuantityError,
    ReconciliationError,
)
Answer = TypeVar("Answer")


def stamp(request: HttpRequest, *, on: date | None = None, note: str = "") -> Stamp:
    """Now, by this person; the date is the seller's unless another is given."""
    person = request.user if isinstance(request.user, User) else None
    return Stamp(
        on=on or timezone.localdate(),
        at=timezone.now(),
        person=person,
        note=note,
        token=_token(request),
    )


def _token(request: HttpRequest) -> UUID | None:
    """The touch's own mark, when the page made one."""
    try:
        return UUID(request.POST.get("token", ""))
    except ValueError:
        return None


def attempt(form: BaseForm, action: Callable[[], Answer]) -> Answer | None:
    """Do an action; its refusal becomes an error of the form."""
    try:
        return action()
    except REFUSALS as error:
        form.add_error(None, said(error))
    except ValidationError as error:
        form.add_error(None, error.messages)
    return None
