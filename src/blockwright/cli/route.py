"""`blockwright route`: the order of assembly, step by step. Nothing heavy is loaded until one of its commands runs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

route = typer.Typer(
    name="route",
    help="The route: what to do in which order, what is signed, what is left.",
    no_args_is_help=True,
    rich_markup_mode=None,
)

JobPath = Annotated[Path, typer.Argument(metavar="JOB", help="Folder of the job.", show_default=False)]
StepKey = Annotated[
    str,
    typer.Argument(
        metavar="STEP", help="Key of the step, in quotes; may be shortened while it stays clear.", show_default=False
    ),
]
By = Annotated[str, typer.Option(help="Who signs.", show_default=False)]


@route.command()
def show(
    job: JobPath,
    every: Annotated[bool, typer.Option("--all", help="Every step, also those done.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="The whole state, for machines.")] = False,
) -> None:
    """Show the route by groups: what is done, what can be done now, what waits, what is left."""
    from blockwright.cli.route_show import show_route

    raise typer.Exit(show_route(job, every=every, as_json=as_json))


@route.command()
def step(job: JobPath, key: StepKey) -> None:
    """Show one step: what it needs, what to do, which way round, and what it asks for before it can be signed."""
    from blockwright.cli.route_step import show_step

    show_step(job, key)


@route.command()
def sign(
    job: JobPath,
    key: StepKey,
    by: By = "",
    count: Annotated[
        list[int] | None, typer.Option(help="What was counted; once for each count asked for.", show_default=False)
    ] = None,
    photo: Annotated[
        list[str] | None,
        typer.Option(
            help="File of a photo, PNG or JPEG; it is copied into attachments. Once for each asked for.",
            show_default=False,
        ),
    ] = None,
    eyes: Annotated[str, typer.Option(help="Who else has looked.", show_default=False)] = "",
    paint: Annotated[
        list[int] | None, typer.Option(help="Bolts marked with paint; once for each asked for.", show_default=False)
    ] = None,
    look: Annotated[
        list[str] | None,
        typer.Option(
            metavar="'FIT, PLACE: REASON'",
            help="A fit that was read and has no limit: that you looked at it, and why it may stay so.",
            show_default=False,
        ),
    ] = None,
    note: Annotated[str, typer.Option(help="Anything else.", show_default=False)] = "",
) -> None:
    """Sign a step. Refused, with exactly what is missing, until its evidence is there."""
    from blockwright.cli.route_sign import looks_from, sign_step
    from blockwright.engine.steps import Given

    given = Given(tuple(count or ()), tuple(photo or ()), eyes, tuple(paint or ()), looks_from(look or ()))
    sign_step(job, key, given, by=by, note=note)


@route.command()
def undo(
    job: JobPath,
    key: StepKey,
    by: By = "",
    why: Annotated[str, typer.Option(help="Why.", show_default=False)] = "",
) -> None:
    """Write down that a signed step was undone. Everything that stands on it is open again."""
    from blockwright.cli.route_sign import undo_step

    undo_step(job, key, by=by, why=why)
