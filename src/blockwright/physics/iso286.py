"""Limits of size from a nominal size and a tolerance class, such as H7 of a bush or p6 of a pin.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| IT | _tolerance | width of the tolerance of a grade | µm |
| es, ei | _shaft | upper and lower limit deviation of a shaft (any outside size) | µm |
| ES, EI | _hole | upper and lower limit deviation of a hole (any inside size) | µm |
| delta | _step_to_finer | difference between a grade and the next finer one | µm |

ISO 286-1:2010, Tables 1 to 5, for sizes from 1 mm to 500 mm, grades 1 to 12 and the letters that an engine shop meets; the figures lie
in `materials/iso286.toml`. A hole of letter K to S gets the shaft's deviation with its sign turned, plus delta in the fine
grades, so that H7/p6 and P7/h6 have the same play.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_left
from dataclasses import dataclass
from functools import cache
from importlib import resources

SMALLEST_MM, LARGEST_MM = 1.0, 500.0
FINEST_OF_MOST_LETTERS = 3
COARSEST_WITH_DELTA = {"K": 8, "M": 8, "N": 8, "P": 7, "R": 7, "S": 7}
UPPER_OF_M6_OVER_250_UP_TO_315_UM = -9.0
"""The one printed figure that the rule for holes does not give (it would give -11)."""

_CLASS = re.compile(r"(?P<letter>JS|js|[A-Za-z])(?P<grade>\d{1,2})")


@dataclass(frozen=True)
class _Tables:
    """The figures of the standard, in µm, by columns of size."""

    up_to_mm: list[float]
    finely_up_to_mm: list[float]
    tolerance: dict[str, list[float]]
    upper: dict[str, list[float]]
    lower: dict[str, list[float]]

    def at(self, row: list[float], size_mm: float) -> float:
        """The figure of a row for a size; a row as long as the fine columns is read by them."""
        fine = len(row) == len(self.finely_up_to_mm)
        return row[bisect_left(self.finely_up_to_mm if fine else self.up_to_mm, size_mm)]

    @property
    def letters(self) -> tuple[str, ...]:
        """Letters of shafts."""
        return *self.upper, "js", *self.lower


def limits_of_size(nominal_m: float, tolerance_class: str) -> tuple[float, float]:
    """Lower and upper limit of size, m, of a hole (capital letter: F G H JS K M N P R S) or a shaft (small letter).

    Parameters
    ----------
    nominal_m : float
        Nominal size, 0.001 to 0.5 m.
    tolerance_class : str
        Letter and grade, such as "H7", "g6", "js5"; grades 3 to 12, for H, h, JS and js from 1, for K to 8.

    Raises
    ------
    ValueError
        For a class that is not held or a size out of range, in words.

    Notes
    -----
    JS and js stand at half a tolerance to either side, not rounded to whole micrometres.

    Example
    -------
    ISO 286-2:2010 prints +25/0 for H7 and -9/-25 for g6 over 30 mm up to 50 mm:

    >>> [f"{1e3 * limit:.3f}" for tolerance_class in ("H7", "g6") for limit in limits_of_size(0.05, tolerance_class)]
    ['50.000', '50.025', '49.975', '49.991']
    """
    letter, grade = _parsed(tolerance_class)
    size_mm = round(nominal_m * 1e3, 9)
    if not SMALLEST_MM <= size_mm <= LARGEST_MM:
        raise ValueError(f"{size_mm:g} mm: limits of size are held from {SMALLEST_MM:g} mm to {LARGEST_MM:g} mm only.")
    lower_um, upper_um = (_hole if letter.isupper() else _shaft)(letter, grade, size_mm)
    return nominal_m + lower_um * 1e-6, nominal_m + upper_um * 1e-6


def _parsed(tolerance_class: str) -> tuple[str, int]:
    found = _CLASS.fullmatch(tolerance_class.strip())
    if not found:
        raise ValueError(
            f"'{tolerance_class}' is no tolerance class. Write a letter and a grade: H7 (hole), g6 (shaft)."
        )
    letter, grade = found["letter"], int(found["grade"])
    if letter.lower() not in _tables().letters:
        held = ", ".join(sorted(_tables().letters))
        raise ValueError(
            f"'{tolerance_class}': letter {letter} is not held. Shafts: {held}; holes: the same in capitals."
        )
    finest = 1 if letter.lower() in ("h", "js") else FINEST_OF_MOST_LETTERS
    coarsest = COARSEST_WITH_DELTA["K"] if letter == "K" else len(_tables().tolerance)
    if not finest <= grade <= coarsest:
        raise ValueError(f"'{tolerance_class}': for {letter} the grades {finest} to {coarsest} are held.")
    return letter, grade


def _tolerance(grade: int, size_mm: float) -> float:
    return _tables().at(_tables().tolerance[str(grade)], size_mm)


def _shaft(letter: str, grade: int, size_mm: float) -> tuple[float, float]:
    tables, width = _tables(), _tolerance(grade, size_mm)
    if letter == "js":
        return -0.5 * width, 0.5 * width
    if letter in tables.upper:
        upper = tables.at(tables.upper[letter], size_mm)
        return upper - width, upper
    lower = 0.0 if letter == "k" and not 4 <= grade <= 7 else tables.at(tables.lower[letter], size_mm)
    return lower, lower + width


def _hole(letter: str, grade: int, size_mm: float) -> tuple[float, float]:
    tables, width = _tables(), _tolerance(grade, size_mm)
    if letter == "JS":
        return -0.5 * width, 0.5 * width
    if letter.lower() in tables.upper:
        lower = -tables.at(tables.upper[letter.lower()], size_mm)
        return lower, lower + width
    upper = _upper_of_hole(letter, grade, size_mm)
    return upper - width, upper


def _upper_of_hole(letter: str, grade: int, size_mm: float) -> float:
    """ES of the letters K to S."""
    if (letter, grade) == ("M", 6) and 250.0 < size_mm <= 315.0:
        return UPPER_OF_M6_OVER_250_UP_TO_315_UM
    turned = -_tables().at(_tables().lower[letter.lower()], size_mm)
    if grade <= COARSEST_WITH_DELTA[letter]:
        return turned + _step_to_finer(grade, size_mm)
    return 0.0 if letter == "N" and size_mm > 3.0 else turned


def _step_to_finer(grade: int, size_mm: float) -> float:
    return _tolerance(grade, size_mm) - _tolerance(grade - 1, size_mm) if size_mm > 3.0 else 0.0


@cache
def _tables() -> _Tables:
    text = resources.files("blockwright.materials").joinpath("iso286.toml").read_text(encoding="utf-8")
    return _Tables(**tomllib.loads(text))
