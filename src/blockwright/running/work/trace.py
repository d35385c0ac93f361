"""A builder's own pressure over crank angle, from a file of two columns: read, checked, and put on equal steps."""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from blockwright.problems import BlockwrightError, Problem, excerpt
from blockwright.running.work.loads import OUTSIDE_PA

Array = NDArray[np.float64]
HEADER = ("angle deg", "pressure bar")
FEWEST, MOST = 36, 20_000
WIDEST_GAP_DEG = 20.0
LOWEST_BAR, HIGHEST_BAR = -0.95, 400.0
LARGEST_FILE = 4_000_000
BAR = 1e5


@dataclass(frozen=True)
class Trace:
    """Crank angle from firing top dead centre (°, rising, one cycle of 720°), pressure over the crankcase's (Pa), and where it comes from."""

    angle_deg: tuple[float, ...]
    pressure_pa: tuple[float, ...]
    words: str

    def evenly_pa(self, steps: int) -> Array:
        """Absolute pressure at equal steps over 720°, the first at firing top."""
        at = np.arange(steps) * (720.0 / steps)
        return np.asarray(np.interp(at, self.angle_deg, self.pressure_pa, period=720.0) + OUTSIDE_PA)


def read_trace(path: Path) -> Trace:
    """The trace in a CSV file with the header `angle deg,pressure bar`: angles from firing top dead centre, pressures over the crankcase's.

    Raises
    ------
    BlockwrightError
        With the line and its mend, for a file that is none, or holds what no cylinder does.
    """
    try:
        if path.stat().st_size > LARGEST_FILE:
            raise _fault(path, "it is far too large for one cycle.", "Give one cycle of 720°.")
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as fault:
        raise _fault(path, f"it cannot be read: {fault}", "Give a text file of two columns.") from None
    rows = _rows(path, text)
    if not rows or tuple(cell.strip().casefold() for cell in rows[0][1]) != HEADER:
        raise _fault(path, "its first line is not the header.", f"Write as first line: {','.join(HEADER)}")
    return _checked(path, sorted(_point(path, number, row) for number, row in rows[1:]))


def _rows(path: Path, text: str) -> list[tuple[int, list[str]]]:
    """Lines that say something, each with its number."""
    reader = csv.reader(text.splitlines())
    try:
        return [(reader.line_num, row) for row in reader if "".join(row).strip()]
    except csv.Error as fault:
        raise _fault(path, f"it cannot be read: {fault}", "Give a text file of two columns.", reader.line_num) from None


def _point(path: Path, line: int, row: list[str]) -> tuple[float, float]:
    try:
        angle, bar = (float(cell.strip()) for cell in row)
    except ValueError:
        said = excerpt(",".join(row))
        raise _fault(path, f"'{said}' is not two numbers.", "Write angle and pressure.", line) from None
    if not (math.isfinite(angle) and -720.0 <= angle <= 720.0):
        raise _fault(path, f"{angle:g}° is no angle of one cycle.", "Count from firing top dead centre.", line)
    if not LOWEST_BAR <= bar <= HIGHEST_BAR:
        what = f"{bar:g} bar over the crankcase is no cylinder's pressure."
        raise _fault(path, what, "Write bar over the crankcase's.", line)
    return angle, bar


def _checked(path: Path, points: list[tuple[float, float]]) -> Trace:
    if not FEWEST <= len(points) <= MOST:
        raise _fault(path, f"{len(points)} points: {FEWEST} to {MOST} are needed.", "Give one whole cycle of 720°.")
    angles = np.array([angle for angle, _ in points])
    steps = np.diff(angles)
    if float(angles[-1] - angles[0]) > 720.0 + 1e-6 or bool((steps <= 0.0).any()):
        raise _fault(path, "an angle is there twice, or there is more than one cycle.", "Give one cycle of 720°.")
    around = float(angles[0] + 720.0 - angles[-1])
    if max(float(steps.max()), around) > WIDEST_GAP_DEG:
        what = f"between two angles there are more than {WIDEST_GAP_DEG:g}°."
        raise _fault(path, what, "Give the whole cycle of 720°.")
    return Trace(tuple(angles.tolist()), tuple(BAR * bar for _, bar in points), f"pressure as given in {path.name}")


def _fault(path: Path, what: str, mend: str, line: int = 0) -> BlockwrightError:
    return BlockwrightError(Problem("pressure-file", what, mend).at(file=path.name, line=line))
