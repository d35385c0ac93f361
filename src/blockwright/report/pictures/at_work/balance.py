"""What shakes the engine: free forces and couples by order of the crank's speed, as bars."""

from __future__ import annotations

from collections.abc import Callable

from blockwright.report.colours import BLUE, INK, LINE, SOFT
from blockwright.report.pictures.at_work import amounts as told
from blockwright.report.pictures.at_work.axes import BASE, FULL, MARGIN, SMALL, WIDTH
from blockwright.report.pictures.at_work.labels import heading
from blockwright.report.pictures.drawing import document, n, path, text
from blockwright.running.work.result import Curve, ForcesTold, Work

BAR_LEFT, BAR_RIGHT, ROW = 208.0, 500.0, 30.0
NIL_N, NIL_NM = 1.0, 0.1
"""Below these nothing is told but `none`."""
Shown = Callable[[float], str]
ORDER_WORDS = {1: "once a turn", 2: "twice a turn"}


def balance_picture(work: Work) -> str:
    """SVG of the free forces (kN) and couples (N m) by order."""
    forces = work.forces
    said = sentence(forces)
    head, y = heading("What shakes the engine", said)
    upper, y = _bars(forces, forces.free_n, "free force", _force, NIL_N, y + 46)
    lower, y = _bars(forces, forces.free_nm, "free couple", _couple, NIL_NM, y + 34)
    return document(
        WIDTH, y + 6, ("Free forces and couples by order", said), [*head, *upper, *lower], name="work-balance"
    )


def sentence(forces: ForcesTold) -> str:
    """The largest free force and couple in one sentence."""
    force = _largest(forces, forces.free_n, _force, NIL_N)
    couple = _largest(forces, forces.free_nm, _couple, NIL_NM)
    if not force and not couple:
        return "The moving parts leave no free force and no free couple in these orders."
    told_force = f"a free force of {force}" if force else "no free force"
    told_couple = f"a free couple of {couple}" if couple else "no free couple"
    return f"At the duty's speed the moving parts leave {told_force}, and {told_couple}."


def _bars(
    forces: ForcesTold, values: Curve, named: str, shown: Shown, nil: float, top: float
) -> tuple[list[str], float]:
    """A bar for each order, with its value at its end; and where they end."""
    drawn = [text(MARGIN, top, named, size=BASE, bold=True)]
    most = max((*values, nil))
    y = top + 14
    for order, value in zip(forces.orders, values, strict=False):
        long = (BAR_RIGHT - BAR_LEFT) * value / most if value >= nil else 0.0
        words = shown(value) if value >= nil else "none"
        drawn += [
            text(MARGIN, y + 19, f"order {order}", size=BASE),
            text(MARGIN + 70, y + 19, _often(order), size=SMALL - 1, fill=SOFT),
            path(f"M{n(BAR_LEFT)} {n(y + 5)}h{n(long)}v18h{n(-long)}z", stroke=INK, width=1.0, fill=BLUE)
            if long
            else "",
            text(BAR_LEFT + long + 9, y + 19, words, size=BASE, bold=value >= nil, fill=INK if value >= nil else SOFT),
        ]
        y += ROW
    axis = path(f"M{n(BAR_LEFT)} {n(top + 14)}V{n(y)}", stroke=INK, width=1.4)
    rule = path(f"M{n(MARGIN)} {n(top + 10)}H{n(FULL)}", stroke=LINE, width=0.8)
    return [*drawn, rule, axis], y


def _largest(forces: ForcesTold, values: Curve, shown: Shown, nil: float) -> str:
    told_orders = [(value, order) for value, order in zip(values, forces.orders, strict=False) if value >= nil]
    if not told_orders:
        return ""
    value, order = max(told_orders)
    return f"{shown(value)}, {_often(order)}"


def _often(order: int) -> str:
    return ORDER_WORDS.get(order, f"{order} times a turn")


def _force(value: float) -> str:
    return told.kilonewton(value) if value >= 1000.0 else f"{value:.0f} N"


def _couple(value: float) -> str:
    return f"{value:.0f} N m" if value >= 10.0 else f"{value:.1f} N m"
