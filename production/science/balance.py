"""The soluble-solids balance: what goes into the pot and what comes out.

Cooking takes water away; sugar and the sugars of the fruit stay. The finished mass
is the soluble solids divided by their share at the finishing point, plus what never
dissolves. Where pectin is added and the boil lasts a minute, hardly any water
leaves, and the pot itself is the finished mass less a little.

Leaves out: sugar taken up by evaporation of volatile acids, inversion (which adds
5 % of the inverted sugar's mass as bound water, about 1 % of the jam).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from inventory.quantity_format import format_mass
from inventory.sourced import Kind, Sourced, Status
from inventory.words import say
from production.science.span import Span, total
from production.science.working import ScienceError, Working, plain

__all__ = [
    "BOIL_OFF_MOST",
    "DEFAULT_BOIL_OFF",
    "DEFAULT_LOSS",
    "Balance",
    "BalanceError",
    "Finish",
    "FinishKind",
    "PotLine",
    "Role",
    "TargetTooLowError",
    "balance",
]

BALANCE = "soluble-solids balance (FAO Agricultural Services Bulletin 119, section 8.6)"

DEFAULT_BOIL_OFF = Span(
    low=Decimal("0.02"), likely=Decimal("0.04"), high=Decimal("0.06")
)
"""Share of the pot driven off on the way to a full rolling boil and in its one minute
(common practice: 2 to 4 % in a quick pot, more in a slow one)."""
DEFAULT_LOSS = Span(low=Decimal("0.01"), likely=Decimal("0.03"), high=Decimal("0.05"))
"""Share left on pot, spoon, skimmer and cold plate (common practice)."""
BOIL_OFF_MOST = Sourced(
    value=Decimal("0.9"),
    unit="1",
    kind=Kind.CONVENTION,
    source="common practice",
    section="a pot boiled down further than this has burnt",
    status=Status.MEMORY,
)


class Role(StrEnum):
    """What an ingredient does in the pot."""

    FRUIT = "fruit"
    VEGETABLE = "vegetable"
    SWEETENER = "sweetener"
    PECTIN = "pectin"
    ACID = "acid"
    WATER = "water"
    OTHER = "other"


class FinishKind(StrEnum):
    """How the cook knows that it is done."""

    SOLIDS = "solids"
    ABOVE_BOILING = "above_boiling"
    TIME = "time"
    NONE = "none"

    @property
    def has_target(self) -> bool:
        """Cooked until a share of soluble solids is reached."""
        return self in {FinishKind.SOLIDS, FinishKind.ABOVE_BOILING}


class BalanceError(ScienceError):
    """A pot that cannot be balanced."""


class TargetTooLowError(BalanceError):
    """The mix is already more concentrated than the finish asked for."""

    def __init__(self, target: Decimal, mix: Decimal) -> None:
        self.target = target
        self.mix = mix
        super().__init__(
            say(
                "the mix already holds {mix} % soluble solids and the finish asks "
                "for {target} %: cooking only drives water off, so ask for more "
                "than {mix} %, or use less sugar or more fruit",
                mix=plain(mix * 100),
                target=plain(target * 100),
            )
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PotLine:
    """One ingredient as it goes into the pot.

    Attributes:
        name: the material.
        grams: edible mass, g.
        solids: soluble solids of its juice or of itself, fraction of one.
        insoluble: share of it that never dissolves (fibre, seeds, nuts).
        role: what it does in the pot.
        missing: what is not known about it, one phrase each.
    """

    name: str
    grams: Span
    solids: Span
    insoluble: Decimal = Decimal(0)
    role: Role = Role.OTHER
    missing: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.grams.low < 0:
            raise BalanceError(
                say(
                    "{low} g of {name} is less than nothing; enter 0 g or more",
                    low=plain(self.grams.low),
                    name=self.name,
                )
            )
        if not (self.solids.low >= 0 and self.solids.high <= 1):
            raise BalanceError(
                say(
                    "soluble solids of {name} of {low} to {high} % are impossible; "
                    "enter 0 to 100 %",
                    name=self.name,
                    low=plain(self.solids.low * 100),
                    high=plain(self.solids.high * 100),
                )
            )
        if not 0 <= self.insoluble <= 1:
            raise BalanceError(
                say(
                    "an insoluble share of {insoluble} % of {name} is impossible; "
                    "enter 0 to 100 %",
                    insoluble=plain(self.insoluble * 100),
                    name=self.name,
                )
            )

    @property
    def soluble_g(self) -> Span:
        """Grams of soluble solids that it brings."""
        return self.grams.times(self.solids).scaled(1 - self.insoluble)

    @property
    def insoluble_g(self) -> Span:
        """Grams of it that never dissolve."""
        return self.grams.scaled(self.insoluble)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """Where the cooking stops.

    Attributes:
        kind: how the cook knows.
        solids: soluble solids then, fraction; needed where the kind has a target.
        boil_off: share of the pot that a boil of a set time drives off.
        strict: the target is the maker's own, so a mix beyond it is refused; a
            target that was only assumed gives way, with a note.
    """

    kind: FinishKind
    solids: Span | None = None
    boil_off: Span = DEFAULT_BOIL_OFF
    strict: bool = True

    def __post_init__(self) -> None:
        if self.kind.has_target and self.solids is None:
            raise BalanceError(
                say("a finish by soluble solids needs the soluble solids")
            )
        if self.solids and not (self.solids.low > 0 and self.solids.high <= 1):
            raise BalanceError(
                say(
                    "a finish at {likely} % soluble solids is impossible; enter more "
                    "than 0 and at most 100 %",
                    likely=plain(self.solids.likely * 100),
                )
            )
        if not (self.boil_off.low >= 0 and self.boil_off.high <= BOIL_OFF_MOST.value):
            raise BalanceError(
                say(
                    "boiling off {likely} % of the pot is impossible; enter 0 to "
                    "{boil_off_most} %",
                    likely=plain(self.boil_off.likely * 100),
                    boil_off_most=plain(BOIL_OFF_MOST.value * 100),
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """What comes out of the pot. ``pot_g = finished_g + boiled_off_g + lost_g`` (likely).

    Attributes:
        lines: the ingredients, as given.
        finish: the finish reached; an assumed one gives way to the mix.
        pot_g: everything in the pot, g.
        soluble_g: soluble solids in the pot, g.
        insoluble_g: what never dissolves, g.
        mix_solids: soluble solids of the mix before cooking, fraction of what dissolves.
        finished_g: product ready to fill, g, estimated.
        boiled_off_g: water driven off, likely, g.
        lost_g: left on pot and skimmer, likely, g.
        finished_solids: soluble solids of the product, fraction.
        fruit_g: fruit in the pot, likely, g.
        sweetener_solids_g: solids of all sweeteners, likely, g.
        missing: what is not known, one phrase each.
        notes: what the maker should know about this sum.
        workings: the sums.
    """

    lines: tuple[PotLine, ...]
    finish: Finish
    pot_g: Span
    soluble_g: Span
    insoluble_g: Span
    mix_solids: Decimal
    finished_g: Span
    boiled_off_g: Decimal
    lost_g: Decimal
    finished_solids: Span
    fruit_g: Decimal
    sweetener_solids_g: Decimal
    missing: tuple[str, ...]
    notes: tuple[str, ...]
    workings: tuple[Working, ...]

    @property
    def fruit_share(self) -> Decimal:
        """Fruit used per gram of finished product (may exceed one)."""
        return self.fruit_g / self.finished_g.likely


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pot:
    """The sums over the ingredients."""

    grams: Span
    soluble: Span
    insoluble: Span

    @property
    def dissolving(self) -> Span:
        """Mass without what never dissolves; ends taken likely-safe."""
        return Span(
            low=self.grams.low - self.insoluble.low,
            likely=self.grams.likely - self.insoluble.likely,
            high=self.grams.high - self.insoluble.high,
        )

    @property
    def mix_solids(self) -> Decimal:
        return self.soluble.likely / self.dissolving.likely


def balance(
    lines: Sequence[PotLine], finish: Finish, *, loss: Span = DEFAULT_LOSS
) -> Balance:
    """Balance a pot.

    Args:
        lines: the ingredients, in recipe order (the order changes nothing).
        finish: where the cooking stops.
        loss: share of the finished product left on pot and spoon.

    Returns:
        Finished mass with its range, and every term behind it.

    Raises:
        BalanceError: the pot is empty.
        TargetTooLowError: the maker's own finish lies below the mix.

    Source: FAO Agricultural Services Bulletin 119, section 8.6 (M = S / B).
    """
    pot = _Pot(
        grams=total(line.grams for line in lines),
        soluble=total(line.soluble_g for line in lines),
        insoluble=total(line.insoluble_g for line in lines),
    )
    if pot.dissolving.low <= 0:
        raise BalanceError(
            say("the pot is empty: enter at least one ingredient that is weighed")
        )
    reached, notes = _reachable(pot, finish)
    cooked = _cooked(pot, reached)
    kept = Span(low=1 - loss.high, likely=1 - loss.likely, high=1 - loss.low)
    finished = cooked.times(kept)
    return Balance(
        lines=tuple(lines),
        finish=reached,
        pot_g=pot.grams.rounded("0.1"),
        soluble_g=pot.soluble.rounded("0.1"),
        insoluble_g=pot.insoluble.rounded("0.1"),
        mix_solids=pot.mix_solids,
        finished_g=finished,
        boiled_off_g=pot.grams.likely - cooked.likely,
        lost_g=cooked.likely - finished.likely,
        finished_solids=_finished_solids(pot, cooked, reached),
        fruit_g=_sum(lines, Role.FRUIT),
        sweetener_solids_g=sum(
            (line.soluble_g.likely for line in lines if line.role is Role.SWEETENER),
            Decimal(0),
        ),
        missing=tuple(phrase for line in lines for phrase in line.missing),
        notes=notes,
        workings=_workings(pot, cooked, reached, loss),
    )


def _sum(lines: Sequence[PotLine], role: Role) -> Decimal:
    return sum((line.grams.likely for line in lines if line.role is role), Decimal(0))


def _reachable(pot: _Pot, finish: Finish) -> tuple[Finish, tuple[str, ...]]:
    """The finish this mix can reach by cooking: the asked one, or one that gives way."""
    target = finish.solids if finish.kind.has_target else None
    if target is None or pot.mix_solids <= target.likely:
        return finish, ()
    if finish.strict:
        raise TargetTooLowError(target.likely, pot.mix_solids)
    mix, usual = (plain(each * 100) for each in (pot.mix_solids, target.likely))
    note = say(
        "the mix already holds {mix} % soluble solids, more than the usual {usual} %",
        mix=mix,
        usual=usual,
    )
    if pot.mix_solids < target.high:
        thicker = Span.exactly(target.high)
        return Finish(kind=FinishKind.SOLIDS, solids=thicker, strict=False), (note,)
    short = Finish(kind=FinishKind.TIME, boil_off=finish.boil_off, strict=False)
    return short, (say("{note}: taken as a short boil", note=note),)


def _cooked(pot: _Pot, finish: Finish) -> Span:
    """Mass in the pot when the cooking stops."""
    if finish.kind is FinishKind.NONE:
        return pot.grams
    if finish.kind.has_target and finish.solids:
        return _boiled_down(pot, finish.solids)
    return _boiled_for_a_time(pot, finish.boil_off)


def _boiled_for_a_time(pot: _Pot, boil_off: Span) -> Span:
    water_left = Span(
        low=1 - boil_off.high, likely=1 - boil_off.likely, high=1 - boil_off.low
    )
    return pot.grams.times(water_left)


def _boiled_down(pot: _Pot, target: Span) -> Span:
    """M = S / B + insolubles, never more than went in."""
    likely = pot.soluble.likely / target.likely + pot.insoluble.likely
    low = pot.soluble.low / target.high + pot.insoluble.low
    high = pot.soluble.high / target.low + pot.insoluble.high
    return Span(
        low=min(low, likely), likely=likely, high=max(likely, min(high, pot.grams.high))
    )


def _finished_solids(pot: _Pot, cooked: Span, finish: Finish) -> Span:
    """Soluble solids by refractometer, of the part that dissolves."""
    if finish.kind.has_target and finish.solids:
        return finish.solids
    soluble, insoluble = pot.soluble, pot.insoluble
    likely = soluble.likely / (cooked.likely - insoluble.likely)
    low = soluble.low / (cooked.high - insoluble.low)
    high = soluble.high / max(cooked.low - insoluble.high, soluble.high)
    return Span(low=min(low, likely), likely=likely, high=max(high, likely))


def _workings(
    pot: _Pot, cooked: Span, finish: Finish, loss: Span
) -> tuple[Working, ...]:
    if finish.kind.has_target and finish.solids:
        formula = say(
            "{soluble} of soluble solids at {solids} %, plus {insoluble} "
            "that does not dissolve",
            soluble=format_mass(pot.soluble.likely),
            solids=plain(finish.solids.likely * 100),
            insoluble=format_mass(pot.insoluble.likely),
        )
    elif finish.kind is FinishKind.NONE:
        formula = say("not cooked down: everything in the pot")
    else:
        formula = say(
            "{pot} in the pot less {boiled_off} % boiled off",
            pot=format_mass(pot.grams.likely),
            boiled_off=plain(finish.boil_off.likely * 100),
        )
    return (
        Working(
            figure=say("in the pot before cooking"),
            value=format_mass(pot.grams.likely),
            formula=(
                say(
                    "the ingredients added up; {likely} of them soluble solids "
                    "({mix_solids} %)",
                    likely=format_mass(pot.soluble.likely),
                    mix_solids=plain(pot.mix_solids * 100),
                )
            ),
            source=BALANCE,
        ),
        Working(
            figure=say("in the pot when done"),
            value=cooked.weight_text,
            formula=formula,
            source=BALANCE,
            estimate=True,
        ),
        Working(
            figure=say("left on pot, spoon and skimmer"),
            value=format_mass(cooked.likely * loss.likely),
            formula=say("{loss} % of it", loss=loss.scaled(Decimal(100)).text()),
            source=say("common practice; this kitchen's own jars replace it"),
            estimate=True,
        ),
    )
