"""What a builder sweeps for: the aims that a best case is looked for by, among those against which nothing speaks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from blockwright.problems import BlockwrightError, Place, Problem, excerpt
from blockwright.running.sweep.rows import Row


@dataclass(frozen=True)
class Aim:
    """An aim in words, the numbers of a row that are added up for it, and whether more is better."""

    words: str
    names: tuple[str, ...]
    most: bool

    def value(self, row: Row) -> float | None:
        """What a row brings; None where a number is missing."""
        found = [getattr(row, name) for name in self.names]
        return None if any(each is None for each in found) else math.fsum(found)


AIMS = (
    Aim("thickest rod film", ("rod_film_m",), True),
    Aim("thickest main film", ("main_film_m",), True),
    Aim("least blow-by", ("blow_by_share",), False),
    Aim("least bearing loss", ("rod_loss_w", "main_loss_w"), False),
    Aim("coolest crown", ("crown_c",), False),
)
BLOW_BY = AIMS[2]


def aim_of(words: str, varied: Sequence[str]) -> Aim:
    """The aim that is stated; where none is, that of what is varied. Raises BlockwrightError for one that is not known."""
    if not words:
        gaps = {"top_gap", "second_gap"} & set(varied)
        mains = "main_film" in varied and "rod_film" not in varied
        return AIMS[1] if mains else BLOW_BY if gaps and "rod_film" not in varied else AIMS[0]
    found = next((aim for aim in AIMS if aim.words == " ".join(words.casefold().split())), None)
    if found is None:
        known = ", ".join(f"'{aim.words}'" for aim in AIMS)
        what = f"'{excerpt(words)}' is nothing that a best case is looked for by."
        raise BlockwrightError(Problem("sweep-aim", what, f"Say one of: {known}.", Place(field="best")))
    return found


def ranked(rows: Sequence[Row], aim: Aim) -> tuple[int, ...]:
    """Places of the rows, the best first: sound ones by the aim, then the others by it, then those that lack its number."""

    def key(index: int) -> tuple[bool, bool, float]:
        value = aim.value(rows[index])
        return value is None, not rows[index].sound, 0.0 if value is None else -value if aim.most else value

    return tuple(sorted(range(len(rows)), key=key))


def best(rows: Sequence[Row], aim: Aim) -> int | None:
    """Place of the best row; None where no sound one has the number."""
    first = next(iter(ranked(rows, aim)), None)
    return first if first is not None and rows[first].sound and aim.value(rows[first]) is not None else None
