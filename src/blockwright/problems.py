"""What is wrong, where, and the mend: the one form in which this project speaks of bad input.

A `Problem` is one fault in plain words. Readers collect them and go on; a `BlockwrightError` carries those that stop the work. What a builder
typed is echoed by `excerpt` alone, so that no message is longer than a line or two, or does strange things to a terminal.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

SHOWN_CHARACTERS = 40
_UNPRINTABLE = "\N{REPLACEMENT CHARACTER}"


@dataclass(frozen=True, order=True)
class Place:
    """Where a problem sits: a file, a line of it (1 is the first) and a field, each as far as it is known."""

    file: str = ""
    line: int = 0
    field: str = ""

    def __str__(self) -> str:
        parts = [self.file] if self.file else []
        if self.line:
            parts.append(f"line {self.line}")
        if self.field:
            parts.append(self.field)
        return ", ".join(parts)


@dataclass(frozen=True)
class Problem:
    """One fault: a short stable code, what is wrong, what would mend it, and where."""

    code: str
    what: str
    mend: str = ""
    place: Place = Place()

    def at(self, *, file: str = "", line: int = 0, field: str = "") -> Problem:
        """The same problem with what is known of its place filled in; what was known stays."""
        here = self.place
        place = Place(here.file or file, here.line or line, here.field or field)
        return replace(self, place=place)

    def __str__(self) -> str:
        where = str(self.place)
        text = f"{where}: {self.what}" if where else self.what
        return f"{text} {self.mend}" if self.mend else text


class BlockwrightError(Exception):
    """Input that cannot be used. Carries every problem found, in the order of the input."""

    def __init__(self, problems: Problem | Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = (problems,) if isinstance(problems, Problem) else tuple(problems)
        super().__init__()

    def __str__(self) -> str:
        return "\n".join(str(problem) for problem in self.problems)


def printable(text: str) -> str:
    """The text on one line, without signs that a terminal would act on."""
    return "".join(sign if sign.isprintable() else _UNPRINTABLE for sign in text)


def excerpt(text: str) -> str:
    """The text on one line, safe to print, cut where it is long."""
    start = printable(text[:SHOWN_CHARACTERS])
    return start if len(text) <= SHOWN_CHARACTERS else f"{start}…"
