"""The rules of clocking, and a pattern checked against them.

Common practice, no source: rings that lie next to each other have their gaps well apart, so that gas and oil find no straight way; no gap
lies at a pin end or a thrust point; in a cylinder that lies flat no gap lies at the bottom, where oil stands. The joint of an expander is no gap,
and may lie anywhere. A piece that a dowel or a tab holds, or a support rail, goes where its maker says and is judged only against its neighbours.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from blockwright.choices.clocking.frame import PIN_DEG, THRUST_DEG, apart, bottom_deg, major_thrust_deg
from blockwright.engine.layout import Engine
from blockwright.engine.pack import Element, OilRing

CLEAR_OF_PIN_AND_THRUST_DEG = 15.0
CLEAR_OF_BOTTOM_DEG = 45.0
Pairs = Mapping[tuple[Element, Element], float]
"""Least angle between the gaps of two pieces, degrees."""

LEAST_APART_DEG: Pairs = {
    (Element.TOP, Element.SECOND): 90.0,
    (Element.SECOND, Element.UPPER_RAIL): 90.0,
    (Element.SECOND, Element.LOWER_RAIL): 90.0,
    (Element.SECOND, Element.OIL): 90.0,
    (Element.UPPER_RAIL, Element.EXPANDER): 45.0,
    (Element.EXPANDER, Element.LOWER_RAIL): 45.0,
    (Element.UPPER_RAIL, Element.LOWER_RAIL): 90.0,
}
WITHOUT_SECOND_DEG: Pairs = {
    (Element.TOP, Element.UPPER_RAIL): 90.0,
    (Element.TOP, Element.LOWER_RAIL): 90.0,
    (Element.TOP, Element.OIL): 90.0,
}
"""The top ring takes the second's place as the neighbour of the oil ring."""
BETTER_APART_DEG: Pairs = {
    (Element.TOP, Element.SECOND): 120.0,
    (Element.TOP, Element.UPPER_RAIL): 45.0,
    (Element.TOP, Element.OIL): 45.0,
}
"""Wishes beyond the rules."""
FREE_OF_PIN_AND_THRUST = (Element.TOP, Element.SECOND, Element.UPPER_RAIL, Element.LOWER_RAIL, Element.OIL)
ROUNDING_DEG = 1e-9

Pattern = Mapping[Element, float]
"""Degrees by piece."""


@dataclass(frozen=True)
class Fault:
    """One way in which a pattern breaks a rule; `wish` where it is a wish and no rule."""

    text: str
    elements: tuple[Element, ...]
    wish: bool = False


def elements_of(*, second: bool, oil: OilRing, support: bool) -> tuple[Element, ...]:
    """The pieces of a pack from the crown down."""
    pieces = [Element.TOP, *([Element.SECOND] if second else [])]
    if oil is OilRing.THREE_PIECE:
        pieces += [Element.UPPER_RAIL, Element.EXPANDER, Element.LOWER_RAIL]
    elif oil is OilRing.ONE_PIECE:
        pieces.append(Element.OIL)
    return (*pieces, *([Element.SUPPORT] if support else []))


def least_apart(pieces: Sequence[Element], held: Sequence[Element] = ()) -> Pairs:
    """The rules that hold between pieces. `held` are pieces of the pack that may have no angle: a second ring on its dowel is there all the same."""
    second = Element.SECOND in pieces or Element.SECOND in held
    return _of(LEAST_APART_DEG if second else {**LEAST_APART_DEG, **WITHOUT_SECOND_DEG}, pieces)


def better_apart(pieces: Sequence[Element], held: Sequence[Element] = ()) -> Pairs:
    """What is wanted between pieces: a rule or, where that asks for more, a wish."""
    rules = least_apart(pieces, held)
    wishes = _of(BETTER_APART_DEG, pieces)
    return {**rules, **{pair: max(least, rules.get(pair, 0.0)) for pair, least in wishes.items()}}


def _of(pairs: Pairs, pieces: Sequence[Element]) -> Pairs:
    return {pair: least for pair, least in pairs.items() if all(piece in pieces for piece in pair)}


def faults(engine: Engine, number: int, pattern: Pattern, held: Sequence[Element] = ()) -> tuple[Fault, ...]:
    """Every rule that a pattern breaks in a cylinder, in words; pieces that the maker holds are judged only against the others."""
    rules = least_apart(tuple(pattern), held)
    found = [
        fault
        for pair, better in better_apart(tuple(pattern), held).items()
        for fault in _too_near(pair, rules.get(pair, 0.0), better, pattern)
    ]
    for piece, angle in pattern.items():
        if piece not in held:
            found += _in_the_way(engine, number, piece, angle)
    return tuple(found)


def _too_near(pair: tuple[Element, Element], least: float, better: float, pattern: Pattern) -> list[Fault]:
    between = apart(pattern[pair[0]], pattern[pair[1]])
    head = f"{pair[0]} and {pair[1]} are {between:.0f}° apart"
    if between < least - ROUNDING_DEG:
        return [Fault(f"{head}; at least {least:.0f}° are wanted", pair)]
    if between < better - ROUNDING_DEG:
        return [Fault(f"{head}; {better:.0f}° to 180° would be better", pair, wish=True)]
    return []


def _in_the_way(engine: Engine, number: int, piece: Element, angle: float) -> list[Fault]:
    if piece not in FREE_OF_PIN_AND_THRUST:
        return []
    head = f"the {piece}'s gap at {angle:.0f}° lies within"
    found = [
        Fault(f"{head} {CLEAR_OF_PIN_AND_THRUST_DEG:.0f}° of {_named(engine, where)}", (piece,))
        for where in (*PIN_DEG, *THRUST_DEG)
        if apart(angle, where) <= CLEAR_OF_PIN_AND_THRUST_DEG + ROUNDING_DEG
    ]
    bottom = bottom_deg(engine, number)
    if bottom is not None and apart(angle, bottom) <= CLEAR_OF_BOTTOM_DEG + ROUNDING_DEG:
        found.append(Fault(f"{head} {CLEAR_OF_BOTTOM_DEG:.0f}° of the bottom of the bore, where oil stands", (piece,)))
    return found


def _named(engine: Engine, where: float) -> str:
    if where in PIN_DEG:
        return f"the {'front' if where == PIN_DEG[0] else 'rear'} pin end"
    return "the major thrust point" if where == major_thrust_deg(engine) else "the minor thrust point"
