"""Problems on standard error: wrapped at 80 columns, and the same fault on several lines of a file told once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby
from textwrap import wrap

from blockwright.problems import Place, Problem, printable

WIDE = 80


def told(problems: Sequence[Problem]) -> str:
    """All that must be mended, as lines."""
    count = len(problems)
    head = "One thing must be mended first:" if count == 1 else f"{count} things must be mended first:"
    texts = (printable(text) for text in _texts(problems))
    lines = (
        wrap(text, WIDE, initial_indent="  ", subsequent_indent="    ", break_on_hyphens=False, break_long_words=False)
        for text in texts
    )
    return "\n".join([head, *(line for each in lines for line in each)]) + "\n"


def _texts(problems: Sequence[Problem]) -> Iterator[str]:
    """Each problem as a text; those that differ in their line alone together, where the first of them stands."""
    alike: defaultdict[Problem, list[int]] = defaultdict(list)
    for problem in problems:
        alike[replace(problem, place=replace(problem.place, line=0))].append(problem.place.line)
    for problem, lines in alike.items():
        place = problem.place
        if len(lines) == 1 or not all(lines):
            yield str(replace(problem, place=Place(place.file, lines[0], place.field)))
            continue
        where = ", ".join(part for part in (place.file, f"lines {_runs(lines)}", place.field) if part)
        yield f"{where}: {replace(problem, place=Place())}"


def _runs(lines: Sequence[int]) -> str:
    """`112 to 119 and 130`."""
    said = []
    for _, group in groupby(enumerate(lines), key=lambda pair: pair[1] - pair[0]):
        numbers = [line for _, line in group]
        said += [str(each) for each in numbers] if len(numbers) < 3 else [f"{numbers[0]} to {numbers[-1]}"]
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} and {said[-1]}"
