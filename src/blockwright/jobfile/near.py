"""The known word that comes nearest to one that is not known, for "did you mean"."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence

LONGEST_WORD = 60
NEAR_ENOUGH = 0.6
MOST_LISTED = 12


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word nearest to what was written, its case and gaps forgiven; an empty text where none is near."""
    if len(word) > LONGEST_WORD:
        return ""
    plain = {" ".join(name.lower().split()): name for name in known}
    found = difflib.get_close_matches(" ".join(word.lower().split()), plain, n=1, cutoff=NEAR_ENOUGH)
    return plain[found[0]] if found else ""


def meant(word: str, known: Iterable[str]) -> str:
    """`Did you mean 'bore'?`, or an empty text where no known word is near."""
    near = nearest(word, known)
    return f"Did you mean '{near}'?" if near else ""


def meant_or_listed(word: str, known: Sequence[str], listed_as: str) -> str:
    """The nearest known word; where none is near, the known words after `listed_as`."""
    return meant(word, known) or listed(known, listed_as)


def listed(known: Sequence[str], listed_as: str) -> str:
    """`Its spots: front, rear.`, cut where there are many; an empty text where there is nothing to list."""
    if not known:
        return ""
    more = f" and {len(known) - MOST_LISTED} more" if len(known) > MOST_LISTED else ""
    return f"{listed_as}: {', '.join(known[:MOST_LISTED])}{more}."


def meant_place(word: str, known: Sequence[str], listed_as: str) -> str:
    """The nearest known position with the same number; where there is none, the known ones after `listed_as`."""
    same = [name for name in known if _number(name) == _number(word)]
    near = nearest(word, same) or (same[0] if len(same) == 1 and _number(word) else "")
    return f"Did you mean '{near}'?" if near else listed(known, listed_as)


def _number(name: str) -> str:
    return "".join(sign for sign in name if sign.isdecimal())
