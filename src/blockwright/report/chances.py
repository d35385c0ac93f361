"""Chances in percent, never rounded over the level at which a fit is decided."""

from __future__ import annotations

from typing import Protocol


class Shares(Protocol):
    """Chances to lie below, inside and above limits."""

    @property
    def below(self) -> float:
        """Under the low limit."""

    @property
    def inside(self) -> float:
        """Between the limits."""

    @property
    def above(self) -> float:
        """Over the high limit."""


def sides(shares: Shares, *, low: bool, high: bool, level: float) -> str:
    """`2.1 % under the low limit, 97.9 % inside`: only sides that have a limit; empty where none has."""
    if not low and not high:
        return ""
    parts = [f"{percent(shares.below, level)} under the low limit"] if low else []
    parts.append(f"{percent(shares.inside, level)} inside")
    if high:
        parts.append(f"{percent(shares.above, level)} over the high limit")
    return ", ".join(parts)


def percent(chance: float, level: float) -> str:
    """A chance in percent: three digits, or more where rounding would carry it over the level at which a fit is decided."""
    if 0.0 < chance < 0.001:
        return "under 0.1 %"
    if 0.999 < chance < 1.0:
        return "over 99.9 %"
    told = (f"{100.0 * chance:.{digits}g}" for digits in range(3, 9))
    return (
        next((text for text in told if (float(text) >= 100.0 * level) == (chance >= level)), f"{100.0 * chance}") + " %"
    )
