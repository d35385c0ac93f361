"""A clocking pattern that keeps every rule: all patterns on a 15° grid that do are compared, and the same one wins every time.

The best pattern has, first, the top and second gaps nearest to 180° apart; then the greatest least distance beyond what the rules want
between any two neighbours; then the smallest angles in the order of the pack, which only breaks ties.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from blockwright.choices.clocking.frame import apart
from blockwright.choices.clocking.rules import Pattern, faults, least_apart
from blockwright.engine.layout import Engine
from blockwright.engine.pack import Element

GRID_DEG = 15

Pairs = Mapping[tuple[Element, Element], float]


def propose(engine: Engine, number: int, pieces: tuple[Element, ...], fixed: Mapping[Element, float]) -> Pattern | None:
    """Degrees for every piece of a pack in a cylinder, those in `fixed` as they are; `None` where no pattern keeps the rules.

    A support rail that is not fixed is left out: it goes where its maker says.
    """
    placed = tuple(piece for piece in pieces if piece is not Element.SUPPORT or piece in fixed)
    choices = [_choices(engine, number, piece, fixed) for piece in placed]
    pairs = least_apart(placed)
    found = _search(placed, choices, pairs, {})
    return max(found, key=lambda pattern: _score(pattern, pairs), default=None)


def _choices(engine: Engine, number: int, piece: Element, fixed: Mapping[Element, float]) -> list[float]:
    """Angles at which a piece alone breaks no rule."""
    if piece in fixed:
        return [fixed[piece]]
    return [float(angle) for angle in range(0, 360, GRID_DEG) if not faults(engine, number, {piece: float(angle)})]


def _search(
    pieces: tuple[Element, ...], choices: list[list[float]], pairs: Pairs, sofar: dict[Element, float]
) -> Iterator[dict[Element, float]]:
    if len(sofar) == len(pieces):
        yield dict(sofar)
        return
    piece = pieces[len(sofar)]
    others = [(one, angle) for (one, other), angle in pairs.items() if other is piece and one in sofar]
    for angle in choices[len(sofar)]:
        if all(apart(angle, sofar[other]) >= least for other, least in others):
            yield from _search(pieces, choices, pairs, {**sofar, piece: angle})


def _score(pattern: Pattern, pairs: Pairs) -> tuple[float, ...]:
    first = apart(pattern[Element.TOP], pattern[Element.SECOND]) if Element.SECOND in pattern else 0.0
    spare = min((apart(pattern[a], pattern[b]) - wanted for (a, b), wanted in pairs.items()), default=0.0)
    return (first, spare, *(-angle for angle in pattern.values()))
