"""What a fit is: one declaration that tables, pages, sheets and the docs are all made from."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from blockwright.engine.job import Job
from blockwright.engine.layout import Engine
from blockwright.engine.positions import Place, Position
from blockwright.engine.rules import Side
from blockwright.fits.limits import Offer
from blockwright.fits.remedies import Remedy
from blockwright.fits.sizes import Sizes
from blockwright.fits.words import Scale
from blockwright.metrology.estimate import Estimate
from blockwright.metrology.evaluate import Size
from blockwright.quantities import Kind


@dataclass(frozen=True)
class Need:
    """Readings that a fit rests on, and the state in which they must be taken (given the engine)."""

    feature: str
    state: Callable[[Engine], frozenset[str]] = lambda engine: frozenset()
    optional: bool = False


@dataclass(frozen=True)
class Found:
    """A fit's value with what it came from: the sizes by role, what governs, and notes in plain words.

    `also` holds other places of the same fit where each side has a place of its own (a press is loosest at one end, tightest at
    the other): the place that is least likely inside the limits is the one that is judged.
    """

    estimate: Estimate
    sizes: tuple[tuple[str, Size], ...]
    governs: str = ""
    notes: tuple[str, ...] = ()
    also: tuple[Found, ...] = ()


WorkOut = Callable[[Sizes, Position], Found]


@dataclass(frozen=True)
class Fit:
    """One fit of the trade.

    `work_out` gives its value from the sizes on the table, raising `Lacking` where readings are missing. `practice` offers what
    common practice says for this engine and duty. `remedy` says what would put it right, given the value and its limits.
    `spared`: positions where there is nothing to judge.
    `on_request`: open only where something of it was read or limited. `size` is the bore or journal that limits per size refer to.
    """

    name: str
    place: Place
    group: str
    what: str
    formula: str
    governing: str
    needs: tuple[Need, ...]
    work_out: WorkOut
    when_low: str
    when_high: str
    remedy: Remedy
    practice: Callable[[Job, Position], Offer | None] = lambda job, position: None
    size: Callable[[Engine], float | None] = lambda engine: None
    hard: Side = Side.LOW
    kind: Kind = Kind.LENGTH
    scale: Scale = Scale.CLEARANCE
    signed: bool = False
    on_request: bool = False
    applies: Callable[[Engine], bool] = field(default=lambda engine: True)
    spared: Callable[[Engine, Position], bool] = lambda engine, position: False

    def positions(self, engine: Engine) -> tuple[Position, ...]:
        """Where an engine has this fit; none where it does not apply."""
        if not self.applies(engine):
            return ()
        return tuple(position for position in engine.positions(self.place) if not self.spared(engine, position))
