"""The large pictures of a sheet: the engine from above with its verdicts, and the bores."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from html import unescape

from blockwright.fits.assessment import Assessment
from blockwright.report.pictures.bore_map import bore_map
from blockwright.report.pictures.bore_seen import bores_seen
from blockwright.report.pictures.bore_sheet import bore_sheet
from blockwright.report.pictures.engine_plan import engine_plan

BESIDE_MM, ACROSS_MM = 106.0, 178.0
"""Width of a picture that has facts beside it, and of one that has the page to itself."""
TALLEST_PLAN_MM, TALLEST_BORE_MM = 170.0, 121.0
"""So tall that the plan leaves room for the head of the page; and two bores stand on one page."""
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
    """The engine's plan, all bores on one scale (where any was read), and each bore that was read; `drawn` are the SVG texts by name."""

    plan: Shown
    plan_beside: bool
    bores: tuple[Shown, ...]
    drawn: Mapping[str, str]


def pictures_of(assessment: Assessment) -> Pictures:
    """The pictures of an assessed job."""
    plan = engine_plan(assessment)
    beside = _box(plan)[0] <= WIDE_PLAN
    shown = _shown("plan", plan, BESIDE_MM if beside else ACROSS_MM, TALLEST_PLAN_MM)
    bores = bores_seen(assessment)
    read = [bore for bore in bores if bore.diameters]
    drawn = {"bores": bore_sheet(bores)} if read else {}
    drawn |= {f"bore/{bore.number}": bore_map(bore) for bore in read}
    each = tuple(_shown(name, svg, ACROSS_MM, TALLEST_BORE_MM * (1 + (name == "bores"))) for name, svg in drawn.items())
    return Pictures(shown, beside, each, {"plan": plan, **drawn})


def _shown(name: str, svg: str, most_mm: float, tallest_mm: float) -> Shown:
    width, height = _box(svg)
    said = _SAID.search(svg)
    return Shown(name, unescape(said[1]) if said else "", min(most_mm, tallest_mm * width / height))


def _box(svg: str) -> tuple[float, float]:
    found = _BOX.search(svg)
    assert found is not None
    return float(found[1]), float(found[2])
