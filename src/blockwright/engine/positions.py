"""Where things go in an engine: cylinder 3, main 2, throw 4, bank 1, the stage after main 2."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from blockwright.quantities.numerals import whole_number


class Place(StrEnum):
    """Kinds of position."""

    CYLINDER = "cylinder"
    MAIN = "main"
    THROW = "throw"
    BANK = "bank"
    STAGE = "stage"
    ENGINE = "engine"


@dataclass(frozen=True)
class Position:
    """One position; `label` is its number, or the name of a stage."""

    place: Place
    label: str = ""

    @property
    def number(self) -> int:
        """The number of a numbered position."""
        return int(self.label)

    def __str__(self) -> str:
        return f"{self.place} {self.label}".strip()

    @property
    def sort_key(self) -> tuple[int, int, str]:
        """Order for listing: by kind, then number."""
        kinds = list(Place)
        return kinds.index(self.place), whole_number(self.label) or 0, self.label


def position(text: str) -> Position | None:
    """`"cylinder 3"` -> its position; `None` where the text is no position."""
    word, _, rest = text.strip().partition(" ")
    try:
        place = Place(word.lower())
    except ValueError:
        return None
    label = " ".join(rest.split())
    if place is Place.ENGINE:
        return Position(place) if not label else None
    if place is Place.STAGE:
        return Position(place, label) if label else None
    number = whole_number(label)
    return None if number is None else Position(place, str(number))


def cylinder(number: int) -> Position:
    """The position of a cylinder by the maker's number."""
    return Position(Place.CYLINDER, str(number))


def main(number: int) -> Position:
    """The position of a main bearing, 1 at the front."""
    return Position(Place.MAIN, str(number))


def throw(number: int) -> Position:
    """The position of a crank throw, 1 at the front."""
    return Position(Place.THROW, str(number))


ENGINE = Position(Place.ENGINE)
