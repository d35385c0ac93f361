"""Gas through a small opening: an orifice that may choke, and a long narrow slot that may too.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| g | gamma | ratio of heat capacities | – |
| R | r_j_kg_k | gas constant of the gas | J/(kg K) |
| pu, Tu | upstream_pa, upstream_k | absolute pressure and temperature before the opening | Pa, K |
| pd | downstream_pa | absolute pressure behind it | Pa |
| pr | – | pd / pu | – |
| Cd | DISCHARGE | discharge coefficient | – |
| h, W, A | Slot | opening of a slot, its length along the flow, its area across | m, m, m² |

References
----------
Ames Research Staff, "Equations, Tables, and Charts for Compressible Flow", NACA Report 1135, 1953. Discharge coefficient .86 of ring gaps:
S. Namazian, J. B. Heywood, "Flow in the Piston-Cylinder-Ring Crevices of a Spark-Ignition Engine", SAE 820088, 1982 (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from blockwright.physics.guards import Numbers, keep_above, keep_within

Array = NDArray[np.float64]
DISCHARGE = 0.86


def choking_ratio(gamma: float) -> float:
    """Pressure behind over pressure before, at and below which an orifice chokes.

    Example
    -------
    >>> f"{choking_ratio(1.4):.4f}"
    '0.5283'
    """
    keep_within("ratio of heat capacities", gamma, 1.05, 1.7)
    return float((2.0 / (gamma + 1.0)) ** (gamma / (gamma - 1.0)))


def choking_temperature_ratio(gamma: float) -> float:
    """Temperature in the throat over temperature before, where it chokes.

    Example
    -------
    >>> f"{473 * choking_temperature_ratio(1.289):.3f}"
    '413.281'
    """
    keep_within("ratio of heat capacities", gamma, 1.05, 1.7)
    return 2.0 / (gamma + 1.0)


def choked_flow(gamma: float) -> float:
    """Flow number of a choked orifice: sqrt(g) (2/(g+1))^((g+1)/(2(g-1)))."""
    keep_within("ratio of heat capacities", gamma, 1.05, 1.7)
    return math.sqrt(gamma) * float((2.0 / (gamma + 1.0)) ** ((gamma + 1.0) / (2.0 * (gamma - 1.0))))


def flow_number(pressure_ratio: Numbers, gamma: float) -> Numbers:
    """Mass flow times sqrt(R Tu) over area and pressure before: pr^(1/g) sqrt(2g/(g-1) (1 - pr^((g-1)/g))), choked at and below the ratio.

    Raises
    ------
    ValueError
        For a pressure ratio outside 0 to 1.

    Example
    -------
    >>> f"{flow_number(0.2, 1.4):.6f}"
    '0.684731'
    """
    keep_within("pressure ratio", pressure_ratio, 0.0, 1.0)
    pr = np.maximum(pressure_ratio, choking_ratio(gamma))
    number: Numbers = np.sqrt(flow_squared(pr, pr ** (1.0 / gamma), gamma))
    return number


def flow_squared(pr: Numbers, root: Numbers, gamma: float) -> Numbers:
    """Square of the flow number above choking, from the ratio and its power 1/g; plain enough for a compiler."""
    return 2.0 * gamma / (gamma - 1.0) * root * (root - pr)


def orifice_kg_s(
    area_m2: Numbers, upstream_pa: Numbers, upstream_k: Numbers, downstream_pa: Numbers, gamma: float, r_j_kg_k: float,
    discharge: float = DISCHARGE,
) -> Numbers:  # fmt: skip
    """Mass flow through an orifice, kg/s: Cd A pu / sqrt(R Tu) times the flow number; nil where nothing pushes.

    Raises
    ------
    ValueError
        For a pressure or temperature that is not above nil, or more pressure behind than before.
    """
    keep_above("pressure before the orifice", upstream_pa, 0.0, "Pa")
    keep_above("temperature before the orifice", upstream_k, 0.0, "K")
    keep_within("area of the orifice", area_m2, 0.0, 1.0, "m²")
    number = flow_number(np.divide(downstream_pa, upstream_pa), gamma)
    flow: Numbers = discharge * area_m2 * upstream_pa / np.sqrt(r_j_kg_k * np.asarray(upstream_k)) * number
    return flow


@dataclass(frozen=True)
class Slot:
    """A long narrow slot: its opening, its breadth across the flow, and its length along it."""

    opening_m: Numbers
    breadth_m: Numbers
    length_m: Numbers

    def __post_init__(self) -> None:
        keep_within("opening of the slot", self.opening_m, 0.0, 0.01, "m")
        keep_within("breadth of the slot", self.breadth_m, 0.0, 10.0, "m")
        keep_above("length of the slot", self.length_m, 0.0, "m")


def slot_ease(breadth_m: Numbers, length_m: Numbers, viscosity_pa_s: float) -> Numbers:
    """What a laminar, isothermal slot lets by, over h³ (pu² - pd²) / (R T), 1/(Pa s): b / (24 W mu), for a slot b broad and W long."""
    return np.divide(breadth_m, 24.0 * np.asarray(length_m) * viscosity_pa_s)


def slot_kg_s(
    slot: Slot, upstream_pa: Numbers, temperature_k: Numbers, downstream_pa: Numbers, viscosity_pa_s: float,
    gamma: float, r_j_kg_k: float,
) -> Numbers:  # fmt: skip
    """Mass flow through a long narrow slot, kg/s: laminar and isothermal, no more than an orifice of its area could choke at.

    Notes
    -----
    A h² (pu² - pd²) / (24 W mu R T), A = h · breadth.
    """
    keep_above("pressure before the slot", upstream_pa, 0.0, "Pa")
    keep_above("viscosity of the gas", viscosity_pa_s, 0.0, "Pa s")
    area = np.multiply(slot.opening_m, slot.breadth_m)
    rt = r_j_kg_k * np.asarray(temperature_k)
    squares = np.square(upstream_pa) - np.square(downstream_pa)
    laminar = slot_ease(slot.breadth_m, slot.length_m, viscosity_pa_s) * np.power(slot.opening_m, 3) * squares / rt
    flow: Numbers = np.minimum(laminar, area * upstream_pa / np.sqrt(rt) * choked_flow(gamma))
    return flow
