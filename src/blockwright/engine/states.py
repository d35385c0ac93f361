"""The state a part is in when it is measured: plate on or off, caps torqued, shells in, studs in, coated, free.

A bore without its torque plate is another quantity than the bore with it. A state is a set of words from a closed list; each word
has one that excludes it.
"""

from __future__ import annotations

import difflib

from blockwright.problems import Problem, excerpt

State = frozenset[str]

OPPOSITES = {
    "plate on": "plate off",
    "caps torqued": "caps off",
    "case torqued": "case apart",
    "shells in": "shells out",
    "studs in": "studs out",
    "coated": "bare",
    "fitted": "free",
}
EXCLUDES = OPPOSITES | {other: word for word, other in OPPOSITES.items()}
WORDS = tuple(EXCLUDES)


def read_state(text: str) -> tuple[State, tuple[Problem, ...]]:
    """`"plate on; caps torqued"` -> the state, with a problem for each unknown word and each pair that excludes itself."""
    words = [" ".join(word.lower().split()) for word in text.replace(",", ";").split(";") if word.strip()]
    problems = [_unknown(word) for word in words if word not in EXCLUDES]
    known = frozenset(word for word in words if word in EXCLUDES)
    problems += [
        Problem("state-contradiction", f"the state says both '{word}' and '{other}'.", "Keep the one that held.")
        for word, other in OPPOSITES.items()
        if word in known and other in known
    ]
    return known, tuple(problems)


def show_state(state: State) -> str:
    """The state as it is written in the readings, in the list's own order."""
    return "; ".join(word for word in WORDS if word in state)


def contradicts(state: State, wanted: State) -> bool:
    """Whether a word of `state` excludes a word of `wanted`."""
    return any(EXCLUDES[word] in state for word in wanted)


def _unknown(word: str) -> Problem:
    near = difflib.get_close_matches(word, WORDS, n=1, cutoff=0.6)
    mend = f"Did you mean '{near[0]}'?" if near else f"The words are: {', '.join(WORDS)}."
    return Problem("state-unknown", f"'{excerpt(word)}' is no state that is known here.", mend)
