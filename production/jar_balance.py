"""Where the jars of a batch are: made = found + unaccounted, in jars and per cent.

Source: the identity is common practice of mass-balance exercises; that a tracing
record must hold quantities received and released: 21 CFR 1.337 and 1.345.
"""

from dataclasses import dataclass, fields
from decimal import Decimal

from inventory.words import say, to_say

__all__ = ["BalanceError", "JarBalance"]


class BalanceError(ValueError):
    """A figure that cannot stand in a balance."""

    def __init__(self, name: str, value: Decimal) -> None:
        self.name = name
        self.value = value
        super().__init__(
            say(
                "{name} cannot be {value}; it is 0 or more",
                name=name.replace("_", " "),
                value=value,
            )
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class JarBalance:
    """The jars of one batch, or of several together.

    Attributes:
        made: jars filled.
        on_shelf: at home, those brought back from a stall among them.
        at_outlets: at a shop, or out at a stall that is not counted back yet.
        sold: sold, less those a buyer returned.
        sampled: opened for tasting or testing.
        given: given away or eaten at home.
        written_off: broken, unsealed, spoiled, past best-by, rejected.
        used: opened into another batch or moved into another lot.
        recalled: came back in a recall and were destroyed.
        returned: of those sold, came back from buyers; they are counted where they
            are now, and shown for information only.
    """

    made: Decimal
    on_shelf: Decimal = Decimal(0)
    at_outlets: Decimal = Decimal(0)
    sold: Decimal = Decimal(0)
    sampled: Decimal = Decimal(0)
    given: Decimal = Decimal(0)
    written_off: Decimal = Decimal(0)
    used: Decimal = Decimal(0)
    recalled: Decimal = Decimal(0)
    returned: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        for field in fields(self):
            value = getattr(self, field.name)
            if value < 0 and field.name != "sold":
                raise BalanceError(field.name, value)

    @property
    def terms(self) -> tuple[tuple[str, Decimal], ...]:
        """Every figure that adds up to the jars made, by its name."""
        return (
            (to_say("on the shelf"), self.on_shelf),
            (to_say("at outlets"), self.at_outlets),
            (to_say("sold"), self.sold),
            (to_say("sampled"), self.sampled),
            (to_say("given away"), self.given),
            (to_say("written off"), self.written_off),
            (to_say("used in another lot"), self.used),
            (to_say("recalled"), self.recalled),
            (to_say("unaccounted"), self.unaccounted),
        )

    @property
    def found(self) -> Decimal:
        """Jars whose place or end is known."""
        return (
            self.on_shelf
            + self.at_outlets
            + self.sold
            + self.sampled
            + self.given
            + self.written_off
            + self.used
            + self.recalled
        )

    @property
    def unaccounted(self) -> Decimal:
        """Made less found; below zero when more was found than made."""
        return self.made - self.found

    @property
    def accounted_percent(self) -> Decimal:
        """Share of the jars made that is explained, in per cent to two places."""
        return self.percent(self.made - abs(self.unaccounted))

    @property
    def still_out(self) -> Decimal:
        """Jars that may be with somebody: sold or at an outlet."""
        return self.sold + self.at_outlets

    def percent(self, jars: Decimal) -> Decimal:
        """Return a number of jars in per cent of those made, to two places."""
        if not self.made:
            return Decimal(100) if not jars else Decimal(0)
        return (100 * jars / self.made).quantize(Decimal("0.01"))

    def __add__(self, other: "JarBalance") -> "JarBalance":
        """The two balances together."""
        sums = {
            field.name: getattr(self, field.name) + getattr(other, field.name)
            for field in fields(self)
        }
        return JarBalance(**sums)
