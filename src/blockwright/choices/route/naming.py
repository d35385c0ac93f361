"""Which step is meant by what was typed."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable, Sequence

from blockwright.problems import BlockwrightError, Problem, excerpt

NEAR_ENOUGH = 0.6
MOST_LISTED = 6
LONGEST = 80


def step_meant(typed: str, keys: Sequence[str]) -> str:
    """The key that was typed, whole or shortened as far as it stays clear. Raises BlockwrightError with what was meant, or may have been."""
    wanted = _plain(typed)
    tests: tuple[Callable[[str], bool], ...] = (
        lambda key: key == wanted,
        lambda key: key.partition(": ")[2] == wanted,
        lambda key: key.startswith(wanted) or key.partition(": ")[2].startswith(wanted),
        lambda key: all(any(word.startswith(part) for word in key.split()) for part in wanted.split()),
    )
    for test in tests if wanted else ():
        found = [key for key in keys if test(_plain(key))]
        if len(found) == 1:
            return found[0]
        if found:
            more = f" and {len(found) - MOST_LISTED} more" if len(found) > MOST_LISTED else ""
            what = f"'{excerpt(typed)}' may be any of {len(found)} steps."
            mend = f"Say which: {', '.join(found[:MOST_LISTED])}{more}."
            raise BlockwrightError(Problem("step-which", what, mend))
    mend = meant(typed, keys) or "The keys are shown by 'blockwright route show'."
    raise BlockwrightError(Problem("step-unknown", f"the route has no step '{excerpt(typed)}'.", mend))


def meant(typed: str, keys: Iterable[str]) -> str:
    """`Did you mean 'final: piston 3'?`; nothing where no key is near. Keys with the same number go before others."""
    if len(typed) > LONGEST:
        return ""
    plain = {_plain(key): key for key in keys}
    found = difflib.get_close_matches(_plain(typed), plain, n=5, cutoff=NEAR_ENOUGH)
    same = [key for key in found if _number(key) == _number(typed)]
    best = (same or found)[:1]
    return f"Did you mean '{plain[best[0]]}'?" if best else ""


def _plain(text: str) -> str:
    return " ".join(text.lower().split())


def _number(text: str) -> str:
    return "".join(sign for sign in text if sign.isdecimal())
