"""Where a fault sits in a TOML file, and which of its values are at fault, so that one fault is told once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from blockwright.jobfile.toml_layout import Path
from blockwright.jobfile.toml_lines import Lines
from blockwright.problems import Place, Problem
from blockwright.quantities.errors import excerpt


@dataclass
class Faulty:
    """Paths in a file at which something is wrong, and every path that leads to one of them."""

    here: set[Path] = field(default_factory=set)
    within: set[Path] = field(default_factory=set)

    def add(self, path: Path) -> None:
        """Something is wrong at this path."""
        self.here.add(path)
        self.within.update(path[:end] for end in range(len(path)))

    def touches(self, path: Path) -> bool:
        """Whether something is wrong at a path, within it, or with something that it lies in."""
        return path in self.within or self.reaches(path)

    def reaches(self, path: Path) -> bool:
        """Whether something is wrong at a path as a whole, or with something that it lies in."""
        return any(path[:end] in self.here for end in range(len(path) + 1))


class Where:
    """A place in a file that is being read, and the list that its problems go to.

    `around` are the tables that the place lies in, each with its path, innermost first.
    """

    __slots__ = ("around", "faulty", "file", "lines", "path", "problems")

    def __init__(self, file: str, lines: Lines, problems: list[Problem], path: Path = ()) -> None:
        self.file, self.lines, self.problems, self.path = file, lines, problems, path
        self.around: tuple[tuple[Mapping[str, Any], Path], ...] = ()
        self.faulty = Faulty()

    def at(self, *keys: str | int) -> Where:
        """Some steps further in."""
        return self.of((*self.path, *keys))

    def of(self, path: Path) -> Where:
        """Another place of the same file."""
        other = Where(self.file, self.lines, self.problems, path)
        other.around, other.faulty = self.around, self.faulty
        return other

    def within(self, table: Mapping[str, Any]) -> Where:
        """The same place, with a table that fields further in may look at."""
        inner = self.at()
        inner.around = ((table, self.path), *self.around)
        return inner

    def say(self, code: str, what: str, mend: str = "") -> None:
        """Put down a problem here."""
        self.put(Problem(code, what, mend))

    def put(self, problem: Problem) -> None:
        """Put down a problem found elsewhere as one of this place."""
        place = Place(self.file, self.lines.of(self.path), self.name)
        self.problems.append(Problem(problem.code, problem.what, problem.mend, place))
        self.mark()

    def mark(self) -> None:
        """Something is wrong here, which has been told elsewhere."""
        self.faulty.add(self.path)

    @property
    def sound(self) -> bool:
        """Whether nothing is wrong here, within, or with what this lies in."""
        return not self.faulty.touches(self.path)

    @property
    def at_fault(self) -> bool:
        """Whether this itself, or something that it lies in, is at fault as a whole."""
        return self.faulty.reaches(self.path)

    @property
    def name(self) -> str:
        """The path as a builder would say it: `part 3, alloy`."""
        words: list[str] = []
        for step in self.path:
            if isinstance(step, int):
                words[-1] += f" {step + 1}"
            else:
                words.append(excerpt(step))
        return ", ".join(words)
