"""State and temperatures are entered once for a part and sitting; the other rows of the sitting take them from there.

A blank cell takes the one value that other rows of the same sitting state: `state` and `part_temp` for the same part, `gauge_temp` for
the same gauge, `bore_temp` for the same position. Where they state several, a blank is a problem, so that the order of rows never matters.
A withdrawn row counts only where no other row of its sitting states anything. `not known` in a cell takes nothing and states nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from blockwright.engine.features import FEATURES
from blockwright.engine.states import read_state
from blockwright.metrology.evaluate import Thermal
from blockwright.problems import Problem
from blockwright.quantities import Kind, QuantityError, parse
from blockwright.quantities.errors import excerpt

Cells = Mapping[str, str]
NOT_KNOWN = "not known"
MOST_NAMED = 3


@dataclass(frozen=True)
class Inherited:
    """A column whose blank cells are filled: from rows that agree in `keys`, where a feature answers to temperature in one of these ways."""

    column: str
    keys: tuple[str, ...]
    thermal: tuple[Thermal, ...]

    def wanted_by(self, cells: Cells) -> bool:
        """Whether a row with a sitting has a use for this column."""
        feature = FEATURES.get(cells.get("feature", "").lower())
        return feature is not None and feature.thermal in self.thermal and bool(cells.get("sitting"))

    def group(self, cells: Cells) -> tuple[str, ...]:
        """What a row shares with those that it takes this column from."""
        return tuple(cells.get(key, "") for key in self.keys)


INHERITED = (
    Inherited("state", ("sitting", "part"), tuple(Thermal)),
    Inherited("part_temp", ("sitting", "part"), (Thermal.SIZE, Thermal.GAP)),
    Inherited("gauge_temp", ("sitting", "gauge"), (Thermal.SIZE,)),
    Inherited("bore_temp", ("sitting", "at"), (Thermal.GAP,)),
)


class Stated:
    """What the rows of each sitting state, for one column."""

    def __init__(self, rule: Inherited, rows: Sequence[Cells]) -> None:
        self._rule = rule
        live: dict[tuple[str, ...], dict[object, str]] = {}
        withdrawn: dict[tuple[str, ...], dict[object, str]] = {}
        for cells in rows:
            text = cells.get(rule.column, "")
            value = meaning(rule.column, text) if text and cells.get("sitting") else None
            if value is not None:
                stated = (withdrawn if cells.get("withdrawn") else live).setdefault(rule.group(cells), {})
                stated[value] = min(text, stated.get(value, text))
        self._texts = {group: sorted(texts.values()) for group, texts in {**withdrawn, **live}.items()}

    def texts(self, cells: Cells) -> Sequence[str]:
        """The values that a blank cell of this row could take, one text for each, in order."""
        return self._texts.get(self._rule.group(cells), ())


Found = tuple[int, str, Problem]
"""Index of a row, a column, and what is wrong there."""


def filled(rows: Sequence[Cells]) -> tuple[list[dict[str, str]], list[Found]]:
    """The cells of each row as they are used, and what is wrong with those that cannot be filled."""
    used = [dict(cells) for cells in rows]
    problems: list[Found] = []
    for rule in INHERITED:
        stated = Stated(rule, rows)
        for index, cells in enumerate(rows):
            if cells.get(rule.column) or not rule.wanted_by(cells):
                continue
            texts = stated.texts(cells)
            if len(texts) == 1:
                used[index][rule.column] = texts[0]
            elif texts and cells.get("value") and not cells.get("withdrawn"):
                problems.append((index, rule.column, _ambiguous(rule, texts, cells)))
    return used, problems


@lru_cache(maxsize=4096)
def meaning(column: str, text: str) -> object | None:
    """What a cell of an inherited column says; `None` where that is nothing, or cannot be read."""
    if not text or text.lower() == NOT_KNOWN:
        return None
    if column == "state":
        state, problems = read_state(text)
        return None if problems else state or None
    try:
        return parse(text, Kind.TEMPERATURE, unit="°C").si
    except QuantityError:
        return None


def _ambiguous(rule: Inherited, texts: Sequence[str], cells: Cells) -> Problem:
    whose = " and ".join(f"{key} '{excerpt(cells.get(key, ''))}'" for key in rule.keys)
    several = [f"'{excerpt(text)}'" for text in texts[:MOST_NAMED]] + (["more"] if len(texts) > MOST_NAMED else [])
    what = f"{rule.column} is blank here, and for {whose} other rows say {' and '.join(several)}."
    return Problem("inherit-ambiguous", what, "Write it in this row, or make two sittings of it.")
