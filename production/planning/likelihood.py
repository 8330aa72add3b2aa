"""The likelihood of market days, some of them cut off by selling out.

Owns numpy and scipy for the demand room; imported late by ``pooling``.
With mean m of a whole day, share f of the day on sale and count x:

    jars left, or hour known   log P(D = x) at mean f m
    sold out, hour unknown     log P(D >= x) at mean m

Poisson tails are incomplete gamma functions, negative binomial tails
incomplete beta functions (NIST Digital Library of Mathematical Functions,
8.4.10 and 8.17.5), both from scipy.
"""

from dataclasses import dataclass

import numpy as np  # noqa: TID253  this module owns numpy; imported late
from numpy.typing import NDArray  # noqa: TID253  as above
from scipy import special  # noqa: TID253  as above

__all__ = ["Book"]

Vector = NDArray[np.float64]
SMALLEST = 1e-290
NEWTON_STEPS = 60
CLOSE = 1e-9


@dataclass(frozen=True)
class Book:
    """All market days as arrays.

    Attributes:
        design: effects (columns) acting on each day (rows).
        precision: inverse prior variance of each effect.
        counts: jars sold.
        shares: share of the day the count stands for.
        hidden: whether the day says only "at least".
    """

    design: Vector
    precision: Vector
    counts: Vector
    shares: Vector
    hidden: NDArray[np.bool_]

    def start(self, base_column: int) -> Vector:
        """Return effects that give every day the plain mean."""
        effects = np.zeros(self.design.shape[1])
        effects[base_column] = np.log(self.counts.sum() / self.shares.sum())
        return effects

    def settle(self, start: Vector, dispersion: float) -> tuple[Vector, float]:
        """Return the most probable effects and the loss there.

        Newton's method with the exact curvature; a step that does not lower
        the loss is halved.
        """
        effects, point = start, self.at(start, dispersion)
        for _ in range(NEWTON_STEPS):
            step = np.linalg.solve(point.curvature, point.slope)
            ahead = self.at(effects - step, dispersion)
            while not ahead.loss <= point.loss and np.abs(step).max() > CLOSE:
                step = step / 2
                ahead = self.at(effects - step, dispersion)
            if not ahead.loss <= point.loss:
                break
            effects, point = effects - step, ahead
            if np.abs(step).max() < CLOSE:
                break
        return effects, point.loss

    def at(self, effects: Vector, dispersion: float) -> "Point":
        """Return the negative log posterior, its slope and its curvature."""
        log_mean = np.clip(self.design @ effects, -20.0, 9.0)
        mean = np.exp(log_mean) * self.shares
        if dispersion > 0:
            size = 1 / dispersion
            value, slope, bend = _negative_binomial(
                self.counts, mean, self.hidden, size
            )
        else:
            value, slope, bend = _poisson(self.counts, mean, self.hidden)
        curvature = self.design.T @ (self.design * np.maximum(bend, 0.0)[:, None])
        curvature[np.diag_indices_from(curvature)] += self.precision
        pull = self.precision * effects
        return Point(
            loss=-float(value.sum()) + 0.5 * float(effects @ pull),
            slope=-(self.design.T @ slope) + pull,
            curvature=curvature,
        )

    def covariance(self, effects: Vector, dispersion: float) -> Vector:
        """Return the covariance of the effects by the curvature at the top."""
        inverse = np.linalg.inv(self.at(effects, dispersion).curvature)
        return np.asarray(inverse, dtype=np.float64)


@dataclass(frozen=True)
class Point:
    """The loss at some effects, with its first and second derivatives."""

    loss: float
    slope: Vector
    curvature: Vector


def _poisson(
    counts: Vector, mean: Vector, hidden: NDArray[np.bool_]
) -> tuple[Vector, Vector, Vector]:
    """Return log-likelihoods, their slopes and bends by the log of the mean."""
    log_mass = counts * np.log(mean) - mean - special.gammaln(counts + 1)
    floor = np.maximum(counts, 1.0)
    reached = np.maximum(special.gammainc(floor, mean), SMALLEST)
    density = floor * np.log(mean) - mean - special.gammaln(floor)
    beyond = np.exp(np.minimum(density - np.log(reached), 50.0))
    return (
        np.where(hidden, np.log(reached), log_mass),
        np.where(hidden, beyond, counts - mean),
        np.where(hidden, beyond * (beyond + mean - floor), mean),
    )


def _negative_binomial(
    counts: Vector, mean: Vector, hidden: NDArray[np.bool_], size: float
) -> tuple[Vector, Vector, Vector]:
    """Return log-likelihoods, their slopes and bends by the log of the mean."""
    share = mean / (mean + size)
    log_mass = (
        special.gammaln(counts + size)
        - special.gammaln(size)
        - special.gammaln(counts + 1)
        + size * np.log1p(-share)
        + counts * np.log(share)
    )
    floor = np.maximum(counts, 1.0)
    reached = np.maximum(special.betainc(floor, size, share), SMALLEST)
    density = floor * np.log(share) + size * np.log1p(-share)
    density = density - special.betaln(floor, size) - np.log(reached)
    beyond = np.exp(np.minimum(density, 50.0))
    pull = floor * (1 - share) - size * share
    return (
        np.where(hidden, np.log(reached), log_mass),
        np.where(hidden, beyond, size * (counts - mean) / (size + mean)),
        np.where(
            hidden,
            beyond * (beyond - pull),
            size * mean * (size + counts) / (size + mean) ** 2,
        ),
    )
