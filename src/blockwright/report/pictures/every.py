"""Every picture of a job by its name, in the order of the sheet: the one list that the command line and the pages give out."""

from __future__ import annotations

from collections.abc import Iterator

from blockwright.choices.clocking.whole import clocking_of
from blockwright.choices.route.progress import Progress
from blockwright.engine.positions import Place
from blockwright.fits.assessment import Assessment
from blockwright.report.clocking_picture import clocked_svg
from blockwright.report.pictures.bore_map import bore_map
from blockwright.report.pictures.bore_seen import bores_seen
from blockwright.report.pictures.bore_sheet import bore_sheet
from blockwright.report.pictures.engine_plan import engine_plan
from blockwright.report.pictures.route_graph import route_graph
from blockwright.report.pictures.torque_order import joint_order


def pictures(assessment: Assessment, progress: Progress) -> Iterator[tuple[str, str]]:
    """Names and pictures (SVG texts) of an assessed job whose route has got so far."""
    job = assessment.job
    yield "engine-plan", engine_plan(assessment)
    bores = sorted(bores_seen(assessment), key=lambda bore: bore.number)
    yield "bores", bore_sheet(bores)
    for bore in bores:
        yield f"bore-{bore.number}", bore_map(bore)
    for position in job.engine.positions(Place.CYLINDER):
        yield f"ring-clocking-{position.number}", clocked_svg(job.engine, clocking_of(job, position.number))
    for fastener in job.sheet.fastener:
        if order := joint_order(job, fastener.joint):
            yield f"torque-order-{str(fastener.joint).replace(' ', '-')}", order
    for number, panel in enumerate(route_graph(progress), 1):
        yield f"route-{number}", panel
