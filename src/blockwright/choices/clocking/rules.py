"""The rules of clocking, and a pattern checked against them.

Common practice, no source: rings that lie next to each other have their gaps well apart, so that gas and oil find no straight way; no gap
lies at a pin end or a thrust point; in a cylinder that lies flat no gap lies at the bottom, where oil stands. A piece that a dowel or a tab
holds, or a support rail, goes where its maker says and is only told of.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from blockwright.choices.clocking.frame import PIN_DEG, THRUST_DEG, apart, bottom_deg, major_thrust_deg
from blockwright.engine.layout import Engine
from blockwright.engine.pack import Element, OilRing

CLEAR_OF_PIN_AND_THRUST_DEG = 15.0
CLEAR_OF_BOTTOM_DEG = 45.0
LEAST_APART_DEG = {
    (Element.TOP, Element.SECOND): 90.0,
    (Element.TOP, Element.OIL): 90.0,
    (Element.TOP, Element.UPPER_RAIL): 45.0,
    (Element.SECOND, Element.UPPER_RAIL): 90.0,
    (Element.SECOND, Element.OIL): 90.0,
    (Element.SECOND, Element.LOWER_RAIL): 90.0,
    (Element.UPPER_RAIL, Element.EXPANDER): 45.0,
    (Element.EXPANDER, Element.LOWER_RAIL): 45.0,
    (Element.UPPER_RAIL, Element.LOWER_RAIL): 90.0,
}
WANTED_APART_DEG = {(Element.TOP, Element.SECOND): (120.0, 180.0)}
FREE_OF_PIN_AND_THRUST = (Element.TOP, Element.SECOND, Element.UPPER_RAIL, Element.LOWER_RAIL, Element.OIL)

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


def least_apart(pieces: Sequence[Element]) -> dict[tuple[Element, Element], float]:
    """The rules that hold in a pack: without a second ring, the top ring and the first oil piece are neighbours."""
    rules = {pair: angle for pair, angle in LEAST_APART_DEG.items() if all(piece in pieces for piece in pair)}
    if Element.SECOND not in pieces and (Element.TOP, Element.UPPER_RAIL) in rules:
        rules[(Element.TOP, Element.UPPER_RAIL)] = 90.0
    return rules


def faults(engine: Engine, number: int, pattern: Pattern, held: Sequence[Element] = ()) -> tuple[Fault, ...]:
    """Every rule that a pattern breaks in a cylinder, in words; pieces that the maker holds are judged only against the others."""
    found = [fault for pair, angle in least_apart(tuple(pattern)).items() for fault in _too_near(pair, angle, pattern)]
    for piece, angle in pattern.items():
        if piece not in held:
            found += _in_the_way(engine, number, piece, angle)
    return tuple(found)


def _too_near(pair: tuple[Element, Element], least: float, pattern: Pattern) -> list[Fault]:
    between = apart(pattern[pair[0]], pattern[pair[1]])
    if between < least - 1e-9:
        return [Fault(f"{pair[0]} and {pair[1]} are {between:.0f}° apart; at least {least:.0f}° are wanted", pair)]
    low = WANTED_APART_DEG.get(pair, (0.0, 180.0))[0]
    if between < low - 1e-9:
        return [
            Fault(
                f"{pair[0]} and {pair[1]} are {between:.0f}° apart; {low:.0f}° to 180° would be better", pair, wish=True
            )
        ]
    return []


def _in_the_way(engine: Engine, number: int, piece: Element, angle: float) -> list[Fault]:
    found = []
    if piece in FREE_OF_PIN_AND_THRUST:
        for where in (*PIN_DEG, *THRUST_DEG):
            if apart(angle, where) <= CLEAR_OF_PIN_AND_THRUST_DEG + 1e-9:
                found.append(Fault(f"the {piece}'s gap lies at {_named(engine, where)}", (piece,)))
        bottom = bottom_deg(engine, number)
        if bottom is not None and apart(angle, bottom) <= CLEAR_OF_BOTTOM_DEG + 1e-9:
            found.append(Fault(f"the {piece}'s gap lies at the bottom of the bore, where oil stands", (piece,)))
    return found


def _named(engine: Engine, where: float) -> str:
    if where in PIN_DEG:
        return f"the {'front' if where == 0.0 else 'rear'} pin end"
    return "the major thrust point" if where == major_thrust_deg(engine) else "the minor thrust point"
