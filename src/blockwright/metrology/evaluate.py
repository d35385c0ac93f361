"""From the readings at one spot to its size at 20 °C with a budget.

| symbol | meaning |
| --- | --- |
| L20 = L (1 + a_g (T_g - 20) - a_p (T_p - 20)) | a size read directly; a_g, T_g of the gauge, a_p, T_p of the part |
| L20 = (setting + deviation) (1 + a_m (T_m - 20) - a_p (T_p - 20)) | a comparator; a_m, T_m of the master it was set on |
| s20 = s - pi D (a_b (T_b - 20) - a_r (T_r - 20)) | an end gap; b the bore, r the ring |

Readings of one spot that cannot all be right widen its uncertainty by their own scatter (`repeats`): their mean alone says nothing.
Reference temperature 20 °C after ISO 1:2022. Errors that readings share (a setting, a certificate, a thermometer in one sitting) keep
their source, so that they cancel or add where sizes are combined.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import NamedTuple

from blockwright.materials import REFERENCE_C
from blockwright.metrology.estimate import Cause, Estimate, Share, Source, combine
from blockwright.metrology.gauges import Gauge, Sense, Setting
from blockwright.metrology.readings import Reading
from blockwright.metrology.repeats import IMPROBABLE_LEVEL, Spread, alike, improbable, u_of_disagreement
from blockwright.metrology.verdict import expanded
from blockwright.quantities import Kind

UNKNOWN_TEMPERATURE_HALF_K = 5.0
"""Half-width taken for a temperature that nobody wrote down (assumed, flagged with the reading)."""
GAUGE_BESIDE_PART_HALF_K = 2.0
"""Half-width taken for a gauge whose temperature is not given and is assumed to be the part's."""
ROOT3 = math.sqrt(3.0)


class Thermal(StrEnum):
    """How a reading answers to temperature."""

    SIZE = "size"
    GAP = "gap"
    NONE = "none"


@dataclass(frozen=True)
class Expansion:
    """Mean thermal expansion coefficient of a material, with its standard uncertainty, 1/K."""

    name: str
    per_k: float
    u_per_k: float


@dataclass(frozen=True)
class Shop:
    """What every spot is evaluated with: gauges, settings, how each gauge repeats, and the thermometer's half-width."""

    gauges: Mapping[str, Gauge]
    settings: Mapping[str, Setting]
    spreads: Mapping[str, Spread]
    thermometer_half_k: float = 1.0


@dataclass(frozen=True)
class Spot:
    """What is measured: how it answers to temperature, of what it is made, and for a gap the bore it lies in."""

    thermal: Thermal
    part: Expansion
    bore: Expansion | None = None
    bore_m: float = 0.0


@dataclass(frozen=True)
class Correction:
    """One step from what was read to what is used, in words, with its amount (SI)."""

    text: str
    amount: float


@dataclass(frozen=True)
class Size:
    """The value at one spot, the readings it rests on, and how they became it."""

    estimate: Estimate
    readings: tuple[Reading, ...]
    corrections: tuple[Correction, ...] = ()


def evaluate(readings: Sequence[Reading], spot: Spot, shop: Shop) -> Size:
    """Size at one spot from all its readings that count (at least one).

    Readings on one gauge and setting are averaged; several gauges or settings are then weighted by the inverse of their
    variance, the parts they share kept as shared.
    """
    groups: dict[tuple[str, str], list[Reading]] = {}
    for reading in sorted(readings, key=lambda r: r.id):
        groups.setdefault((reading.gauge, reading.setting), []).append(reading)
    sizes = [_group(members, spot, shop) for _, members in sorted(groups.items())]
    if len(sizes) == 1:
        return sizes[0]
    weights = [1.0 / max(size.estimate.u, 1e-12) ** 2 for size in sizes]
    total = sum(weights)
    mean = combine((weight / total, size.estimate) for weight, size in zip(weights, sizes, strict=True))
    if any(differ(one, other) for one, other in itertools.combinations(sizes, 2)):
        squares = sum(w * (size.estimate.value - mean.value) ** 2 for w, size in zip(weights, sizes, strict=True))
        mean = _doubted(mean, readings[0], math.sqrt(squares / (total * (len(sizes) - 1))))
    return Size(
        mean,
        tuple(reading for size in sizes for reading in size.readings),
        tuple(correction for size in sizes for correction in size.corrections),
    )


def differ(one: Size, other: Size) -> bool:
    """Whether two gauges or settings, on one spot at one depth, differ by more than their readings allow."""
    if {reading.depth_m for reading in one.readings} != {reading.depth_m for reading in other.readings}:
        return False
    between = one.estimate - other.estimate
    return abs(between.value) > expanded(between, 1.0 - IMPROBABLE_LEVEL)


def disagree(readings: Sequence[Reading], spot: Spot, shop: Shop) -> bool:
    """Whether readings of one spot at one depth, by one gauge on one setting, cannot all be right.

    Intervals (blades) by `repeats.alike`; plain readings by `repeats.improbable`, brought to 20 °C first where they were not taken alike.
    """
    if len(readings) < 2:
        return False
    gauge = shop.gauges[readings[0].gauge]
    setting = shop.settings.get(readings[0].setting) if gauge.sense.compares else None
    warm = [_warm(each, indicated(each, shop), spot, gauge, setting, shop) for each in readings]
    if any(each.half_width_si for each in readings):
        return not alike(
            [(w.value, math.hypot(r.half_width_si / ROOT3, w.u)) for w, r in zip(warm, readings, strict=True)]
        )
    spread = shop.spreads[gauge.id]
    if len({(each.sitting, each.part_temp_c, each.gauge_temp_c, each.bore_temp_c) for each in readings}) == 1:
        return improbable([each.value_si for each in readings], spread, gauge.resolution_si) is not None
    wider = replace(spread, s=math.hypot(spread.s, max(each.u for each in warm)))
    return improbable([each.value for each in warm], wider, 1.01 * gauge.resolution_si) is not None


def _doubted(estimate: Estimate, reading: Reading, u: float) -> Estimate:
    """The estimate with what its readings' disagreement adds."""
    here = "/".join((reading.part, reading.feature, reading.at, reading.spot, reading.gauge, reading.setting))
    return Estimate(estimate.value, {**estimate.shares, Source(Cause.DISAGREEMENT, here): Share(u)})


def indicated(reading: Reading, shop: Shop) -> float:
    """What the reading says before any temperature correction: for a comparator its setting plus the signed deviation."""
    gauge, setting = shop.gauges[reading.gauge], shop.settings.get(reading.setting)
    if not gauge.sense.compares or setting is None:
        return reading.value_si
    sign = -1.0 if gauge.sense is Sense.BACKWARDS else 1.0
    return setting.size_m + sign * reading.value_si


def _group(members: list[Reading], spot: Spot, shop: Shop) -> Size:
    gauge = shop.gauges[members[0].gauge]
    setting = shop.settings.get(members[0].setting) if gauge.sense.compares else None
    each = [_warm(reading, indicated(reading, shop), spot, gauge, setting, shop) for reading in members]
    estimate = combine((1.0 / len(each), warm) for warm in each)
    read = sum(indicated(reading, shop) for reading in members) / len(members)
    shares = dict(estimate.shares)
    shares.update(_scale_shares(members, read, gauge, setting, shop))
    kind = "to 20 °C" if spot.thermal is not Thermal.NONE else ""
    corrections = (Correction(kind, estimate.value - read),) if kind else ()
    mean = Estimate(estimate.value, shares)
    by_depth = itertools.groupby(sorted(members, key=_depth), key=_depth)
    if len(members) > 1 and any(disagree(list(at_one_depth), spot, shop) for _, at_one_depth in by_depth):
        mean = _doubted(mean, members[0], u_of_disagreement([warm.value for warm in each]))
    return Size(mean, tuple(members), corrections)


def _depth(reading: Reading) -> float:
    return -1.0 if reading.depth_m is None else reading.depth_m


def _scale_shares(
    members: list[Reading], read: float, gauge: Gauge, setting: Setting | None, shop: Shop
) -> dict[Source, Share]:
    first, n = members[0], len(members)
    state = "+".join(sorted(first.state or ()))
    here = "/".join((first.part, first.feature, first.at, first.spot, state, gauge.id, first.setting))
    repeats = _repeats(gauge, shop)
    shares = {}
    half = sum(reading.half_width_si for reading in members) / n
    if half:
        shares[Source(Cause.INTERVAL, here)] = Share(half / ROOT3, flat=True)
    else:
        shares[Source(Cause.RESOLUTION, here)] = Share(0.5 * gauge.resolution_si / ROOT3, flat=True)
    if gauge.sense is not Sense.BLADES:
        shares[Source(Cause.REPEATABILITY, here)] = repeats._replace(u=repeats.u / math.sqrt(n))
    shares.update(_calibration(gauge, read))
    if setting is not None:
        shares.update(_setting_shares(setting, repeats, shop))
    return shares


def _repeats(gauge: Gauge, shop: Shop) -> Share:
    spread = shop.spreads[gauge.id]
    return Share(spread.s, spread.dof, pool=f"repeats of {gauge.id}")


def _calibration(gauge: Gauge, size: float) -> dict[Source, Share]:
    u = gauge.resolution_si if gauge.certificate_si is None else gauge.certificate_si / gauge.coverage
    place_m = abs(size) or 1e-9 if gauge.measures is Kind.LENGTH else 0.0
    return {Source(Cause.CALIBRATION, gauge.id, place_m): Share(u)}


def _setting_shares(setting: Setting, repeats: Share, shop: Shop) -> dict[Source, Share]:
    act = repeats if setting.repeatability_m is None else Share(setting.repeatability_m)
    shares = {Source(Cause.SETTING, setting.id): act}
    master = shop.gauges[setting.master]
    shares.update(_calibration(master, setting.size_m))
    if master.resolution_si:
        shares[Source(Cause.RESOLUTION, f"setting {setting.id}")] = Share(0.5 * master.resolution_si / ROOT3, flat=True)
    return shares


def _warm(reading: Reading, read: float, spot: Spot, gauge: Gauge, setting: Setting | None, shop: Shop) -> Estimate:
    """One indication brought to 20 °C, with the shares of temperatures and expansion coefficients."""
    if spot.thermal is Thermal.NONE:
        return Estimate(read)
    part_c, part_half = _temperature(reading.part_temp_c, shop)
    part = _Body(f"{reading.sitting}/{reading.part}", spot.part, part_c - REFERENCE_C, part_half)
    if spot.thermal is Thermal.GAP:
        assert spot.bore is not None
        other_c, other_half = _beside(reading.bore_temp_c, part_c, shop)
        follows = reading.bore_temp_c is None
        other = _Body(f"{reading.sitting}/bore {reading.at}", spot.bore, other_c - REFERENCE_C, other_half, follows)
        return _expand(read, -math.pi * spot.bore_m, other, part, Cause.PART_TEMPERATURE)
    stated_c = setting.master_temp_c if setting else reading.gauge_temp_c
    gauge_c, gauge_half = _beside(stated_c, part_c, shop)
    owner = f"setting {setting.id}" if setting else f"{reading.sitting}/{gauge.id}"
    holder = shop.gauges[setting.master] if setting else gauge
    material = Expansion(f"gauge {holder.id}", holder.expansion_per_k, 0.05 * holder.expansion_per_k)
    other = _Body(owner, material, gauge_c - REFERENCE_C, gauge_half, stated_c is None)
    return _expand(read, read, other, part, Cause.GAUGE_TEMPERATURE)


class _Body(NamedTuple):
    """What expands: whose temperature it is, its rise over 20 °C with the half-width of that, and whether the rise is the part's own."""

    owner: str
    material: Expansion
    rise_k: float
    half_k: float
    follows: bool = False


def _expand(read: float, length: float, plus: _Body, minus: _Body, plus_cause: Cause) -> Estimate:
    """`read + length (a_plus dT_plus - a_minus dT_minus)` with its shares; `length` carries the sign.

    Where the first body's temperature was taken to be the second's, an error of the second moves both.
    """
    growths = (length * plus.material.per_k, -length * minus.material.per_k)
    of_part = growths[1] + (growths[0] if plus.follows else 0.0)
    terms = [
        Estimate(read + growths[0] * plus.rise_k + growths[1] * minus.rise_k),
        Estimate(0.0, {Source(plus_cause, plus.owner): Share(growths[0] * plus.half_k / ROOT3, flat=True)}),
        Estimate(0.0, {Source(Cause.PART_TEMPERATURE, minus.owner): Share(of_part * minus.half_k / ROOT3, flat=True)}),
    ]
    for sign, body in ((1.0, plus), (-1.0, minus)):
        u = sign * length * body.rise_k * body.material.u_per_k
        terms.append(Estimate(0.0, {Source(Cause.EXPANSION, body.material.name): Share(u)}))
    return combine((1.0, term) for term in terms)


def _temperature(stated_c: float | None, shop: Shop) -> tuple[float, float]:
    if stated_c is None:
        return REFERENCE_C, UNKNOWN_TEMPERATURE_HALF_K
    return stated_c, shop.thermometer_half_k


def _beside(stated_c: float | None, part_c: float, shop: Shop) -> tuple[float, float]:
    if stated_c is None:
        return part_c, GAUGE_BESIDE_PART_HALF_K
    return stated_c, shop.thermometer_half_k
