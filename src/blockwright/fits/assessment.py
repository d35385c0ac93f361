"""What `assess` says of a job: every fit with its value, limits and verdict, and everything that was noticed on the way."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from blockwright.engine.job import Job
from blockwright.engine.parts import WorkOrder
from blockwright.engine.positions import Position
from blockwright.engine.rules import Accepted, Authority, Record
from blockwright.fits.fit import Fit, Found
from blockwright.fits.limits import Bound, Limits
from blockwright.fits.sizes import Missing
from blockwright.metrology.deciding import Decider
from blockwright.metrology.estimate import Estimate
from blockwright.metrology.verdict import Chances


class Standing(StrEnum):
    """Where a fit stands. `OPEN`: readings are missing. `UNLIMITED`: read, but nobody gives a limit."""

    CONFORMS = "conforms"
    UNDECIDED = "undecided"
    NONCONFORMING = "nonconforming"
    UNLIMITED = "no limit given"
    OPEN = "open"


WEAK_GROUND = {Authority.PRACTICE: "common practice", Authority.COMPUTED: "computed bound"}
"""Authorities on whose word alone nothing conforms in the standard's sense."""


@dataclass(frozen=True)
class FitResult:
    """One fit at one position."""

    fit: Fit
    position: Position
    limits: Limits
    standing: Standing
    found: Found | None = None
    missing: tuple[Missing, ...] = ()
    chances: Chances | None = None
    decider: Decider | None = None
    remedy: str = ""
    record: Record | None = None
    notes: tuple[str, ...] = ()
    beware: tuple[str, ...] = ()

    @property
    def mend(self) -> str:
        """The remedy with what to know before it is done."""
        return "; ".join((self.remedy, *self.beware)) if self.remedy else ""

    @property
    def estimate(self) -> Estimate:
        """The value with its uncertainty; only where the fit is not open."""
        assert self.found is not None
        return self.found.estimate

    @property
    def doubtful_bound(self) -> Bound | None:
        """The limit that the fit has passed, or may have passed."""
        if self.chances is None or self.standing not in (Standing.NONCONFORMING, Standing.UNDECIDED):
            return None
        if self.limits.high is None or (self.limits.low is not None and self.chances.below >= self.chances.above):
            return self.limits.low
        return self.limits.high

    @property
    def side(self) -> str:
        """`"low"` or `"high"`: the side of `doubtful_bound`; nothing where there is no doubt."""
        bound = self.doubtful_bound
        if bound is None:
            return ""
        return "low" if bound is self.limits.low else "high"

    @property
    def hard(self) -> bool:
        """Whether the side in question does harm."""
        bound = self.doubtful_bound
        return bound is not None and bound.hard

    @property
    def out(self) -> bool:
        """Nonconforming and not under a concession."""
        return self.standing is Standing.NONCONFORMING and self.record is None

    @property
    def words(self) -> str:
        """The standing as it is said everywhere: plainer where only practice or a computation speaks, or by what was signed for it."""
        if self.record is not None:
            return "out, under concession" if self.record.event is Accepted.CONCESSION else "accepted on judgement"
        said = str(self.standing)
        if self.standing is Standing.CONFORMS:
            said = next((f"inside {ground}" for weak, ground in WEAK_GROUND.items() if weak in self.rests_on), said)
        elif self.standing is Standing.NONCONFORMING and self.doubtful_bound is not None:
            authority = self.doubtful_bound.authority
            said = f"outside {WEAK_GROUND[authority]}" if authority in WEAK_GROUND else said
        return said

    @property
    def rests_on(self) -> tuple[Authority, ...]:
        """Whose limits matter: those of the sides that do harm, or all where no side does."""
        bounds = [bound for bound in (self.limits.low, self.limits.high) if bound]
        deciding = [bound for bound in bounds if bound.hard] or bounds
        return tuple(dict.fromkeys(bound.authority for bound in deciding))


@dataclass(frozen=True)
class OrderResult:
    """Work ordered from the machine shop against what came back, at one position."""

    order: WorkOrder
    at: str
    standing: Standing
    spot: str = ""
    estimate: Estimate | None = None
    missing: tuple[Missing, ...] = ()


@dataclass(frozen=True)
class Flag:
    """Something about readings or gauges that a builder should know, in words; `readings` are the rows it speaks of.

    Flags of one kind may be told as one: `several` says it of all their `{things}`, of which `thing` is this one.
    """

    code: str
    text: str
    mend: str
    readings: tuple[str, ...] = ()
    thing: str = ""
    several: str = ""


@dataclass(frozen=True)
class Assessment:
    """The whole judgement of a job."""

    job: Job
    results: tuple[FitResult, ...]
    orders: tuple[OrderResult, ...]
    flags: tuple[Flag, ...]

    def count(self, standing: Standing) -> int:
        """How many fits stand so."""
        return sum(result.standing is standing for result in self.results)

    @property
    def out(self) -> tuple[FitResult, ...]:
        """Fits that are out and not under a concession."""
        return tuple(result for result in self.results if result.out)

    @property
    def unsettled(self) -> tuple[FitResult, ...]:
        """Open fits, and undecided ones that nobody accepted."""
        return tuple(
            result
            for result in self.results
            if result.standing is Standing.OPEN or (result.standing is Standing.UNDECIDED and result.record is None)
        )
