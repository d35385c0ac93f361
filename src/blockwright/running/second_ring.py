"""Is a looser second ring all right here? What the gas says to it, in a machinist's words.

| name here | meaning |
| --- | --- |
| looser | by how much wider the second ring's gap is made; hot or cold, it is the same |
| pressure under the top ring | that of the land between first and second ring, absolute, at its highest |
| off its lower side | the top ring stands up in its groove by more than the roughness of its seat |
| firing turn | compression and power stroke, in which the gas above should hold the top ring down |

A wider second gap lets the land between the rings blow down, which keeps the top ring seated; it also lets more by where the top ring was seated
anyhow. Blow-by of about 0.5 to 1 % of the charge is healthy (from memory), and a top ring that lifts at high load is bad. Only the gas is looked
at: what the maker's sheet, heat and common practice want of a gap is the fits' business.

Not validated on a measured engine: the model is `physics.ring_pack`, whose friction and damping are assumed. So every answer is looked for again
with half and with twice of both, and says so where another comes out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import takewhile

import numpy as np
from numpy.typing import NDArray

from blockwright.engine.rules import Units
from blockwright.physics.guards import Numbers, keep_above
from blockwright.physics.ring_pack import Motion, Pack, PackCycle, Ring, packs_shape, run_pack
from blockwright.quantities import Kind, show

Array = NDArray[np.float64]
HEALTHY_SHARE = 0.005, 0.010
"""Blow-by of a healthy engine, as a share of its charge (from memory)."""
NOTICED_DEG = 2.0
"""Fewer degrees of crank off its lower side are none, and a smaller difference is no difference (our own choice)."""
NOTICED_SHARE = 0.02
"""A smaller change of pressure or blow-by, as a share, is no change (our own choice)."""
DOUBT = 0.5, 2.0
"""Times the assumed friction and damping, each with each, with which an answer is looked for again."""
SAME = 1e-9
"""Share by which two gaps may differ and be the same on a map."""


class Answer(StrEnum):
    """What comes out for a looser gap."""

    ALL_RIGHT = "all right"
    NO_MATTER = "makes no difference"
    TOO_DEAR = "costs more than it buys"
    CANNOT_TELL = "cannot tell"


GOOD = (Answer.ALL_RIGHT, Answer.NO_MATTER)


@dataclass(frozen=True)
class AtGap:
    """What the gas does with a second gap, hot.

    Blow-by as a share of one cylinder's charge and in litres a minute of all cylinders; `share_ends` its least and most, which differ where the pack
    is not `settled`; highest pressure under the top ring, absolute; for how many degrees of crank of a cycle the top ring is off its lower side, and
    for how many of the firing turn. Of a pack that is not settled, all are means over its last cycles.
    """

    gap_m: float
    blow_by_share: float
    share_ends: tuple[float, float]
    blow_by_l_min: float
    land_peak_pa: float
    lifted_deg: float
    lifted_firing_deg: float
    settled: bool

    @property
    def steady(self) -> bool:
        """Whether its cycles are as good as alike."""
        least, most = self.share_ends
        return self.settled or most - least <= NOTICED_SHARE * self.blow_by_share

    @property
    def seated(self) -> bool:
        """Whether the top ring stays on its lower side through compression and power."""
        return self.lifted_firing_deg <= NOTICED_DEG


@dataclass(frozen=True)
class Looser:
    """A looser gap: by how much, what the gas does, and the answer; `firm` whether half and twice the assumed friction and damping give the same
    answer, None where that was not looked for.
    """

    by_m: float
    at: AtGap
    answer: Answer
    firm: bool | None


@dataclass(frozen=True)
class SecondRing:
    """The gap as it is, the looser ones, the verdict in one sentence, and what the model does not know in another."""

    now: AtGap
    looser: tuple[Looser, ...]
    verdict: str
    limits: str


@dataclass(frozen=True)
class GapMap:
    """What `gap_map` gave, and the gaps it was asked for."""

    top_m: Array
    second_m: Array
    cycle: PackCycle

    def places(self, top_m: float, gaps: Array) -> list[tuple[int, ...]]:
        """Where a top gap with each second gap lies on the map."""

        def index(axis: Array, gap: float) -> int:
            found = np.flatnonzero(np.isclose(axis, gap, rtol=SAME, atol=0.0))
            if not found.size:
                raise ValueError(f"second ring: the map has no gap of {gap:g} m.")
            return int(found[0])

        return [(index(self.top_m, top_m), index(self.second_m, gap)) for gap in gaps.tolist()]


def second_ring(
    pack: Pack,
    motion: Motion,
    charge_kg: float,
    looser_m: Numbers | Sequence[float],
    *,
    cylinders: int = 1,
    units: Units = Units.METRIC,
    mapped: GapMap | None = None,
) -> SecondRing:
    """Whether the second ring of a pack may be looser than it is: by one amount, or by each of several.

    Parameters
    ----------
    pack, motion : Pack, Motion
        One pack as it is, hot, and how it is driven, at the load and speed asked about.
    charge_kg : float
        Gas that one cylinder takes in a cycle.
    looser_m : float or sequence of floats
        By how much the second gap is made wider, each above nil.
    cylinders : int
        How many cylinders blow by together, for the litres a minute.
    mapped : GapMap, optional
        A map made of this very pack and motion: its numbers are taken where it has them, and nothing is run again; then no answer is looked for with
        other friction and damping.

    Raises
    ------
    ValueError
        For a pack without a second ring, many packs at once, a gap that is not looser, or one that the map does not have.
    """
    by = np.unique(np.asarray(looser_m, dtype=np.float64))
    _check(pack, motion, charge_kg, by)
    gaps = float(pack.rings[1].gap_m) + np.array([0.0, *by])
    told = _Told(charge_kg, motion.speed_rad_s, cylinders, pack.gas.r_j_kg_k)
    firm: Sequence[bool | None] = [None] * len(by)
    if mapped is None:
        now, *then = told.at_gaps(gaps, _run(pack, motion, gaps))
        firm = _firm(pack, motion, gaps, told, [judged(now, each) for each in then])
    else:
        now, *then = told.at_gaps(gaps, mapped.cycle, mapped.places(float(pack.rings[0].gap_m), gaps))
    looser = tuple(
        Looser(step, at, judged(now, at), sure) for step, at, sure in zip(by.tolist(), then, firm, strict=True)
    )
    return SecondRing(now, looser, Words(units, now, cylinders).verdict(looser), _limits(pack.rings))


def judged(now: AtGap, then: AtGap) -> Answer:
    """What a looser gap is worth.

    Blow-by over what is healthy, or a top ring that lifts for longer in the firing turn, costs too much; so does more blow-by that buys
    neither less pressure under the top ring nor less lift. A flutter leaves the answer open, unless even its least blow-by is too much.
    """
    grown = then.blow_by_share > now.blow_by_share * (1.0 + NOTICED_SHARE)
    if not (now.steady and then.steady):
        least_is_dear = then.share_ends[0] > max(HEALTHY_SHARE[1], now.share_ends[1])
        return Answer.TOO_DEAR if least_is_dear else Answer.CANNOT_TELL
    if grown and then.blow_by_share > HEALTHY_SHARE[1]:
        return Answer.TOO_DEAR
    if not then.seated and then.lifted_firing_deg > now.lifted_firing_deg + NOTICED_DEG:
        return Answer.TOO_DEAR
    eased = then.land_peak_pa < now.land_peak_pa * (1.0 - NOTICED_SHARE)
    if eased or then.lifted_firing_deg < now.lifted_firing_deg - NOTICED_DEG:
        return Answer.ALL_RIGHT
    return Answer.TOO_DEAR if grown else Answer.NO_MATTER


def _check(pack: Pack, motion: Motion, charge_kg: float, by: Array) -> None:
    keep_above("charge of a cylinder", charge_kg, 0.0, "kg")
    if not by.size:
        raise ValueError("second ring: say by how much it is to be looser.")
    keep_above("how much looser the second ring is", by, 0.0, "m")
    if len(pack.rings) < 2:
        raise ValueError("second ring: this pack has only one ring that seals gas.")
    if packs_shape(pack, motion):
        raise ValueError("second ring: ask about one pack at a time.")


def _run(pack: Pack, motion: Motion, gaps: Array, friction: Numbers = 1.0, damping: Numbers = 1.0) -> PackCycle:
    """The pack at second gaps, with so many times its friction and damping."""
    rings = [
        replace(ring, friction_n=ring.friction_n * friction, damping_n_s_m=ring.damping_n_s_m * damping)
        for ring in pack.rings
    ]
    rings[1] = replace(rings[1], gap_m=gaps)
    return run_pack(replace(pack, rings=tuple(rings)), motion)


@dataclass(frozen=True)
class _Told:
    """What a cycle's masses are shares of, and how many of them go together."""

    charge_kg: float
    speed_rad_s: float
    cylinders: int
    r_j_kg_k: float

    def at_gaps(self, gaps: Array, cycle: PackCycle, places: Sequence[tuple[int, ...]] = ()) -> list[AtGap]:
        """What a cycle came to at each gap; `places` says where each lies in the packs' shape, if not one after another."""
        share = cycle.blow_by_share(self.charge_kg)
        ends = cycle.blow_by_ends_kg / self.charge_kg
        volume = cycle.blow_by_l_min(self.speed_rad_s, self.cylinders, self.r_j_kg_k)
        lifted, firing = (np.degrees(each[0]).round(6) for each in (cycle.lifted_rad, cycle.lifted_firing_rad))
        return [
            AtGap(
                gap, float(share[at]), (float(ends[0][at]), float(ends[1][at])), float(volume[at]),
                float(cycle.peak_pa[0][at]), float(lifted[at]), float(firing[at]), bool(cycle.settled[at]),
            )
            for gap, at in zip(gaps.tolist(), places or [(n,) for n in range(len(gaps))], strict=True)
        ]  # fmt: skip


def _firm(pack: Pack, motion: Motion, gaps: Array, told: _Told, answers: Sequence[Answer]) -> list[bool | None]:
    """Whether each answer is the same at every corner of the doubt about friction and damping."""
    friction, damping = (each.reshape(-1, 1) for each in np.meshgrid(DOUBT, DOUBT))
    found = _run(pack, motion, gaps, friction, damping)
    corners = [told.at_gaps(gaps, found, [(corner, n) for n in range(len(gaps))]) for corner in range(len(friction))]
    return [all(judged(now, then[n]) is answer for now, *then in corners) for n, answer in enumerate(answers)]


@dataclass(frozen=True)
class Words:
    """What is said to somebody who thinks in these units, with the gap as it is now."""

    units: Units
    now: AtGap
    cylinders: int

    def verdict(self, looser: Sequence[Looser]) -> str:
        """One sentence: for one gap its own; for several, up to which it is all right, or else which is, or why none."""
        first = looser[0]
        good = [each for each in looser if each.answer in GOOD]
        up_to = list(takewhile(lambda each: each.answer in GOOD, looser))
        if len(looser) > 1 and up_to:
            return self.sentence(up_to[-1], f"A second ring looser by up to {self.length(up_to[-1].by_m)}")
        if len(looser) > 1 and all(each.answer is Answer.TOO_DEAR for each in looser):
            only = self.length(first.by_m)
            return self.sentence(first, f"None of these gaps is all right: a second ring looser by only {only}")
        open_yet = [each for each in looser if each.answer is Answer.CANNOT_TELL]
        meant = (good or open_yet or [first])[0]
        return self.sentence(meant, f"A second ring looser by {self.length(meant.by_m)}")

    def sentence(self, looser: Looser, opening: str) -> str:
        """What a looser gap is worth, and why."""
        if looser.answer is Answer.CANNOT_TELL:
            return f"{opening}: cannot tell, since {self.flutter(looser.at)}."
        said = {
            Answer.ALL_RIGHT: "is all right here",
            Answer.NO_MATTER: "makes no difference here",
            Answer.TOO_DEAR: "costs more than it buys here",
        }[looser.answer]
        doubt = "" if looser.firm in (True, None) else DOUBTED
        then = looser.at
        return f"{opening} {said}: {self.pressure(then)}, {self.seat(then)}, and {self.blow_by(then)}{doubt}."

    def length(self, length_m: float) -> str:
        """A gap's difference."""
        return show(length_m, Kind.LENGTH, "mm" if self.units is Units.METRIC else "thou", u=3e-5)

    def pressure(self, then: AtGap) -> str:
        """What becomes of the pressure under the top ring."""
        unit = "bar" if self.units is Units.METRIC else "psi"
        old, new = (
            show(each.land_peak_pa, Kind.PRESSURE, f"{unit} a", u=3e4, with_unit=False) for each in (self.now, then)
        )
        if old == new:
            return f"the highest pressure under the top ring stays at {new} {unit} absolute"
        moves = "falls" if then.land_peak_pa < self.now.land_peak_pa else "rises"
        return f"the highest pressure under the top ring {moves} from {old} to {new} {unit} absolute"

    def seat(self, then: AtGap) -> str:
        """Whether the top ring stays on its lower side while gas should press it there."""
        old, new = (f"{each.lifted_firing_deg:.0f}°" for each in (self.now, then))
        if then.seated and self.now.seated:
            return "the top ring stays on its lower side through compression and power"
        if then.seated:
            return f"the top ring, which lifts for {old} of compression and power as it is, stays on its lower side"
        before = f"instead of {old} " if not self.now.seated else ""
        return f"the top ring lifts for {new} of compression and power {before}(bad at high load, it should stay down)"

    def blow_by(self, then: AtGap) -> str:
        """What becomes of the blow-by, and whether that is healthy."""
        shares = f"from {100 * self.now.blow_by_share:.2f} to {100 * then.blow_by_share:.2f} % of the charge"
        together = f" from {self.cylinders} cylinders" if self.cylinders > 1 else ""
        litres = f"{self.now.blow_by_l_min:.1f} to {then.blow_by_l_min:.1f} l/min{together}"
        low, high = (100 * each for each in HEALTHY_SHARE)
        over = then.blow_by_share > HEALTHY_SHARE[1]
        healthy = f"{'over' if over else 'not over'} the {low:g} to {high:g} % or so that is healthy, from memory"
        return f"blow-by goes {shares} ({litres}), {healthy}"

    def flutter(self, then: AtGap) -> str:
        """Why nothing firm can be said."""
        which, at = ("as it is", self.now) if not self.now.steady else ("so loose", then)
        least, most = (100 * each for each in at.share_ends)
        return (
            f"with the gap {which} the rings flutter and no two cycles are alike: blow-by is {100 * at.blow_by_share:.2f} % of the charge on "
            f"average, but anything from {least:.2f} to {most:.2f} %"
        )


DOUBTED = "; with half or twice the friction and damping that are assumed, another answer comes out"


def _limits(rings: Sequence[Ring]) -> str:
    """What the model does not know, in one sentence."""
    friction, damping = (
        " and ".join(dict.fromkeys(f"{float(value):g}" for value in values))
        for values in ([ring.friction_n for ring in rings[:2]], [ring.damping_n_s_m for ring in rings[:2]])
    )
    return (
        f"The rings' friction on the bore ({friction} N) and what the oil in their grooves damps ({damping} N s/m) are assumed, never measured, and "
        "a ring near balance hangs on them; twisting rings, leaking faces and oil that seals are left out."
    )
