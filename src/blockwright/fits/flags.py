"""What is noticed about readings and gauges: each in words, with what to do."""

from __future__ import annotations

import itertools
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence

from blockwright.engine.features import FEATURES
from blockwright.engine.job import ENGINE_MARK
from blockwright.engine.positions import Place
from blockwright.engine.states import show_state
from blockwright.fits.assessment import Flag
from blockwright.fits.registry import REGISTRY
from blockwright.fits.rings import NOT_CARRIED
from blockwright.fits.sizes import Lacking, Sizes, serves
from blockwright.fits.words import Scale, runs, say
from blockwright.metrology.evaluate import Thermal, differ, indicated
from blockwright.metrology.gauges import Sense
from blockwright.metrology.readings import TWICE, Reading
from blockwright.metrology.repeats import IMPROBABLE_LEVEL, improbable
from blockwright.metrology.verdict import expanded

Check = Callable[[Sizes, Sequence[Reading]], Iterator[Flag]]


FEWEST_SPOTS = 4
APART_M, APART_SPREADS = 25e-6, 3.0
"""A spot farther from all others than both of these, the second in spreads of the others, is asked about (assumed: no test of chance)."""


def flags_of(sizes: Sizes) -> tuple[Flag, ...]:
    """Everything noticed, in the order of the checks."""
    return tuple(flag for check in CHECKS for flag in check(sizes, sizes.taken))


def _wrong_state(sizes: Sizes, taken: Sequence[Reading]) -> Iterator[Flag]:
    wanted = _wanted_states(sizes)
    by_spot: defaultdict[tuple[str, ...], list[Reading]] = defaultdict(list)
    for reading in taken:
        states = wanted.get(reading.feature, ())
        if states and not any(serves(reading, state) for state in states):
            key = (reading.part, reading.feature, reading.at, show_state(reading.state or frozenset()))
            by_spot[key].append(reading)
    for (_, feature, _, state), readings in by_spot.items():
        want = " or ".join(f"'{show_state(each)}'" for each in sorted(wanted[feature], key=sorted))
        how = f"with '{state}'" if state else "and no state was written down"
        yield Flag(
            "wrong-state", f"{_where(readings[0])} was read {how}; it is wanted with {want}, so it was not used.",
            f"Read it again with {want}; {_withdraw(readings)}", _ids(readings),
        )  # fmt: skip


def _wanted_states(sizes: Sizes) -> dict[str, set[frozenset[str]]]:
    engine = sizes.job.engine
    wanted: defaultdict[str, set[frozenset[str]]] = defaultdict(set)
    for fit in REGISTRY.values():
        if fit.applies(engine):
            for need in fit.needs:
                wanted[need.feature].add(need.state(engine))
    return wanted


def _withdraw(readings: Sequence[Reading]) -> str:
    if len(readings) == 1:
        return f"withdraw row {readings[0].id} if it was a slip."
    return f"withdraw rows {', '.join(_ids(readings))} if they were a slip."


def _no_temperature(sizes: Sizes, taken: Sequence[Reading]) -> Iterator[Flag]:
    by_sitting: defaultdict[tuple[str, str], list[Reading]] = defaultdict(list)
    for reading in taken:
        if FEATURES[reading.feature].thermal is not Thermal.NONE and reading.part_temp_c is None:
            by_sitting[(reading.part, reading.sitting)].append(reading)
    for (part, sitting), readings in by_sitting.items():
        when = f" in sitting {sitting}" if sitting else ""
        yield Flag(
            "no-temperature", f"no temperature was written down for {part}{when}: 20 °C give or take 5 °C is assumed.",
            "Write part_temp in one row of the sitting; the others take it from there.", _ids(readings),
            part, f"no temperature was written down for {{things}}{when}: 20 °C give or take 5 °C is assumed.",
        )  # fmt: skip


def _overdue(sizes: Sizes, taken: Sequence[Reading]) -> Iterator[Flag]:
    late: defaultdict[str, list[Reading]] = defaultdict(list)
    for reading in taken:
        due = sizes.job.gauges[reading.gauge].due
        if due is not None and reading.when is not None and reading.when > due:
            late[reading.gauge].append(reading)
    for gauge, readings in late.items():
        yield Flag(
            "gauge-overdue",
            f"gauge {gauge} was past its due date of {sizes.job.gauges[gauge].due} when {_counted(readings, 'reading')} taken with it.",
            "Have it checked; if it is found good, renew its date, else read again.", _ids(readings),
        )  # fmt: skip


def _no_certificate(sizes: Sizes, taken: Sequence[Reading]) -> Iterator[Flag]:
    for gauge in sorted({reading.gauge for reading in taken}):
        known = sizes.job.gauges[gauge]
        if known.certificate_si is None:
            exact = known.sense is Sense.BLADES and not known.resolution_si
            assumed = "its blades are taken as exact" if exact else "one step of its scale is assumed for its error"
            of_each = (
                "their blades are taken as exact" if exact else "one step of its scale is assumed for the error of each"
            )
            yield Flag(
                "no-certificate", f"gauge {gauge} has no certificate in gauges.toml: {assumed}.",
                "Write certificate and coverage from its certificate.", thing=gauge,
                several=f"gauges {{things}} have no certificate in gauges.toml: {of_each}.",
            )  # fmt: skip
        if sizes.shop.spreads[gauge].origin.startswith("not known"):
            yield Flag(
                "no-repeatability", f"how well gauge {gauge} repeats is not known: one step of its scale is assumed.",
                "Repeat a few spots, or make a study with 'blockwright gauge-study'.", thing=gauge,
                several="how well gauges {things} repeat is not known: one step of the scale of each is assumed.",
            )  # fmt: skip


def _out_of_range(sizes: Sizes, taken: Sequence[Reading]) -> Iterator[Flag]:
    for reading in taken:
        gauge = sizes.job.gauges[reading.gauge]
        if not gauge.takes(indicated(reading, sizes.shop)):
            yield Flag(
                "gauge-range", f"row {reading.id} ({_where(reading)}) lies outside the range of gauge {gauge.id}.",
                "Was it another gauge? Withdraw the row and write it again.", (reading.id,),
            )  # fmt: skip


def _improbable(sizes: Sizes, taken: Sequence[Reading]) -> Iterator[Flag]:
    groups: defaultdict[tuple[object, ...], list[Reading]] = defaultdict(list)
    for reading in taken:
        key = (
            reading.part,
            reading.feature,
            reading.at,
            reading.spot,
            reading.depth_m,
            reading.gauge,
            reading.setting,
            reading.state,
            reading.part_temp_c,
            reading.gauge_temp_c,
            reading.bore_temp_c,
        )
        groups[key].append(reading)
    for siblings in groups.values():
        if any(reading.half_width_si for reading in siblings):
            continue
        gauge = sizes.job.gauges[siblings[0].gauge]
        values = [reading.value_si for reading in siblings]
        suspect = improbable(values, sizes.shop.spreads[gauge.id], gauge.resolution_si)
        if suspect is not None:
            reading = siblings[suspect]
            others = ", ".join(sibling.text for sibling in siblings if sibling is not reading)
            siblings_read = "its siblings read" if len(siblings) > 2 else "its sibling reads"
            test = "Grubbs' test" if len(siblings) > 2 else "the critical difference of ISO 5725-6"
            yield Flag(
                "improbable-repeat",
                f"row {reading.id} ({_where(reading, reading.spot)}) reads {reading.text} where {siblings_read} {others}: "
                f"less than {100.0 * IMPROBABLE_LEVEL:g} % likely by chance ({test}).",
                "Read that spot again; withdraw the one that was a slip, with the reason.", _ids(siblings),
            )  # fmt: skip


def _apart(sizes: Sizes, taken: Sequence[Reading]) -> Iterator[Flag]:
    """Readings between two blades that cannot all be right."""
    between = [reading for reading in taken if reading.half_width_si]
    for siblings in _by(between, lambda reading: (reading.part, reading.feature, reading.at, reading.spot, str(reading.depth_m), reading.gauge,
                                                  show_state(reading.state or frozenset()))).values():  # fmt: skip
        if len(siblings) > 1 and sizes.disagree(siblings):
            said = " and ".join(f"{each.text}{f' {each.unit}' if each.unit else ''} ({each.id})" for each in siblings)
            yield Flag(
                "readings-apart", f"{_where(siblings[0], siblings[0].spot)} was read as {said}: these cannot all be right.",
                "Read it again; withdraw the one that was a slip, with the reason. Nothing is decided on their mean.", _ids(siblings),
            )  # fmt: skip


def _taken_twice(sizes: Sizes, taken: Sequence[Reading]) -> Iterator[Flag]:
    """A spot for which two readings came at once, from two hands that did not know of each other."""
    for siblings in _by(
        taken, lambda each: (each.part, each.feature, each.at, each.spot, str(each.depth_m), each.sitting)
    ).values():
        if len(siblings) > 1 and any(TWICE in each.note for each in siblings):
            said = " and ".join(_said_by(each) for each in siblings)
            yield Flag(
                "taken-twice", f"{_where(siblings[0], siblings[0].spot)} was {TWICE}: {said}.",
                "Both are kept and both count. If one was meant for another spot, withdraw it with the reason.", _ids(siblings),
            )  # fmt: skip


def _said_by(reading: Reading) -> str:
    unit = f" {reading.unit}" if reading.unit else ""
    return f"{reading.text}{unit} ({reading.id}{f', {reading.by}' if reading.by else ''})"


def _spot_apart(sizes: Sizes, taken: Sequence[Reading]) -> Iterator[Flag]:
    """A spot that stands far from all its neighbours on one bore or journal, while they agree among themselves."""
    groups = _by(
        [each for each in taken if FEATURES[each.feature].thermal is Thermal.SIZE],
        lambda each: (each.part, each.feature, each.at, show_state(each.state or frozenset())),
    )
    for readings in groups.values():
        spots = _by(readings, lambda each: (each.spot,))
        if len(spots) < FEWEST_SPOTS:
            continue
        values = {spot: sizes.together(those).estimate.value for (spot,), those in spots.items()}
        for spot, value in values.items():
            others = [other for name, other in values.items() if name != spot]
            spread, apart = max(others) - min(others), min(abs(value - other) for other in others)
            if apart > APART_M and apart > APART_SPREADS * spread:
                where, far, near = (
                    _where(readings[0], spot),
                    *(say(sizes.job, each, Scale.CLEARANCE) for each in (apart, spread)),
                )
                yield Flag(
                    "spot-apart", f"{where} stands {far} from the nearest of its neighbours, which lie within {near} of each other: "
                    "a slip, or worn or damaged at that one spot.",
                    "Read that spot again; withdraw the row if it was a slip.", _ids(spots[(spot,)]),
                )  # fmt: skip


def _blade_for_temperature(sizes: Sizes, taken: Sequence[Reading]) -> Iterator[Flag]:
    warm = [
        reading
        for reading in taken
        if FEATURES[reading.feature].thermal is Thermal.GAP
        and reading.part_temp_c is not None
        and reading.bore_temp_c is not None
        and abs(reading.part_temp_c - reading.bore_temp_c) > 5.0
    ]
    if warm:
        yield Flag(
            "ring-not-cool", f"{_counted(warm, 'gap')} read with ring and bore more than 5 °C apart.",
            "Let the ring cool in the bore: fresh from the grinder it reads tight.", _ids(warm),
        )  # fmt: skip


def _counted(readings: Sequence[Reading], word: str) -> str:
    return f"1 {word} was" if len(readings) == 1 else f"{len(readings)} {word}s were"


def _where(reading: Reading, spot: str = "") -> str:
    """What was read, of which part, where on it."""
    thing = reading.feature if reading.part == ENGINE_MARK else f"{reading.feature} of {reading.part}"
    return f"{thing}{f' at {reading.at}' if reading.at else ''}{f', {spot}' if spot else ''}"


def _disagree(sizes: Sizes, taken: Sequence[Reading]) -> Iterator[Flag]:
    """Two gauges or settings at one spot that differ by more than their readings allow."""
    spots: defaultdict[tuple[object, ...], defaultdict[tuple[str, str], list[Reading]]] = defaultdict(
        lambda: defaultdict(list)
    )
    for reading in taken:
        spot = (reading.part, reading.feature, reading.at, reading.spot, reading.depth_m, reading.state)
        spots[spot][(reading.gauge, reading.setting)].append(reading)
    for by_gauge in spots.values():
        for one, other in itertools.combinations(by_gauge.values(), 2):
            if differ(sizes.together(one), sizes.together(other)):
                first = one[0]
                where = f"{first.feature} of {first.part}{' at ' + first.at if first.at else ''}{' (' + first.spot + ')' if first.spot else ''}"
                yield Flag(
                    "gauges-disagree", f"{where}: {_named(one[0])} and {_named(other[0])} differ by more than their readings allow.",
                    "Find out which of them is off before either is believed.", _ids([*one, *other]),
                )  # fmt: skip


def _named(reading: Reading) -> str:
    return f"{reading.gauge} on {reading.setting}" if reading.setting else reading.gauge


def _ring_moved(sizes: Sizes, taken: Sequence[Reading]) -> Iterator[Flag]:
    """Rings read in one bore and now assigned to another, where they were not read again."""
    job = sizes.job
    gaps = [reading for reading in taken if FEATURES[reading.feature].thermal is Thermal.GAP]
    for (part, feature), readings in _by(gaps, lambda reading: (reading.part, reading.feature)).items():
        home = job.home(part)
        if home is not None and all(reading.at != str(home) for reading in readings):
            was = readings[-1].at
            yield Flag(
                "ring-moved", f"{part} is for {home}, but its {feature} was read in {was}: it is worked out from the two bores.",
                f"Read it again in {home}, or put the set back into {was}; file nothing on a gap that was worked out.", _ids(readings),
            )  # fmt: skip


def _second_under_top(sizes: Sizes, taken: Sequence[Reading]) -> Iterator[Flag]:
    """Second rings with a smaller gap than the top ring's, where no sheet of this job says what the second wants."""
    if any(rule.fit == "second end gap" for rule in sizes.job.sheet.limit):
        return
    for position in sizes.job.engine.positions(Place.CYLINDER):
        try:
            top, second = (REGISTRY[name].work_out(sizes, position) for name in ("top end gap", "second end gap"))
        except Lacking:
            continue
        less = top.estimate - second.estimate
        if less.value > expanded(less):
            rows = [reading for _, size in (*top.sizes[:1], *second.sizes[:1]) for reading in size.readings]
            yield Flag(
                "second-tighter", f"the second ring's gap in {position} is smaller than the top's: gas caught between lifts the top ring.",
                "Open the second, unless its maker wants it so: then write his limits into job.toml.", _ids(rows),
            )  # fmt: skip


def _not_carried(sizes: Sizes, taken: Sequence[Reading]) -> Iterator[Flag]:
    """End gaps that are judged where they were read, since the job cannot tell where in the bore they are smallest: one flag for each reason."""
    why: defaultdict[str, list[tuple[str, str, tuple[str, ...]]]] = defaultdict(list)
    for position in sizes.job.engine.positions(Place.CYLINDER):
        for name in (each for each in REGISTRY if each.endswith("end gap")):
            try:
                found = REGISTRY[name].work_out(sizes, position)
            except Lacking:
                continue
            for note in found.notes:
                if note.endswith(NOT_CARRIED):
                    why[note].append((name, str(position), _ids(found.sizes[0][1].readings)))
    for note, gaps in why.items():
        yield Flag(
            "gap-not-carried", f"{_gaps(gaps)}: judged where read, {note}.",
            "Where its bore is smaller the gap is smaller: add what is missing before the ring is trusted.",
            tuple(row for _, _, rows in gaps for row in rows),
        )  # fmt: skip


def _gaps(gaps: Sequence[tuple[str, str, tuple[str, ...]]]) -> str:
    """`top end gap and second end gap, cylinder 1 to 4`: fits at the same positions told together."""
    at: defaultdict[str, list[str]] = defaultdict(list)
    for name, position, _ in gaps:
        at[name].append(position)
    same: defaultdict[str, list[str]] = defaultdict(list)
    for name, positions in at.items():
        same[runs(positions)].append(name)
    return "; ".join(f"{runs(names)}, {where}" for where, names in same.items())


def _by(readings: Sequence[Reading], key: Callable[[Reading], tuple[str, ...]]) -> dict[tuple[str, ...], list[Reading]]:
    groups: defaultdict[tuple[str, ...], list[Reading]] = defaultdict(list)
    for reading in readings:
        groups[key(reading)].append(reading)
    return dict(groups)


def _ids(readings: Sequence[Reading]) -> tuple[str, ...]:
    return tuple(reading.id for reading in readings)


CHECKS: tuple[Check, ...] = (
    _wrong_state, _improbable, _spot_apart, _apart, _taken_twice, _disagree, _ring_moved, _not_carried, _second_under_top, _no_temperature,
    _overdue, _out_of_range, _blade_for_temperature, _no_certificate,
)  # fmt: skip
