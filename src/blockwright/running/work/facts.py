"""What the engine at work rests on beside the readings: each input with its uncertainty and where it comes from, given or assumed.

Given numbers come from the job; where it is silent `materials/at_work.toml` is taken and said to be assumed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from statistics import fmean

from blockwright.engine.duty import Cooling
from blockwright.engine.job import Job
from blockwright.engine.parts import PartKind
from blockwright.materials.at_work import assumed
from blockwright.running.work.alloys import expansions
from blockwright.running.work.result import Fact

GIVEN = "given"
WEIGHED = "weighed"
BY_PEAK = "only where the search begins: the peak pressure given decides"
GIVEN_C_U = 3.0
"""Standard uncertainty of a temperature of coolant, oil or charge that the builder gives, K (common practice, no source)."""
GIVEN_SHARE = 0.02
"""The same for other numbers of the duty, as a share."""
PEAK_SHARE = 0.04
"""The same for a peak pressure."""


@dataclass(frozen=True)
class Facts:
    """Every input by name, in the order in which they are shown."""

    by_name: Mapping[str, Fact]

    def __getitem__(self, name: str) -> Fact:
        return self.by_name[name]

    def get(self, name: str) -> Fact | None:
        """An input that may be missing."""
        return self.by_name.get(name)

    def value(self, name: str) -> float:
        """Its best value."""
        return self.by_name[name].value


def facts_of(job: Job) -> Facts:
    """Everything that the calculation takes from a job beside its readings."""
    listed = (*_burning(job), *_sinks(job), *_oil(job), *_masses(job), *_bearings(job), *_rings(job), *expansions(job))
    return Facts({fact.name: fact for fact in listed})


def _or_assumed(
    name: str, given: float | None, *, u: float | None = None, default: str = "", scale: float = 1.0
) -> Fact:
    """A given number, or what is assumed of that name (times `scale`, where it is a share of something)."""
    held = assumed(default or name)
    if given is not None:
        return Fact(name, held.words, given, GIVEN_SHARE * abs(given) if u is None else u, held.unit, GIVEN)
    return Fact(name, held.words, scale * held.value, scale * held.u, held.unit, f"assumed: {held.ground}")


def _burning(job: Job) -> Iterator[Fact]:
    duty, work = job.duty, job.at_work
    boosted = duty.boosted
    power = assumed("power")
    yield Fact("power", power.words, duty.power_w, power.share * duty.power_w, "W", GIVEN)
    yield Fact("speed", "crank speed", duty.at_speed_rad_s, 0.0, "rad/s", GIVEN)
    yield Fact("boost", "boost above the air outside", duty.boost_pa, 0.03 * duty.boost_pa, "Pa", GIVEN)
    diesel = "diesel" in duty.fuel.casefold()
    usual = "compression_diesel" if diesel else "compression_boosted" if boosted else "compression"
    yield _or_assumed("compression", work.compression_ratio, u=0.0, default=usual)
    yield _or_assumed("intake_closes", work.intake_closes_rad, u=0.0)
    yield _or_assumed("exhaust_opens", work.exhaust_opens_rad, u=0.0)
    if duty.peak_pressure_pa is not None:
        peak = duty.peak_pressure_pa
        yield Fact("peak", "peak pressure, over the crankcase's", peak, PEAK_SHARE * peak, "Pa", GIVEN)
    half = _or_assumed("half_burnt", work.half_burnt_rad, u=0.02)
    yield half if duty.peak_pressure_pa is None else replace(half, u=0.0, origin=BY_PEAK)
    yield _or_assumed("burn_span", work.burn_span_rad, u=0.05)
    yield _or_assumed("charge", work.charge_c, u=GIVEN_C_U, default="charge_boosted" if boosted else "charge")
    for name, default in (("warming", ""), ("heat", "heat_diesel" if diesel else ""), ("exhaust", "")):
        yield _or_assumed(name, None, default=default)
    for name in ("friction", "film_factor"):
        yield _or_assumed(name, None)


def _sinks(job: Job) -> Iterator[Fact]:
    duty = job.duty
    liquid = duty.cooling is not Cooling.AIR
    name = "coolant" if liquid else "cooling_air"
    given = duty.coolant_c if liquid else None
    yield replace(_or_assumed(name, given, u=GIVEN_C_U), name="sink")
    oil = _or_assumed("oil", duty.oil_c, u=GIVEN_C_U)
    yield oil
    for place in ("main_housing", "journal", "big_end"):
        over = assumed(f"{place}_over_oil")
        yield Fact(f"{place}_over_oil", over.words, over.value, over.u, "K", f"assumed: {over.ground}")


def _oil(job: Job) -> Iterator[Fact]:
    yield _or_assumed("oil_pressure", job.at_work.oil_pressure_pa, u=0.2e5)
    for name in ("viscosity", "oil_density", "oil_share"):
        yield _or_assumed(name, None)


def _masses(job: Job) -> Iterator[Fact]:
    engine, work = job.engine, job.at_work
    piston, rod = work.piston_mass_kg, work.rod_mass_kg
    weighed = _weighed(job, PartKind.PISTON)
    if piston is None and weighed is not None:
        yield _whole_piston(job, weighed)
    else:
        yield _or_assumed("piston_mass", piston, u=0.002, scale=engine.bore_m**3)
    rods = _weighed(job, PartKind.ROD)
    if rod is None and rods is not None:
        yield Fact("rod_mass", "rod with its bolts", rods, 0.002, "kg", WEIGHED)
    else:
        yield _or_assumed("rod_mass", rod, u=0.002, scale=engine.bore_m**2 * engine.rod_length_m)
    whole = rod if rod is not None else rods
    for name, part in (("big_share", work.rod_big_mass_kg), ("cap_share", work.rod_cap_mass_kg)):
        share = None if part is None or not whole else part / whole
        yield _or_assumed(name, share, u=0.005)
    yield _or_assumed("counterweight", work.counterweight, u=0.03)


def _whole_piston(job: Job, bare_kg: float) -> Fact:
    """Piston with pin and rings: as weighed, and a share for what was not."""
    others = [_weighed(job, kind) for kind in (PartKind.PIN, PartKind.RINGS)]
    words = "piston with pin, rings and clips"
    if all(each is not None for each in others):
        return Fact("piston_mass", words, bare_kg + sum(each or 0.0 for each in others), 0.005, "kg", WEIGHED)
    rest = assumed("pin_and_rings")
    return Fact(
        "piston_mass", words, bare_kg * (1.0 + rest.value), bare_kg * rest.u, "kg",
        f"assumed: the piston is weighed; pin and rings are taken as {rest.value:g} of it ({rest.ground})",
    )  # fmt: skip


def _weighed(job: Job, kind: PartKind) -> float | None:
    masses = [part.mass_kg for part in job.sheet.part if part.kind is kind and part.mass_kg is not None]
    return fmean(masses) if masses else None


def _bearings(job: Job) -> Iterator[Fact]:
    engine, work = job.engine, job.at_work
    for name, journal, given, share in (
        ("rod_width", engine.rod_journal_m, work.rod_bearing_width_m, "rod_width"),
        ("main_width", engine.main_journal_m, work.main_bearing_width_m, "main_width"),
        ("rod_hole", engine.rod_journal_m, work.oil_hole_m, "oil_hole"),
        ("main_hole", engine.main_journal_m, work.oil_hole_m, "oil_hole"),
    ):
        if journal is not None or given is not None:
            fact = replace(_or_assumed(name, given, u=0.0, default=share, scale=journal or 0.0), unit="m")
            of = "rod" if name.startswith("rod") else "main"
            yield replace(fact, words=f"{of} bearing: {fact.words}" if share == "oil_hole" else fact.words)
    width = work.main_bearing_width_m or assumed("main_width").value * (engine.main_journal_m or 0.0)
    if width or work.main_groove_width_m is not None:
        groove = _or_assumed("groove_width", work.main_groove_width_m, u=0.0, scale=width)
        yield replace(groove, unit="m")
    yield replace(_or_assumed("spacing", engine.bore_spacing_m, u=0.0, scale=engine.bore_m), unit="m")
    for name in ("journal_roughness", "shell_roughness"):
        yield _or_assumed(name, None)


def _rings(job: Job) -> Iterator[Fact]:
    bore = job.engine.bore_m
    for name, scale in (
        ("ring_wall", bore), ("ring_height", bore), ("side_clearance", 1.0), ("back_clearance", 1.0), ("land_under_bore", bore),
        ("land_height", bore), ("seat", 1.0), ("ring_friction", 1.0), ("ring_damping", 1.0),
    ):  # fmt: skip
        fact = _or_assumed(name, None, scale=scale)
        yield fact if scale == 1.0 else replace(fact, unit="m")
