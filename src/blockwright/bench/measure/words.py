"""A spot and what is read there, in words that a hand at the gauge would use."""

from __future__ import annotations

import re

from blockwright.choices.stations import Spot, Station
from blockwright.engine.job import Job
from blockwright.engine.states import show_state
from blockwright.metrology.evaluate import Thermal
from blockwright.metrology.gauges import Gauge, Sense, Setting
from blockwright.metrology.readings import Reading
from blockwright.quantities import Kind, show

DIRECTIONS = {"thrust": "along the thrust axis", "axial": "along the crank"}
SIGN_OF_UNIT = {"um": "µm", "uin": "µin", "Nm": "N·m"}
ENDS_IN_UNIT = re.compile(r"[^\W\d]\S*$|[\"']$|µ\S*$")
LESS_IN_A_LABEL = ("cylinder", "main", "throw", "bank")


def spot_words(spot: Spot, station: Station | None = None) -> str:
    """`Bore, cylinder 3: middle, along the thrust axis`; with its state where a neighbour differs in that alone."""
    row, twins = spot.first, [each for each in station.spots if _parts(each) == _parts(spot)] if station else []
    if len(twins) > 1 and row.state:
        return f"{spot_words(spot)} ({show_state(row.state)})"
    where = f"{row.feature}, {row.at or row.part}" if row.at or spot.feature.place is None else row.feature
    if row.at and row.part and spot.feature.place is None:
        where = f"{row.feature}, {row.part}, {row.at}"
    where = where[:1].upper() + where[1:]
    return f"{where}: {_spelled(row)}" if row.spot else where


def _spelled(row: Reading) -> str:
    """`middle thrust` of a bore -> `middle, along the thrust axis`; any other spot as it is."""
    *height, way = row.spot.split()
    return ", ".join((*height, DIRECTIONS[way])) if row.feature == "bore" and way in DIRECTIONS else row.spot


def spot_label(spot: Spot, station: Station) -> tuple[str, ...]:
    """The least that tells a spot from its neighbours, word by word under each other."""
    parts = [part for part in (_position(spot), spot.first.part, spot.first.spot) if part]
    shared = set.intersection(*(_parts(each) for each in station.spots)) if len(station.spots) > 1 else set()
    own = [part for part in parts if part not in shared] or parts[-1:]
    if any(_parts(each) == set(parts) and each.first.state != spot.first.state for each in station.spots):
        own += [show_state(spot.first.state or frozenset()).replace(";", "")]
    return tuple(word for part in own for word in part.split() if word != "engine") or (spot.first.feature,)


def _parts(spot: Spot) -> set[str]:
    return {part for part in (_position(spot), spot.first.part, spot.first.spot) if part}


def _position(spot: Spot) -> str:
    name, _, number = spot.first.at.partition(" ")
    return number if name in LESS_IN_A_LABEL and number else spot.first.at


def asked(job: Job, row: Reading) -> str:
    """What is to be typed: `deviation from 97.250 mm (setting S1)`, `the blade that goes, to the one that does not`, `size`."""
    gauge, setting = job.gauges.get(row.gauge), job.settings.get(row.setting)
    if gauge is None:
        return "reading"
    if gauge.sense.compares and setting is not None:
        return f"deviation from {setting_size(setting)} (setting {setting.id})"
    if gauge.sense is Sense.BLADES:
        return "the blade that goes, and the next that does not"
    return {Kind.TORQUE: "the steady pull", Kind.ROUGHNESS: "Rz"}.get(gauge.measures, "size, as the gauge shows it")


def setting_size(setting: Setting) -> str:
    """A setting's size in the unit that it was written in."""
    unit = "in" if "in" in setting.as_typed("size", setting.size_m).split() else "mm"
    return show(setting.size_m, Kind.LENGTH, unit)


def gauge_words(gauge: Gauge) -> str:
    """`BG1, dial bore gauge 50 to 160 mm`."""
    return f"{gauge.id}, {gauge.name}" if gauge.name else gauge.id


def reading_words(row: Reading) -> str:
    """`+12 µm`: as it was typed, with its unit."""
    unit = SIGN_OF_UNIT.get(row.unit, row.unit)
    return row.text if not unit or ENDS_IN_UNIT.search(row.text) else f"{row.text} {unit}"


def degrees(value_c: float | None) -> str:
    """`21.5 °C`; blank where it is not known."""
    return "" if value_c is None else show(value_c, Kind.TEMPERATURE, "°C")


def temperatures_wanted(job: Job, row: Reading, thermal: Thermal) -> tuple[str, ...]:
    """Which temperatures bear on a reading: columns of `readings.csv`, in the order in which they are asked."""
    if thermal is Thermal.NONE:
        return ()
    if thermal is Thermal.GAP:
        return ("part_temp", "bore_temp")
    gauge = job.gauges.get(row.gauge)
    return ("part_temp",) if gauge is not None and gauge.sense.compares else ("part_temp", "gauge_temp")
