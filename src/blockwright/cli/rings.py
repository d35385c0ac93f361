"""`blockwright rings`: the commands of the ring bench. Nothing heavy is loaded until one of them runs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from blockwright.cli.options import cylinder_number

rings = typer.Typer(
    name="rings",
    help="The rings: aim, file, map, place and mount every one.",
    no_args_is_help=True,
    rich_markup_mode=None,
)

JobPath = Annotated[Path, typer.Argument(metavar="JOB", help="Folder of the job.", show_default=False)]


@rings.command()
def gaps(job: JobPath) -> None:
    """Show each ring's gap, its limits and aim, and what heat demands."""
    from blockwright.cli.rings_gaps import show_gaps

    show_gaps(job)


@rings.command("file")
def file_rings(
    job: JobPath,
    cylinder: Annotated[
        int,
        typer.Option(help="Start with this cylinder.", parser=cylinder_number, metavar="NUMBER", show_default=False),
    ] = 0,
    ring: Annotated[
        str, typer.Option(help="Start with this ring: top, second, upper rail, lower rail.", show_default=False)
    ] = "",
    by: Annotated[str, typer.Option(help="Who files.", show_default=False)] = "",
    gauge: Annotated[str, typer.Option(help="Gauge for the gaps, by its mark.", show_default=False)] = "",
    wheel: Annotated[str, typer.Option(help="Mark of the wheel, if it is a new one.", show_default=False)] = "",
) -> None:
    """File rings to their aim, pass by pass: what to take now, when to stop. Every entry is kept at once."""
    from blockwright.cli.rings_file import file_session

    file_session(job, cylinder=cylinder, ring=ring, by=by, gauge=gauge, wheel=wheel)


@rings.command("map")
def ring_map(job: JobPath) -> None:
    """Print the ring map: each ring with its piston and bore, what it took, how the rate varied."""
    from blockwright.cli.rings_map import show_map

    show_map(job)


@rings.command()
def stress(job: JobPath) -> None:
    """Show each ring as a spring: tension, pressure, how far it may be opened, whether it may be wound on by hand."""
    from blockwright.cli.rings_stress import show_stress

    show_stress(job)


@rings.command()
def clock(
    job: JobPath,
    cylinder: Annotated[
        int,
        typer.Argument(
            metavar="[CYLINDER]", help="Cylinder; all where not given.", parser=cylinder_number, show_default=False
        ),
    ] = 0,
    svg: Annotated[
        Path | None, typer.Option(help="Write the picture of that cylinder to this file.", show_default=False)
    ] = None,
) -> None:
    """Show where each ring's gap goes on the piston, and which way up each ring lies."""
    from blockwright.cli.rings_clock import show_clocking

    raise typer.Exit(show_clocking(job, cylinder, svg))
