"""What the week needs to know of the place profile the labels follow."""

import datetime
from dataclasses import dataclass

from production.year import SalesCap

__all__ = ["PlaceState"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceState:
    """A place profile as it stands on a day.

    Attributes:
        place: its name.
        address: its page.
        read_on: the day its law was read.
        is_stale: whether that is more than a year ago.
        changed_on: the day it changed after labels were last printed by it; None
            when those labels still say what it asks for.
        cap: the most that may be sold in a year, where it is known.
    """

    place: str
    address: str
    read_on: datetime.date
    is_stale: bool
    changed_on: datetime.date | None
    cap: SalesCap | None
