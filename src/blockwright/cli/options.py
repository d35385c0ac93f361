"""Options and arguments that several commands take, read in the words of the trade."""

from __future__ import annotations

from blockwright.problems import BlockwrightError, Place, Problem, excerpt
from blockwright.quantities import whole_number


def cylinder_number(typed: str | int) -> int:
    """A cylinder by its number. Raises BlockwrightError for anything else that was typed."""
    text = str(typed).strip()
    number = whole_number(text)
    if number is None:
        what, mend = f"'{excerpt(text)}' is no number of a cylinder.", "Write it as a whole number: 3."
        raise BlockwrightError(Problem("cylinder-number", what, mend, Place(field="cylinder")))
    return number
