"""One model of demand for all products, outlets and seasons together.

A new flavour has four market days and a new outlet three; alone they say
little. The mean of a day is taken as a product of effects,

    mean = base x product x outlet x (product at outlet) x season x trend,

each effect drawn towards one by a normal prior on its logarithm (the
standard deviations are in ``PRIORS``), so a cell with few days leans on its
neighbours and a cell with many goes its own way. Season is one wave a year,
shared, with smaller departures for each product and outlet; the trend is one
rate a year, shared, with a smaller departure for each outlet. Counts are
Poisson, or negative binomial with one dispersion for the whole book where
the likelihood gains enough (a likelihood-ratio test at 5 %; the dispersion
lies on the edge of its range, so the limit is the 90 % point of chi-square
with one degree of freedom, 2.706).

The forecast's variance adds three parts: chance, days that differ beyond
chance, and what is not known of the mean. Found by maximising the posterior
(Newton's method, derivatives exact); means repeat to about 1e-6.
"""

import datetime as dt
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, Any

from production.planning.demand import Basis, Estimate, Override, PastDay, plain_mean
from production.planning.distributions import Certain, Counts

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from production.planning.likelihood import Book

    Vector = NDArray[np.float64]

__all__ = ["PRIORS", "Forecast", "fit"]

PRIORS: Mapping[str, float] = {
    "base": 5.0,
    "product": 1.0,
    "outlet": 1.0,
    "cell": 0.35,
    "season": 0.4,
    "season of product": 0.2,
    "season of outlet": 0.2,
    "trend": 0.15,
    "trend of outlet": 0.1,
}
"""Standard deviations of the logarithm of each effect; our own choice: a
product may be three times the average, a product at one outlet a third above
or below what its parts say, a year a seventh better or worse."""

NEWCOMER_SPREAD = 0.4
DISPERSION_TEST = 2.706
DAYS_A_YEAR = 365.25
KEPT_FITS = 16


def _effects(
    product: str, outlet: str, on: dt.date, today: dt.date
) -> Iterator[tuple[str, str, float]]:
    """Yield (kind of effect, whose, how strongly it acts that day)."""
    years = (on - today).days / DAYS_A_YEAR
    turn = 2 * math.pi * on.timetuple().tm_yday / DAYS_A_YEAR
    yield "base", "", 1.0
    yield "product", product, 1.0
    yield "outlet", outlet, 1.0
    yield "cell", f"{product}\n{outlet}", 1.0
    for wave, height in (("sin", math.sin(turn)), ("cos", math.cos(turn))):
        yield "season", wave, height
        yield "season of product", f"{wave}\n{product}", height
        yield "season of outlet", f"{wave}\n{outlet}", height
    yield "trend", "", years
    yield "trend of outlet", outlet, years


@dataclass(frozen=True)
class _Fitted:
    """Numbers of a finished fit: effects by key, their covariance, dispersion."""

    columns: Mapping[tuple[str, str], int]
    effects: "Vector"
    covariance: "Vector"
    dispersion: float


@dataclass(frozen=True)
class Forecast:
    """The fitted book of demand: ask it for any product, outlet and day.

    Attributes:
        days: the past days it rests on, those with something offered.
        today: the day trends are counted from.
        overrides: the maker's own figures, which stand first.
        likenesses: for a product without days, the product it resembles.
    """

    days: tuple[PastDay, ...]
    today: dt.date
    overrides: tuple[Override, ...]
    likenesses: Mapping[str, str]
    fitted: _Fitted | None

    @property
    def dispersion(self) -> float:
        """Variance beyond chance as a share of the squared mean; 0 is Poisson."""
        return self.fitted.dispersion if self.fitted else 0.0

    @cached_property
    def _by_cell(self) -> dict[tuple[str, str], list[PastDay]]:
        cells: dict[tuple[str, str], list[PastDay]] = {}
        for day in self.days:
            cells.setdefault((day.product, day.outlet), []).append(day)
        return cells

    @cached_property
    def _products(self) -> frozenset[str]:
        return frozenset(day.product for day in self.days)

    def past(self, product: str, outlet: str) -> tuple[PastDay, ...]:
        """Return the past days of a product at an outlet, oldest first."""
        return tuple(self._by_cell.get((product, outlet), ()))

    def on(self, product: str, outlet: str, on: dt.date) -> Estimate:
        """Return how many jars may be asked for on a day."""
        past = self.past(product, outlet)
        facts: dict[str, Any] = {
            "product": product,
            "outlet": outlet,
            "on": on,
            "days": len(past),
            "sold_out_days": sum(day.sold_out for day in past),
            "plain_mean": plain_mean(past),
        }
        said = self._said(product, outlet, on)
        if said is not None:
            return Estimate(**facts, basis=Basis.SAID, demand=said.demand())
        if past and all(day.hides_demand for day in past):
            return self._at_least(facts, past)
        like = self._like(product)
        if self.fitted is None or not like:
            return Estimate(**facts, basis=Basis.UNKNOWN, demand=Certain(jars=0))
        if past:
            demand = self._counts(self.fitted, (product, outlet), on)
            return Estimate(**facts, basis=Basis.MEASURED, demand=demand)
        spread = NEWCOMER_SPREAD if like != product else 0.0
        demand = self._counts(self.fitted, (like, outlet), on, extra_spread=spread)
        return Estimate(**facts, basis=Basis.BORROWED, demand=demand, lent_by=like)

    def _said(self, product: str, outlet: str, on: dt.date) -> Override | None:
        """Return the maker's figure, one for this very day before a general one."""
        mine = [o for o in self.overrides if (o.product, o.outlet) == (product, outlet)]
        mine = [o for o in mine if o.on in {None, on}]
        return max(mine, key=lambda o: o.on is not None, default=None)

    def _like(self, product: str) -> str:
        """Return the product whose days speak for this one, or ""."""
        if product in self._products:
            return product
        like = self.likenesses.get(product, "")
        return like if like in self._products else ""

    def _at_least(self, facts: dict[str, Any], past: Sequence[PastDay]) -> Estimate:
        """Return the "at least" answer with what a plan may assume meanwhile."""
        floor = max(day.offered for day in past)
        assumed: Counts | Certain = Certain(jars=floor)
        if self.fitted is not None:
            pooled = self._counts(
                self.fitted, (facts["product"], facts["outlet"]), facts["on"]
            )
            if pooled.mean > floor:
                assumed = pooled
        return Estimate(**facts, basis=Basis.AT_LEAST, demand=assumed, floor=floor)

    def _counts(
        self,
        fitted: _Fitted,
        cell: tuple[str, str],
        on: dt.date,
        *,
        extra_spread: float = 0.0,
    ) -> Counts:
        """Return the forecast distribution of a (product, outlet) on a day."""
        import numpy as np

        row = np.zeros(len(fitted.columns))
        unknown = extra_spread**2
        for kind, whose, strength in _effects(*cell, on, self.today):
            column = fitted.columns.get((kind, whose))
            if column is None:
                unknown += (PRIORS[kind] * strength) ** 2
            else:
                row[column] = strength
        mean = min(math.exp(float(row @ fitted.effects)), 4000.0)
        unknown += float(row @ fitted.covariance @ row)
        wobble = math.expm1(min(unknown, 1.0))
        beyond = fitted.dispersion * (1 + wobble) + wobble
        return Counts(mean=mean, variance=mean + mean * mean * beyond)


def fit(
    days: Iterable[PastDay],
    *,
    today: dt.date,
    overrides: Iterable[Override] = (),
    likenesses: Mapping[str, str] | None = None,
) -> Forecast:
    """Fit the model to the past days of the whole book.

    Args:
        days: every product on every past market day; days on which nothing
            was offered, and days not before ``today``, are left out.
        today: the day of planning.
        overrides: the maker's own figures.
        likenesses: product without days -> product it resembles.

    Returns:
        A forecast. Without one day that shows its demand it knows only the
        maker's figures and "at least".
    """
    told = tuple(
        sorted(
            (day for day in days if day.offered > 0 and day.on < today),
            key=lambda day: (day.on, day.product, day.outlet),
        )
    )
    known = any(not day.hides_demand and day.sold > 0 for day in told)
    return Forecast(
        days=told,
        today=today,
        overrides=tuple(overrides),
        likenesses=dict(likenesses or {}),
        fitted=_fitted(told, today) if known else None,
    )


@lru_cache(maxsize=KEPT_FITS)
def _fitted(days: tuple[PastDay, ...], today: dt.date) -> _Fitted:
    """Return the most probable effects, with a dispersion where it is needed.

    The same days give the same numbers, so those of the last books asked are kept.
    """
    import numpy as np
    from scipy.optimize import minimize_scalar

    from production.planning.likelihood import Book  # noqa: PLC0415  owns scipy

    rows = [list(_effects(d.product, d.outlet, d.on, today)) for d in days]
    keys = sorted({(kind, whose) for row in rows for kind, whose, _ in row})
    columns = {key: n for n, key in enumerate(keys)}
    design = np.zeros((len(days), len(keys)))
    for n, row in enumerate(rows):
        for kind, whose, strength in row:
            design[n, columns[kind, whose]] = strength
    book = Book(
        design=design,
        precision=np.array([PRIORS[kind] ** -2 for kind, _ in keys]),
        counts=np.array([float(day.sold) for day in days]),
        shares=np.array([day.share for day in days]),
        hidden=np.array([day.hides_demand for day in days]),
    )
    effects, loss = book.settle(book.start(columns["base", ""]), 0.0)
    dispersion = 0.0
    if len(days) >= 8:
        best = minimize_scalar(
            _Descent(book, effects),
            bounds=(-5.0, 1.0),
            method="bounded",
            options={"xatol": 0.05, "maxiter": 15},
        )
        if 2 * (loss - float(best.fun)) > DISPERSION_TEST:
            dispersion = math.exp(float(best.x))
            effects, _ = book.settle(effects, dispersion)
    return _Fitted(
        columns=columns,
        effects=effects,
        covariance=book.covariance(effects, dispersion),
        dispersion=dispersion,
    )


class _Descent:
    """The least loss at a dispersion, sought from where the last search ended."""

    def __init__(self, book: "Book", effects: "Vector") -> None:
        self.book, self.effects = book, effects

    def __call__(self, log_dispersion: float) -> float:
        self.effects, loss = self.book.settle(self.effects, math.exp(log_dispersion))
        return loss
