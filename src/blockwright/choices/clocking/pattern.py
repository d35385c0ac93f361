"""A clocking pattern that keeps every rule: all patterns on a 15° grid that do are compared, and the same one wins every time.

Patterns that keep the wishes too are tried first. The best one has, first, the top and second gaps nearest to 180° apart; then the greatest
least distance beyond what the rules want between any two neighbours; then, as far as that costs nothing, no two gaps in one line down the piston,
whether they are neighbours or not; then the smallest angles in the order of the pack, which only breaks ties.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache

from blockwright.choices.clocking.frame import apart
from blockwright.choices.clocking.rules import ROUNDING_DEG, Pairs, Pattern, better_apart, faults, least_apart
from blockwright.engine.layout import Engine
from blockwright.engine.pack import Element

GRID_DEG = 15
IN_LINE_DEG = 15.0
"""Gaps nearer than this lie in one line down the piston."""


def propose(
    engine: Engine,
    number: int,
    pieces: Sequence[Element],
    fixed: Mapping[Element, float] | None = None,
    held: Sequence[Element] = (),
) -> Pattern | None:
    """Degrees for every one of these pieces in a cylinder; `None` where the rules leave no place for one that is free.

    Pieces in `fixed` stay where they are, whatever rule they break among themselves; those in `held` that are not among the pieces are
    where their maker has them, and nobody knows where.
    """
    choices = tuple((piece, _choices(engine, number, piece, fixed or {})) for piece in pieces)
    return _best(choices, frozenset(fixed or ()), tuple(held))


@lru_cache(maxsize=256)
def _best(
    choices: tuple[tuple[Element, tuple[float, ...]], ...], fixed: frozenset[Element], held: tuple[Element, ...]
) -> Pattern | None:
    pieces = [piece for piece, _ in choices]
    rules = least_apart(pieces, held)
    for wanted in (better_apart(pieces, held), rules):
        found = list(
            _search(choices, {pair: least for pair, least in wanted.items() if not fixed.issuperset(pair)}, {})
        )
        if found:
            widest = max(map(_top_to_second, found))
            return max(
                (pattern for pattern in found if _top_to_second(pattern) == widest),
                key=lambda pattern: _score(pattern, rules),
            )
    return None


def _choices(engine: Engine, number: int, piece: Element, fixed: Mapping[Element, float]) -> tuple[float, ...]:
    """Angles at which a piece alone breaks no rule."""
    if piece in fixed:
        return (fixed[piece],)
    return tuple(float(angle) for angle in range(0, 360, GRID_DEG) if not faults(engine, number, {piece: float(angle)}))


def _search(
    choices: tuple[tuple[Element, tuple[float, ...]], ...], pairs: Pairs, sofar: dict[Element, float]
) -> Iterator[dict[Element, float]]:
    if not choices:
        yield dict(sofar)
        return
    (piece, angles), *rest = choices
    others = [(one, least) for (one, other), least in pairs.items() if other is piece and one in sofar]
    for angle in angles:
        if all(apart(angle, sofar[other]) >= least - ROUNDING_DEG for other, least in others):
            yield from _search(tuple(rest), pairs, {**sofar, piece: angle})


def _top_to_second(pattern: Pattern) -> float:
    """What counts before everything else: the angle between the gaps of the top and the second ring."""
    both = Element.TOP in pattern and Element.SECOND in pattern
    return apart(pattern[Element.TOP], pattern[Element.SECOND]) if both else 0.0


def _score(pattern: Pattern, rules: Pairs) -> tuple[float, ...]:
    """What counts among patterns that have the same angle between top and second."""
    spare = min((apart(pattern[a], pattern[b]) - wanted for (a, b), wanted in rules.items()), default=0.0)
    gaps = [angle for piece, angle in pattern.items() if piece is not Element.EXPANDER]
    in_line = min((apart(one, other) for one, other in itertools.combinations(gaps, 2)), default=0.0)
    return (spare, min(in_line, IN_LINE_DEG), *(-angle for angle in pattern.values()))
