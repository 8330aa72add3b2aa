"""How many jars may be asked for: counts with a mean and a spread.

Poisson where the variance equals the mean, negative binomial where it is
larger. Floats throughout; the tails are summed until what is left is below
1e-12, so probabilities are good to about 1e-10.
"""

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Protocol

from inventory.words import say

__all__ = ["Beyond", "Certain", "Counts", "Demand", "DemandError", "Tabled"]

TAIL = 1e-12
LARGEST_COUNT = 20_000


class DemandError(ValueError):
    """A demand was described in a way that cannot be."""


class Demand(Protocol):
    """A distribution of the number of jars asked for on one day."""

    @property
    def mean(self) -> float:
        """Mean number of jars."""
        ...

    @property
    def variance(self) -> float:
        """Variance of the number of jars."""
        ...

    def at_least(self, jars: int) -> float:
        """Return the probability that at least so many jars are asked for."""
        ...


@lru_cache(maxsize=4096)
def _survival(mean: float, variance: float) -> tuple[float, ...]:
    """Return P(D >= 0), P(D >= 1), ... down to the tail."""
    if mean <= 0:
        return (1.0,)
    if variance > mean * (1 + 1e-9):
        size = mean * mean / (variance - mean)
        log_first = size * math.log(size / (size + mean))
        odds = mean / (size + mean)
    else:
        size, odds, log_first = math.inf, 0.0, -mean
    log_mass, left, survival = log_first, 1.0, [1.0]
    for count in range(LARGEST_COUNT):
        left -= math.exp(log_mass)
        if left < TAIL and count > mean:
            break
        survival.append(max(left, 0.0))
        step = mean if math.isinf(size) else odds * (size + count)
        log_mass += math.log(step / (count + 1))
    return tuple(survival)


class _Discrete:
    """What every distribution over whole jars can answer."""

    __slots__ = ()

    def survival(self) -> tuple[float, ...]:
        """Return P(D >= 0), P(D >= 1), ... until nothing is left."""
        raise NotImplementedError

    def at_least(self, jars: int) -> float:
        """Return P(D >= jars)."""
        survival = self.survival()
        if jars <= 0:
            return 1.0
        return survival[jars] if jars < len(survival) else 0.0

    def quantile(self, share: float) -> int:
        """Return the smallest count reached with at least this probability.

        Args:
            share: between 0 and 1; compared with a slack of 1e-12, so that a
                share equal to the distribution function is not stepped past.
        """
        if not 0 <= share < 1:
            raise DemandError(
                say("a quantile of {share} is not between 0 and 1", share=share)
            )
        survival = self.survival()
        for count in range(len(survival)):
            if 1 - self.at_least(count + 1) >= share - 1e-12:
                return count
        return len(survival)

    def expected_sales(self, jars: int) -> float:
        """Return the mean number sold when so many are taken."""
        return math.fsum(self.at_least(k) for k in range(1, jars + 1))

    def sold_out(self, jars: int) -> float:
        """Return the probability that the last jar goes.

        A day that sold 12 of 12 is sold out whether or not anyone was turned
        away, so this is ``at_least(jars)``.
        """
        return self.at_least(jars)


@dataclass(frozen=True, slots=True, kw_only=True)
class Counts(_Discrete):
    """Poisson or, with a variance above the mean, negative binomial counts."""

    mean: float
    variance: float

    def __post_init__(self) -> None:
        if not 0 <= self.mean < LARGEST_COUNT / 4:
            raise DemandError(
                say("a mean of {mean} jars a day cannot be planned for", mean=self.mean)
            )
        if self.variance < self.mean - 1e-9:
            raise DemandError(
                say(
                    "a variance of {variance} is below the mean {mean}",
                    variance=self.variance,
                    mean=self.mean,
                )
            )

    @classmethod
    def poisson(cls, mean: float) -> "Counts":
        """Return counts that vary no more than chance."""
        return cls(mean=mean, variance=mean)

    def survival(self) -> tuple[float, ...]:
        """Return P(D >= 0), P(D >= 1), ... until nothing is left."""
        return _survival(self.mean, self.variance)

    @property
    def spread(self) -> float:
        """Standard deviation, jars."""
        return math.sqrt(self.variance)

    def scaled(self, factor: float) -> "Counts":
        """Return the same kind of day with its mean multiplied.

        The part of the variance beyond chance scales with the square.
        """
        mean = self.mean * factor
        extra = (self.variance - self.mean) * factor * factor
        return Counts(mean=mean, variance=mean + max(extra, 0.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Certain(_Discrete):
    """A number that is known: a firm order, or the floor of "at least"."""

    jars: int

    def __post_init__(self) -> None:
        if self.jars < 0:
            raise DemandError(
                say("an order of {jars} jars is below zero", jars=self.jars)
            )

    @property
    def mean(self) -> float:
        """The number itself."""
        return float(self.jars)

    @property
    def variance(self) -> float:
        """Nothing is uncertain."""
        return 0.0

    @property
    def spread(self) -> float:
        """Nothing is uncertain."""
        return 0.0

    def survival(self) -> tuple[float, ...]:
        """Return one for every jar ordered."""
        return (1.0,) * (self.jars + 1)

    def scaled(self, factor: float) -> "Certain":
        """Return the order unchanged: an order does not mind the weather."""
        del factor
        return self


@dataclass(frozen=True, slots=True, kw_only=True)
class Tabled(_Discrete):
    """Counts with given probabilities, the first for zero jars."""

    probabilities: tuple[float, ...]

    def __post_init__(self) -> None:
        if abs(math.fsum(self.probabilities) - 1) > 1e-9:
            raise DemandError(say("the probabilities of a demand do not add up to one"))

    @property
    def mean(self) -> float:
        """Mean number of jars."""
        return math.fsum(k * p for k, p in enumerate(self.probabilities))

    @property
    def variance(self) -> float:
        """Variance of the number of jars."""
        mean = self.mean
        return math.fsum((k - mean) ** 2 * p for k, p in enumerate(self.probabilities))

    def survival(self) -> tuple[float, ...]:
        """Return P(D >= 0), P(D >= 1), ..."""
        return tuple(
            math.fsum(self.probabilities[k:]) for k in range(len(self.probabilities))
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Beyond(_Discrete):
    """What is asked for beyond the jars that stand at an outlet already."""

    demand: Counts | Certain
    there: int

    @property
    def mean(self) -> float:
        """Mean number asked for beyond those there."""
        return self.demand.mean - self.demand.expected_sales(self.there)

    @property
    def variance(self) -> float:
        """Variance of that number."""
        rows = self.survival()
        second = math.fsum((2 * k - 1) * rows[k] for k in range(1, len(rows)))
        return second - self.mean**2

    def survival(self) -> tuple[float, ...]:
        """Return P(D >= 0), P(D >= 1), ... until nothing is left."""
        return (1.0, *self.demand.survival()[self.there + 1 :])

    def scaled(self, factor: float) -> "Beyond":
        """Return the same on a day with fewer customers."""
        return Beyond(demand=self.demand.scaled(factor), there=self.there)
