"""The large pictures of a sheet: the engine from above with its verdicts, the bores, the route, the order in which bolts are tightened."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from html import unescape

from blockwright.choices.route.progress import Progress
from blockwright.engine.fasteners import Joint
from blockwright.fits.assessment import Assessment
from blockwright.report.pictures.bore_map import bore_map
from blockwright.report.pictures.bore_seen import bores_seen
from blockwright.report.pictures.bore_sheet import bore_sheet
from blockwright.report.pictures.engine_plan import engine_plan
from blockwright.report.pictures.route_graph import route_graph
from blockwright.report.pictures.torque_order import joint_order

BESIDE_MM, ACROSS_MM = 106.0, 178.0
"""Width of a picture that has facts beside it, and of one that has the page to itself."""
TALLEST_PLAN_MM, TALLEST_BORE_MM = 170.0, 121.0
"""So tall that the plan leaves room for the head of the page; and two bores stand on one page."""
TALLEST_ROUTE_MM, TALLEST_ORDER_MM = 227.0, 110.0
"""So tall that a panel of the route stands on a page of A4 or Letter under a heading; and two orders of tightening stand on one page."""
ORDER_MM = 0.185
"""Millimetres a pixel by which an order of tightening is set: its smallest figures are read at arm's length."""
WIDE_PLAN = 760.0
"""A plan with a canvas wider than this is not to be read at half the page."""
_BOX = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')
_SAID = re.compile(r"<desc[^>]*>([^<]*)</desc>")


@dataclass(frozen=True)
class Shown:
    """A picture by name, what it shows in words, and how wide it is set."""

    picture: str
    says: str
    width_mm: float


@dataclass(frozen=True)
class Pictures:
    """The engine's plan, all bores on one scale (where any was read) and each bore that was read, the panels of the route, the order of each joint
    that has one; `drawn` are the SVG texts by name.
    """

    plan: Shown
    plan_beside: bool
    bores: tuple[Shown, ...]
    route: tuple[Shown, ...]
    orders: Mapping[Joint, Shown]
    drawn: Mapping[str, str]


def pictures_of(assessment: Assessment, progress: Progress) -> Pictures:
    """The pictures of an assessed job, its route being as far as `progress` says."""
    job, plan = assessment.job, engine_plan(assessment)
    beside = _box(plan)[0] <= WIDE_PLAN
    shown = as_shown("plan", plan, BESIDE_MM if beside else ACROSS_MM, TALLEST_PLAN_MM)
    bores = bores_seen(assessment)
    read = [bore for bore in bores if bore.diameters]
    drawn = {"bores": bore_sheet(bores)} if read else {}
    drawn |= {f"bore/{bore.number}": bore_map(bore) for bore in read}
    each = tuple(
        as_shown(name, svg, ACROSS_MM, TALLEST_BORE_MM * (1 + (name == "bores"))) for name, svg in drawn.items()
    )
    panels = {f"route/{number}": svg for number, svg in enumerate(route_graph(progress), 1)}
    route = tuple(as_shown(name, svg, ACROSS_MM, TALLEST_ROUTE_MM) for name, svg in panels.items())
    joints = {each.joint: svg for each in job.sheet.fastener if (svg := joint_order(job, each.joint))}
    orders = {
        joint: as_shown(_order(joint), svg, min(ACROSS_MM, ORDER_MM * _box(svg)[0]), TALLEST_ORDER_MM)
        for joint, svg in joints.items()
    }
    tightened = {_order(joint): svg for joint, svg in joints.items()}
    return Pictures(shown, beside, each, route, orders, {"plan": plan, **drawn, **panels, **tightened})


def _order(joint: Joint) -> str:
    return f"order/{joint}"


def as_shown(name: str, svg: str, most_mm: float, tallest_mm: float) -> Shown:
    """A picture as it is set: no wider and no taller than this."""
    width, height = _box(svg)
    said = _SAID.search(svg)
    return Shown(name, unescape(said[1]) if said else "", min(most_mm, tallest_mm * width / height))


def _box(svg: str) -> tuple[float, float]:
    found = _BOX.search(svg)
    assert found is not None
    return float(found[1]), float(found[2])
