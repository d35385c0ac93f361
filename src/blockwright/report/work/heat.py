"""Cycle, temperatures, loads and paths of heat as rows of text. Pressures are absolute, temperatures °C."""

from __future__ import annotations

from dataclasses import dataclass, replace

from blockwright.quantities import Kind, convert
from blockwright.report.work.numbers import percent, plainly, spread
from blockwright.running.work.result import CycleTold, ForcesTold, Spread, Work

NOTHING = 1e-3
"""A free force or couple below this share of the largest load is not told."""


@dataclass(frozen=True)
class Line:
    """A name and what is said of it; `note` stands after it, smaller."""

    name: str
    text: str
    note: str = ""


@dataclass(frozen=True)
class Temperature:
    """One place: what it is, how hot, whether that was given, and what handbooks have."""

    place: str
    value: str
    given: bool
    plausible: str


@dataclass(frozen=True)
class Resistance:
    """One path of heat as it was used."""

    path: str
    between: str
    k_per_w: str
    heat: str
    spread: str
    source: str


def cycle_lines(cycle: CycleTold) -> tuple[Line, ...]:
    """The cylinder's cycle in numbers."""
    power = f"{plainly(cycle.power_w, Kind.POWER, 'kW')} at {plainly(cycle.speed_rad_s, Kind.SPEED, 'rpm', u=1.0)}"
    return (
        Line("power and speed", power),
        Line("highest pressure", spread(cycle.peak_pa, Kind.PRESSURE_STEP, "bar"), _peak_note(cycle)),
        Line("hottest gas", spread(_celsius(cycle.peak_k), Kind.TEMPERATURE, "°C")),
        Line("mean pressure", spread(cycle.indicated_pa, Kind.PRESSURE_STEP, "bar"), "compression and expansion"),
        Line("friction", spread(cycle.friction_pa, Kind.PRESSURE_STEP, "bar"), "as a mean pressure"),
        Line("breathing", spread(cycle.breathing, Kind.RATIO, "%"), "of what the swept volume would hold as the manifold has it"),
        Line("heat into the crown", f"{spread(cycle.flux_w_m2, Kind.POWER, 'kW')}/m²", "mean over the cycle"),
        Line("energy left over", percent(cycle.energy_left_over), "of the reckoning's own books; nil would be perfect"),
    )  # fmt: skip


def _peak_note(cycle: CycleTold) -> str:
    side = "after" if cycle.peak_at_deg >= 0.0 else "before"
    own = f"; {cycle.given}" if cycle.given else ""
    return f"absolute, {abs(cycle.peak_at_deg):.0f}° {side} top dead centre{own}"


def _celsius(told: Spread) -> Spread:
    value, low, high = (convert(each, Kind.TEMPERATURE, "K", "°C") for each in (told.value, told.low, told.high))
    return replace(told, value=value, low=low, high=high)


def temperatures(work: Work) -> tuple[Temperature, ...]:
    """Every place of the network, those that are held too."""
    return tuple(
        Temperature(node.words, spread(node.temperature_c, Kind.TEMPERATURE, "°C"), node.given, node.plausible)
        for node in work.nodes
    )


def load_lines(forces: ForcesTold) -> tuple[Line, ...]:
    """Loads of one cylinder's drive, and what shakes the block."""
    lines = (
        Line("largest on a crank pin", spread(forces.largest_pin_n, Kind.FORCE, "kN")),
        Line("piston on its major face", spread(forces.largest_major_n, Kind.FORCE, "kN")),
        Line("piston on its minor face", spread(forces.largest_minor_n, Kind.FORCE, "kN")),
        Line("both bolts of a rod", spread(forces.rod_bolts_n, Kind.FORCE, "kN"), "at the redline, between exhaust and intake"),
        Line("mean piston speed", f"{forces.mean_piston_m_s:.1f} m/s", f"{forces.redline_piston_m_s:.1f} m/s at the redline"),
        Line("piston at the top", f"{round(forces.top_acceleration_m_s2, -2):.0f} m/s²", "at the redline"),
    )  # fmt: skip
    return (*lines, *_shaking(forces))


def _shaking(forces: ForcesTold) -> tuple[Line, ...]:
    """Free forces and couples by their order; one line that says so where there is none."""
    least = NOTHING * abs(forces.largest_pin_n.value)
    told = [
        (f"free force, order {order}", plainly(force, Kind.FORCE, "kN"))
        for order, force in zip(forces.orders, forces.free_n, strict=False)
        if force > least
    ] + [
        (f"free couple, order {order}", plainly(couple, Kind.TORQUE, "Nm"))
        for order, couple in zip(forces.orders, forces.free_nm, strict=False)
        if couple > least
    ]
    if not told:
        return (Line("free forces", "none worth telling", "what moves balances itself"),)
    return tuple(Line(name, text) for name, text in told)


def resistances(work: Work) -> tuple[Resistance, ...]:
    """The table of resistances."""
    words = {node.name: node.words for node in work.nodes}
    return tuple(
        Resistance(
            path.words,
            " to ".join(words.get(end, end) for end in path.between),
            f"{path.resistance_k_w:.3g}",
            plainly(path.heat_w, Kind.POWER, "W"),
            percent(path.spread),
            path.source,
        )
        for path in work.paths
    )
