"""What to take now: the most units that keep the risk of passing the upper limit and do not pass the aim; or why to stop, and what would help.

alpha is the risk of each finished ring. It is spent over its passes: pass k may leave at most alpha / 2^k of chance that the gap lies past the
limit. Since metal cannot be put back, a ring ends past its limit only if some pass took it there; the shares add up to less than alpha
(Boole's inequality), whatever is read in between.

The order of the reasons: proven inside; proven past the upper limit; more could only worsen it; take this much; the aim is
too near for the smallest step; the risk is too great for the smallest step.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from blockwright.choices.filing.belief import Belief, RingRecord
from blockwright.choices.filing.model import USUAL_RISK, Advice, Help, Reading, Reason, Risk, Unit, Window
from blockwright.choices.filing.nodes import Array
from blockwright.choices.filing.view import RingView

MAX_REPEATS = 32
"""More repeats than this no one takes."""
MOST_STEPS = 1_000_000
GAUGE_STEP_M = 1e-7
"""A gauge is named by its uncertainty in tenths of a µm."""

REASONS = (Reason.CONFORMS, Reason.TOO_WIDE, Reason.WORSENS, Reason.FILE, Reason.AIM, Reason.RISK)
"""In the order in which they are asked; `Decision.reason` counts along it."""
_DONE = (Reason.CONFORMS, Reason.TOO_WIDE)


@dataclass(frozen=True)
class Decision:
    """For any number of rings side by side: units to take, and the reason (an index into `REASONS`)."""

    units: Array
    reason: NDArray[np.intp]

    @property
    def why(self) -> Reason:
        """The reason, where there is but one ring."""
        return REASONS[int(self.reason)]


def advise(belief: Belief, ring: str, window: Window, unit: Unit, risk: Risk = USUAL_RISK) -> Advice:
    """What to do with a ring now.

    Raises ValueError for a ring that nobody has looked at.

    Notes: with no upper limit, aim + margin stands for it in the risk, not in the proof. What would help is found by asking again with the
    further readings, supposing that they say what is expected now.
    """
    record, view = belief.record(ring), belief.ring(ring)
    view = view.at_nodes(view.heavy)
    number = record.passes + 1
    share = risk.share(number)
    decision = decide(view, window, unit, share, risk.level)
    reason = decision.why if record.read else Reason.READ_FIRST
    units = float(decision.units) if reason is Reason.FILE else 0.0
    stalled = reason not in (*_DONE, Reason.FILE, Reason.READ_FIRST)
    return Advice(
        units=units,
        reason=reason,
        pass_number=number,
        share=share,
        gap_now_m=float(view.gap_m),
        u_now_m=float(view.u_gap_m),
        expected_gap_m=float(view.gap_after(units)),
        p_over=float(view.above(window.upper_m, units)),
        p_inside_now=float(view.inside(window)),
        p_inside_after=float(view.inside(window, units)),
        help=_help(view, record, window, unit, share, risk.level) if stalled else None,
    )


def decide(
    view: RingView, window: Window, unit: Unit, share: float | Array, level: float, most: float = MOST_STEPS
) -> Decision:
    """The decision for every ring of a view (scalars for one ring); `share` is what this pass of each may risk, `most` the most steps asked for."""
    step = unit.smallest
    by_aim = np.minimum(_steps_to_aim(view, window, step), most)
    steps = _steps_at_risk(view, window.upper_m, share, by_aim, step)
    now = view.inside(window)
    worsens = view.inside(window, step) < now
    too_wide = np.zeros_like(now) if window.high_m is None else view.above(window.high_m)
    asked = [now >= level, too_wide >= level, worsens, steps > 0, by_aim < 1, np.ones_like(worsens)]
    reason = np.argmax(np.stack(asked), axis=0)
    return Decision(np.where(reason == REASONS.index(Reason.FILE), steps * step, 0.0), reason)


def _steps_to_aim(view: RingView, window: Window, step: float) -> Array:
    """Most steps that keep the expected gap at or under the aim."""
    steps = np.floor((window.aim_m - view.gap_m) / (view.rate_m * step))
    return np.maximum(steps, 0.0)


def _steps_at_risk(view: RingView, upper_m: float, share: float | Array, most: Array, step: float) -> Array:
    """Most steps, up to `most`, whose risk of passing the upper limit is within the share: by halving."""
    low, high = np.zeros_like(most), most
    while np.any(low < high):
        middle = np.ceil(0.5 * (low + high))
        kept = view.above(upper_m, middle * step) <= share
        low, high = np.where(kept, middle, low), np.where(kept, high, np.maximum(middle - 1.0, low))
    return low


def _help(view: RingView, record: RingRecord, window: Window, unit: Unit, share: float, level: float) -> Help:
    def goes_on(later: RingView) -> bool:
        return decide(later, window, unit, share, level, most=1).why in (Reason.CONFORMS, Reason.FILE)

    last, repeats, u_now_m = record.last, None, float(view.u_gap_m)
    if isinstance(last, Reading):
        repeats = _least(MAX_REPEATS, lambda number: goes_on(_read_again(view, last, number)))
        u_now_m = math.hypot(last.u_own_m, last.u_shared_m)
    coarsest = max(1, int(u_now_m / GAUGE_STEP_M))
    finer = _least(coarsest, lambda finer: goes_on(_read_with(view, (coarsest + 1 - finer) * GAUGE_STEP_M)))
    return Help(repeats, None if finer is None else (coarsest + 1 - finer) * GAUGE_STEP_M)


def _read_again(view: RingView, last: Reading, number: int) -> RingView:
    """After so many more readings like the last, which say on average what is expected of them now."""
    nodes = view.nodes
    shown, _, _ = nodes.shown(nodes.row((last.gauge, last.u_shared_m)))
    expected = float(shown @ view.weight)
    own = last.u_own_m / math.sqrt(number)
    return RingView(nodes.seen_at(expected, own, last.u_shared_m, last.gauge), view.log_others)


def _read_with(view: RingView, u_m: float) -> RingView:
    """After one reading by another gauge with this standard uncertainty, which says what is expected now."""
    return RingView(view.nodes.seen_at(float(view.gap_m), u_m), view.log_others)


def _least(most: int, does: Callable[[int], bool]) -> int | None:
    """Smallest number up to `most` that does, if more always does where less did; None where `most` does not."""
    if not does(most):
        return None
    low, high = 0, most
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if does(middle) else (middle, high)
    return high
