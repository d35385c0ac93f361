"""The sizes on the table: every spot of every part that has been read, at 20 °C, worked out once.

A fit asks for a part's feature in the state it needs; readings in another state do not serve it. What is missing is said as
`Lacking`, never guessed.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from functools import cached_property
from typing import TypeVar, cast

from blockwright.engine.features import FEATURES, Feature
from blockwright.engine.job import ENGINE_MARK, Job
from blockwright.engine.parts import Part, PartKind
from blockwright.engine.positions import Position, position
from blockwright.engine.states import contradicts, show_state
from blockwright.materials import alloy
from blockwright.metrology.evaluate import Expansion, Shop, Size, Spot, Thermal, disagree, evaluate
from blockwright.metrology.gauges import Gauge, Sense
from blockwright.metrology.readings import Reading
from blockwright.metrology.repeats import Spread, improbable, pooled

A = TypeVar("A")
B = TypeVar("B")
UNLESS_SAID = frozenset({"plate off"})
"""State words that hold where a reading does not say the opposite."""
USUAL_ALLOY = {
    PartKind.CRANK: "steel 4340",
    PartKind.ROD: "steel 4340",
    PartKind.PISTON: "aluminium 2618",
    PartKind.PIN: "steel 4340",
    PartKind.RINGS: "nitrided stainless",
    PartKind.SHELL: "steel 4340",
    PartKind.OTHER: "steel 4340",
    PartKind.ENGINE: "steel 4340",
}


class Missing(str):
    """What is still to read, in words; the thing and its spot also apart, so that the spots of one thing can be told together."""

    thing: str
    spot: str

    def __new__(cls, thing: str, spot: str = "", state: str = "") -> Missing:
        """`bore of B1 at cylinder 2`, `top thrust`, `plate on` -> `bore of B1 at cylinder 2 (top thrust), plate on`."""
        held = f", {state}" if state else ""
        made = super().__new__(cls, f"{thing}{f' ({spot})' if spot else ''}{held}")
        made.thing, made.spot = f"{thing}{held}", spot
        return made


class Lacking(Exception):  # noqa: N818 - not an error: a fit that waits for readings
    """Readings or assignments that a fit cannot do without, in words."""

    def __init__(self, *missing: str) -> None:
        super().__init__("; ".join(missing))
        self.missing = tuple(each if isinstance(each, Missing) else Missing(each) for each in missing)


def gathered(*asks: Callable[[], A]) -> list[A]:
    """What each question gives; `Lacking` with everything that any of them lacks, not only the first."""
    given: list[A] = []
    missing: list[Missing] = []
    for ask in asks:
        try:
            given.append(ask())
        except Lacking as lacking:
            missing += lacking.missing
    if missing:
        raise Lacking(*dict.fromkeys(missing))
    return given


def both(first: Callable[[], A], second: Callable[[], B]) -> tuple[A, B]:
    """`gathered` for two questions of different kinds."""
    one, other = gathered(first, second)
    return cast(A, one), cast(B, other)


class Sizes:
    """Sizes by part, feature, position, state and spot, evaluated on demand and kept."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self._spots: dict[tuple[str, str, str, frozenset[str]], dict[str, Size]] = {}
        self._worked_out: dict[tuple[int, ...], tuple[Sequence[Reading], Size]] = {}

    def of(
        self, mark: str, feature: str, at: Position | None = None, state: frozenset[str] = frozenset()
    ) -> Mapping[str, Size]:
        """Every spot of a feature, all of them read; raises `Lacking` with the spots still to read."""
        declared = FEATURES[feature]
        found = self.read(mark, feature, at, state)
        missing = [spot for spot in declared.spots if spot not in found]
        if missing:
            raise Lacking(*(_spot_words(mark, feature, at, spot, state) for spot in missing))
        return {spot: found[spot] for spot in declared.spots}

    def one(self, mark: str, feature: str, at: Position | None = None, state: frozenset[str] = frozenset()) -> Size:
        """The only spot of a feature that has one."""
        return next(iter(self.of(mark, feature, at, state).values()))

    def read(
        self, mark: str, feature: str, at: Position | None = None, state: frozenset[str] = frozenset()
    ) -> Mapping[str, Size]:
        """The spots read so far, possibly none. Raises `Lacking` where no part is assigned."""
        if not mark:
            raise Lacking(f"no {FEATURES[feature].part} assigned" + (f" at {at}" if at else ""))
        key = (mark, feature, str(at or ""), state)
        if key not in self._spots:
            self._spots[key] = self._evaluate(*key)
        return self._spots[key]

    def elsewhere(self, mark: str, feature: str, state: frozenset[str]) -> tuple[Position, Size] | None:
        """A feature with one spot as it was read at some other position, the last one first; `None` where it was not."""
        for reading in reversed(self.taken):
            if (reading.part, reading.feature) == (mark, feature) and serves(reading, state):
                there = position(reading.at)
                if there is not None:
                    return there, self.one(mark, feature, there, state)
        return None

    def alone(self, reading: Reading) -> Size:
        """What one reading by itself says, whatever else was read at its spot."""
        return self.together([reading])

    def together(self, readings: Sequence[Reading]) -> Size:
        """What some readings of one spot say, whatever else was read there."""
        key = tuple(map(id, readings))
        if key not in self._worked_out:
            spot = self._spot(FEATURES[readings[0].feature], readings[0].part)
            self._worked_out[key] = (readings, evaluate(readings, spot, self.shop))
        return self._worked_out[key][1]

    def disagree(self, readings: Sequence[Reading]) -> bool:
        """Whether readings of one spot by one gauge cannot all be right."""
        return disagree(readings, self._spot(FEATURES[readings[0].feature], readings[0].part), self.shop)

    def part(self, kind: PartKind) -> str:
        """The one part of a kind, or `Lacking`."""
        mark = self.job.only(kind)
        if not mark:
            raise Lacking(f"no {kind} among the parts")
        return mark

    def begun(self, feature: str, state: frozenset[str], position: Position) -> bool:
        """Whether something of a feature was read, in the state that is needed, for a position or on a part that is assigned to it."""
        return any(
            reading.feature == feature
            and serves(reading, state)
            and (reading.at == str(position) or self.job.home(reading.part) == position)
            for reading in self.taken
        )

    @cached_property
    def taken(self) -> Sequence[Reading]:
        """The readings that count: taken, not withdrawn, with a gauge that is known."""
        return [reading for reading in self.job.shown if reading.taken and reading.gauge in self.job.gauges]

    def _evaluate(self, mark: str, feature: str, at: str, state: frozenset[str]) -> dict[str, Size]:
        by_spot: defaultdict[str, list[Reading]] = defaultdict(list)
        for reading in self._by_feature.get((mark, feature, at), ()):
            if serves(reading, state):
                by_spot[reading.spot].append(reading)
        return {name: self.together(readings) for name, readings in by_spot.items()}

    @cached_property
    def _by_feature(self) -> Mapping[tuple[str, str, str], Sequence[Reading]]:
        found: defaultdict[tuple[str, str, str], list[Reading]] = defaultdict(list)
        for reading in self.taken:
            found[(reading.part, reading.feature, reading.at)].append(reading)
        return found

    @cached_property
    def shop(self) -> Shop:
        """Gauges, settings and how each gauge repeats."""
        return Shop(self.job.gauges, self.job.settings, spreads(self.job), self.job.rules.thermometer_k)

    def _spot(self, feature: Feature, mark: str) -> Spot:
        engine = self.job.engine
        part = expansion_of(self.job, mark, feature)
        if feature.thermal is Thermal.GAP:
            return Spot(feature.thermal, part, _expansion(engine.running_surface), engine.bore_m)
        return Spot(feature.thermal, part)


def serves(reading: Reading, state: frozenset[str]) -> bool:
    """Whether a reading was taken in the state that is needed."""
    held = reading.state or frozenset()
    return state - UNLESS_SAID <= held and not contradicts(held, state)


def spreads(job: Job) -> dict[str, Spread]:
    """How each gauge repeats: its study and the job's own repeats pooled; one scale step where nothing is known."""
    repeats: defaultdict[str, defaultdict[tuple[object, ...], list[float]]] = defaultdict(lambda: defaultdict(list))
    for reading in job.readings:
        if reading.taken:
            spot = (
                reading.part,
                reading.feature,
                reading.at,
                reading.spot,
                reading.depth_m,
                reading.setting,
                reading.sitting,
                reading.state,
            )
            repeats[reading.gauge][spot].append(reading.value_si)
    return {mark: _spread(job, mark, list(repeats[mark].values())) for mark in job.gauges}


def _spread(job: Job, mark: str, groups: Sequence[Sequence[float]]) -> Spread:
    gauge = job.gauges[mark]
    if gauge.sense is Sense.BLADES:
        return Spread(0.0, float("inf"), "between blades")
    believed = [_without_slips(group, gauge) for group in groups]
    s, dof = pooled(believed, gauge.repeatability_si, gauge.repeatability_dof)
    if not dof:
        return Spread(gauge.resolution_si, float("inf"), "not known: one step of the scale assumed")
    floor = 0.0 if gauge.repeatability_si is not None else gauge.resolution_si / 12**0.5
    origin = "study and repeats" if gauge.repeatability_si is not None else "repeats of this job"
    return Spread(max(s, floor), dof, origin)


def _without_slips(group: Sequence[float], gauge: Gauge) -> Sequence[float]:
    """Repeats without one that the gauge's own study makes improbable: a slip says nothing of how the gauge repeats."""
    if gauge.repeatability_si is None or len(group) < 2:
        return group
    studied = Spread(gauge.repeatability_si, gauge.repeatability_dof or float("inf"), "study")
    suspect = improbable(group, studied, gauge.resolution_si)
    return group if suspect is None else [value for index, value in enumerate(group) if index != suspect]


def expansion_of(job: Job, mark: str, feature: Feature) -> Expansion:
    """Thermal expansion of what is measured: the running surface for a bore, the housing's for the rest of the block."""
    part: Part = job.parts[mark]
    if part.kind is PartKind.BLOCK:
        engine = job.engine
        return _expansion(engine.running_surface if feature.name == "bore" else engine.housing_material)
    return _expansion(alloy_of(part, feature.name))


def alloy_of(part: Part, feature: str) -> str:
    """Alloy of a part; of a ring set, that of the ring which a feature belongs to."""
    second = part.second_alloy if feature.startswith("second") else ""
    return second or part.alloy or USUAL_ALLOY[part.kind]


def _expansion(name: str) -> Expansion:
    found = alloy(name)
    return Expansion(found.name, found.expansion_per_k, found.expansion_u_per_k)


def _spot_words(mark: str, feature: str, at: Position | None, spot: str, state: frozenset[str]) -> Missing:
    """What is still to read, where on which part and in which state."""
    thing = feature if mark == ENGINE_MARK else f"{feature} of {mark}"
    held = show_state(state - UNLESS_SAID).replace(";", ",")
    return Missing(f"{thing}{f' at {at}' if at else ''}", spot, held)
