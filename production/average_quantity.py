"""The three packers' rules of the European average system (76/211/EEC).

On average not below the nominal quantity; few short by more than the tolerable
negative error (TNE); none short by more than twice that.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from statistics import stdev

from inventory.words import say
from production.net_contents import NetContentsError, tables
from production.wording import number_text

__all__ = [
    "AverageQuantityResult",
    "check_average_quantity",
    "largest_nominal_g",
    "tolerable_error_g",
]

TENTH = Decimal("0.1")
ACCEPTED_BELOW_T1 = {20: 1, 30: 1, 50: 2, 80: 3}
"""Jars below T1 still accepted at the sample sizes of Annex II (from memory)."""
FEW = Decimal("0.025")
"""The share a packer may have below T1 (secondary: an account of the rules)."""


def tolerable_error_g(nominal_g: Decimal) -> Decimal:
    """Return the tolerable negative error of a nominal quantity, g.

    Raises:
        NetContentsError: outside the 5 g to 10 kg of the table.

    Source: Council Directive 76/211/EEC, Annex I, 2.4; a percentage is rounded up
    to the next 0.1 g (2.5).
    """
    table = tables()["tolerable_error"]
    if nominal_g < table["starts_at_g"]:
        raise NetContentsError(
            say("{nominal_g} g is less than the 5 g of the table", nominal_g=nominal_g)
        )
    for row in table["rows"]:
        if nominal_g <= row["at_most_g"]:
            if "grams" in row:
                return Decimal(row["grams"])
            exact = nominal_g * Decimal(row["fraction"])
            tenths: Decimal = (exact / TENTH).to_integral_value(ROUND_CEILING)
            return tenths * TENTH
    raise NetContentsError(
        say("{nominal_g} g is more than the 10 kg of the table", nominal_g=nominal_g)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class AverageQuantityResult:
    """How weighed jars stand with the three rules.

    Attributes:
        nominal_g: quantity on the label, g.
        tne_g: tolerable negative error, g.
        nets_g: net weights, g.
        mean_g: their mean, g.
        spread_g: their sample standard deviation, g.
        mean_limit_g: the mean must not be below it, g.
    """

    nominal_g: Decimal
    tne_g: Decimal
    nets_g: tuple[Decimal, ...]
    mean_g: Decimal
    spread_g: Decimal
    mean_limit_g: Decimal

    @property
    def below_t1(self) -> int:
        """Jars short by more than the TNE."""
        return sum(each < self.nominal_g - self.tne_g for each in self.nets_g)

    @property
    def below_t2(self) -> int:
        """Jars short by more than twice the TNE."""
        return sum(each < self.nominal_g - 2 * self.tne_g for each in self.nets_g)

    @property
    def accepted_below_t1(self) -> int:
        """Jars below T1 that are still few."""
        jars = len(self.nets_g)
        return ACCEPTED_BELOW_T1.get(jars, int(jars * FEW))

    @property
    def failures(self) -> tuple[str, ...]:
        """What rule is broken, in words; empty when none is."""
        said = []
        if self.mean_g < self.mean_limit_g:
            said.append(
                say(
                    "the mean of {mean_g} g is below {mean_limit_g} g",
                    mean_g=number_text(self.mean_g),
                    mean_limit_g=number_text(self.mean_limit_g),
                )
            )
        if self.below_t1 > self.accepted_below_t1:
            said.append(
                say(
                    "{below_t1} jars are short by more than {tne_g} g; "
                    "{accepted_below_t1} would be few",
                    below_t1=self.below_t1,
                    tne_g=number_text(self.tne_g),
                    accepted_below_t1=self.accepted_below_t1,
                )
            )
        if self.below_t2:
            said.append(
                say(
                    "{below_t2} jars are short by more than {tne_g} g",
                    below_t2=self.below_t2,
                    tne_g=number_text(2 * self.tne_g),
                )
            )
        return tuple(said)

    @property
    def passes(self) -> bool:
        """All three rules hold for these jars."""
        return not self.failures


def check_average_quantity(
    nets_g: Sequence[Decimal], *, nominal_g: Decimal, lot_size: int
) -> AverageQuantityResult:
    """Check net weights against the three rules.

    Args:
        nets_g: one per jar weighed, g.
        nominal_g: quantity on the label, g.
        lot_size: jars in the batch; when all were weighed the mean is known and
            gets no allowance for sampling.

    Raises:
        NetContentsError: nothing was weighed, or more jars than there are.

    Source: Council Directive 76/211/EEC, Annex I 1 and Annex II 2.3.
    """
    if not nets_g:
        raise NetContentsError(say("no jar was weighed"))
    if len(nets_g) > lot_size:
        raise NetContentsError(
            say(
                "{nets_g} jars were weighed, but the lot holds {lot_size}",
                nets_g=len(nets_g),
                lot_size=lot_size,
            )
        )
    jars = len(nets_g)
    spread = stdev(nets_g) if jars > 1 else Decimal(0)
    allowance = Decimal(0)
    if 1 < jars < lot_size:
        allowance = spread * _mean_factor(jars)
    return AverageQuantityResult(
        nominal_g=nominal_g,
        tne_g=tolerable_error_g(nominal_g),
        nets_g=tuple(nets_g),
        mean_g=sum(nets_g, Decimal(0)) / jars,
        spread_g=spread,
        mean_limit_g=nominal_g - allowance,
    )


def largest_nominal_g(nets_g: Sequence[Decimal]) -> Decimal:
    """Return the largest whole-gram quantity these jars carry by the three rules.

    The mean gets no allowance: the new figure is not above what the jars hold.

    Raises:
        NetContentsError: nothing was weighed, or the jars hold too little.
    """
    if not nets_g:
        raise NetContentsError(say("no jar was weighed"))
    mean = sum(nets_g, Decimal(0)) / len(nets_g)
    nominal = Decimal(int(mean))
    while nominal >= tables()["tolerable_error"]["starts_at_g"]:
        if check_average_quantity(
            nets_g, nominal_g=nominal, lot_size=len(nets_g)
        ).passes:
            return nominal
        nominal -= 1
    raise NetContentsError(say("these jars hold too little to declare a weight"))


def _mean_factor(jars: int) -> Decimal:
    from scipy.special import stdtrit

    return Decimal(str(float(stdtrit(jars - 1, 0.995)))) / Decimal(jars).sqrt()
