"""Ranges as they are written on the command line: `3000..7000 rpm / 9`, `30, 40, 50 um`, `+0.1 mm, +0.2 mm`, `measured`.

| written | means |
| --- | --- |
| a, b, c unit | these values; one without a unit takes that of the next that has one |
| a..b unit / n | n values from a to b, evenly, both ends among them |
| with + or - (clearances and gaps) | moved by so much from what was measured, each cylinder or bearing by itself |
| measured (clearances and gaps) | as measured |
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from blockwright.engine.duty import Duty
from blockwright.materials.oils import grade
from blockwright.problems import BlockwrightError, Problem, excerpt
from blockwright.quantities import Kind, parse, whole_number
from blockwright.quantities.declared import entries_of
from blockwright.quantities.numerals import read_numeral
from blockwright.running.sweep.cases import AS_MEASURED, Change, Ranges

FEWEST, MOST = 2, 1000
MEASURED = "measured"
DUTIES = {
    "speed": ("speed_rad_s", "at_speed"), "power": ("power_w", "power"), "boost": ("boost_pa", "boost"),
    "coolant": ("coolant_c", "coolant"), "oil-temperature": ("oil_c", "oil"),
}  # fmt: skip
"""Option, number of a case, and the field of the duty that says its kind and what is plausible."""
COLD = {
    "wall": "wall", "top-gap": "top_gap", "second-gap": "second_gap", "rod-film": "rod_film", "main-film": "main_film",
}  # fmt: skip


@dataclass(frozen=True)
class Item:
    """One value as written, or the ends of an even row of `count`."""

    low: str
    high: str = ""
    count: int = 1


def ranges_of(written: dict[str, str]) -> Ranges:
    """The ranges that were written, by option; an empty text leaves the job's own.

    Raises
    ------
    BlockwrightError
        With every option that cannot be read, and its mend.
    """
    problems: list[Problem] = []
    held: dict[str, tuple[object, ...]] = {}
    for option, name, read in _readers():
        text = written.get(option, "").strip()
        if text:
            try:
                held[name] = tuple(dict.fromkeys(read(text)))
            except BlockwrightError as error:
                problems += [problem.at(field=option) for problem in error.problems]
    if problems:
        raise BlockwrightError(problems)
    return Ranges(**held)  # type: ignore[arg-type]


def _readers() -> Iterator[tuple[str, str, Callable[[str], Sequence[object]]]]:
    declared = entries_of(Duty)
    for option, (name, key) in DUTIES.items():
        _, entry, _ = declared[key]
        assert entry.kind is not None and entry.span is not None
        yield option, name, lambda text, kind=entry.kind, span=entry.span: _numbers(text, kind, span)  # type: ignore[misc]
    yield "oil", "oil", _oils
    for option, name in COLD.items():
        yield option, name, _changes


def _oils(text: str) -> list[str]:
    found = [each.strip() for each in text.split(",") if each.strip()]
    for each in found:
        grade(each)
    return found


def _numbers(text: str, kind: Kind, span: tuple[str, str]) -> list[float]:
    low, high = (parse(end, kind).si for end in span)
    found = [value for item in items(text) for value in _row(item, lambda word: parse(word, kind, signed=True).si)]
    for value in found:
        if not low - 1e-9 * abs(low) <= value <= high + 1e-9 * abs(high):
            what = f"'{excerpt(text)}' goes beyond {span[0]} to {span[1]}."
            raise BlockwrightError(Problem("sweep-span", what, "Check the numbers and their unit."))
    return found


def _changes(text: str) -> list[Change]:
    return [change for item in items(text) for change in _cold(item)]


def _cold(item: Item) -> list[Change]:
    if item.low.casefold() == MEASURED and not item.high:
        return [AS_MEASURED]
    steps = {bool(read_numeral(end).sign) for end in (item.low, item.high) if end}
    if len(steps) > 1:
        what = f"'{excerpt(item.low)}..{excerpt(item.high)}' is half a step and half a size."
        raise BlockwrightError(
            Problem("sweep-steps", what, "Write both ends with a sign (+0..+0.2 mm / 3), or neither.")
        )
    return [
        Change(value, steps == {True}) for value in _row(item, lambda word: parse(word, Kind.LENGTH, signed=True).si)
    ]


def _row(item: Item, read: Callable[[str], float]) -> list[float]:
    low = read(item.low)
    if not item.high:
        return [low]
    step = (read(item.high) - low) / (item.count - 1)
    return [low + step * n for n in range(item.count - 1)] + [read(item.high)]


def items(text: str) -> list[Item]:
    """The values and even rows of a text, each end with its unit."""
    if re.search(r"[0-9],[0-9]", text):
        what = f"'{excerpt(text)}': a comma between two digits may part a list or a decimal."
        raise BlockwrightError(
            Problem("sweep-comma", what, "Put a blank after each comma of a list, and write decimals with a point.")
        )
    found: list[Item] = []
    unit = ""
    for part in reversed([each.strip() for each in text.split(",")]):
        if not part:
            raise BlockwrightError(
                Problem("sweep-empty", f"'{excerpt(text)}' lacks a value.", "Write one between two commas.")
            )
        item = _item(part)
        ends = [each for each in (item.high, item.low) if each]
        shown = []
        for end in ends:
            own = "" if end.casefold() == MEASURED else read_numeral(end).rest
            unit = own or unit
            shown.append(end if own or end.casefold() == MEASURED else f"{end} {unit}".strip())
        found.append(Item(shown[-1], shown[0] if item.high else "", item.count))
    return found[::-1]


def _item(part: str) -> Item:
    if ".." not in part:
        return Item(part)
    span, slash, count = part.rpartition("/")
    number = whole_number(count.strip())
    if not slash or number is None or not FEWEST <= number <= MOST:
        what = f"'{excerpt(part)}' does not say how many values it holds."
        raise BlockwrightError(
            Problem("sweep-count", what, f"Write it as 3000..7000 rpm / 9: {FEWEST} to {MOST} values.")
        )
    low, _, high = span.partition("..")
    if not low.strip() or not high.strip():
        what = f"'{excerpt(part)}' lacks an end."
        raise BlockwrightError(Problem("sweep-ends", what, "Write it as 3000..7000 rpm / 9."))
    return Item(low.strip(), high.strip(), number)
