"""The command line: every command declared, nothing heavy loaded until one of them runs.

Exit codes: 0 nothing is out, 1 something is nonconforming without a concession (with `--strict` also open or undecided fits), 2 wrong usage
or input, 3 a fault of the program itself.
"""

from __future__ import annotations

import os
import signal
import sys
from pathlib import Path
from typing import Annotated

import typer

from blockwright import __version__
from blockwright.cli import letters
from blockwright.cli.bench import bench
from blockwright.cli.ledger import ledger
from blockwright.cli.options import cylinder_number
from blockwright.cli.people import hands
from blockwright.cli.rings import rings
from blockwright.cli.route import route
from blockwright.cli.telling import told
from blockwright.problems import BlockwrightError, Problem

app = typer.Typer(
    name="blockwright",
    help="From gauge readings to engine fits with honest verdicts. A job is a folder of plain files.",
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    add_completion=False,
)

app.add_typer(rings)
app.add_typer(route)
app.add_typer(ledger)
app.add_typer(hands)

JobPath = Annotated[Path, typer.Argument(metavar="JOB", help="Folder of the job.", show_default=False)]
FitName = Annotated[
    str, typer.Argument(metavar="FIT", help="Name of the fit, in quotes: 'wall clearance'.", show_default=False)
]
PositionText = Annotated[
    str, typer.Argument(metavar="POSITION", help="Where: 'cylinder 3', 'main 2', or just 3.", show_default=False)
]
PaperName = Annotated[str, typer.Option("--paper", help="A4 or Letter.")]
Force = Annotated[bool, typer.Option("--force", help="Write over a file that is there already.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON for machines.")]
UnitName = Annotated[
    str, typer.Option("--unit", help="Unit for lengths: mm, um, thou, in, tenths.", show_default=False)
]


@app.callback(invoke_without_command=True)
def _root(version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False) -> None:
    if version:
        typer.echo(f"blockwright {__version__}")
        raise typer.Exit


@app.command()
def new(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="Folder to make; must not hold a job.", show_default=False)
    ],
    name: Annotated[str, typer.Option(help="What the engine is called on the bench.", show_default=False)] = "",
    layout: Annotated[str, typer.Option(help="inline, V or flat.", show_default=False)] = "",
    cylinders: Annotated[str, typer.Option(help="How many cylinders, 1 to 16.", show_default=False)] = "",
    case: Annotated[str, typer.Option(help="How the crank is closed in.", show_default=False)] = "",
    housing_material: Annotated[str, typer.Option(help="Material of block or case.", show_default=False)] = "",
    bore: Annotated[str, typer.Option(help="Bore, with unit.", show_default=False)] = "",
    stroke: Annotated[str, typer.Option(help="Stroke, with unit.", show_default=False)] = "",
    rod_length: Annotated[str, typer.Option(help="Rod length, with unit.", show_default=False)] = "",
    main_journal: Annotated[str, typer.Option(help="Main journal, with unit.", show_default=False)] = "",
    rod_journal: Annotated[str, typer.Option(help="Rod journal, with unit.", show_default=False)] = "",
    pin_diameter: Annotated[str, typer.Option(help="Piston pin, with unit.", show_default=False)] = "",
    units: Annotated[str, typer.Option(help="Units to show: metric or inch.")] = "metric",
    full: Annotated[bool, typer.Option("--full", help="Every check there is, not only the usual ones.")] = False,
    ask: Annotated[bool, typer.Option("--ask/--no-ask", help="Ask for what is not given.")] = True,
) -> None:
    """Start a job: a few questions, then a folder with every reading still to take as an empty row."""
    given = {
        "name": name, "layout": layout, "cylinders": cylinders, "case": case, "housing_material": housing_material,
        "bore": bore, "stroke": stroke, "rod_length": rod_length, "main_journal": main_journal,
        "rod_journal": rod_journal, "pin_diameter": pin_diameter, "units": units,
    }  # fmt: skip
    from blockwright.cli.new import start

    start(folder, given, ask, full)


@app.command()
def fits(
    job: JobPath,
    only: Annotated[str, typer.Option(help="Only: out, undecided, open, or a fit by name.", show_default=False)] = "",
    every: Annotated[bool, typer.Option("--all", help="A line for every position, also where all is well.")] = False,
    strict: Annotated[bool, typer.Option("--strict", help="Exit 1 for open or undecided fits too.")] = False,
    unit: UnitName = "",
    as_json: AsJson = False,
) -> None:
    """Show every fit of a job, its verdict, and what to do next."""
    from blockwright.cli.fits import show_fits

    raise typer.Exit(show_fits(job, only=only, every=every, strict=strict, unit=unit, as_json=as_json))


@app.command()
def explain(
    job: JobPath, fit: FitName, position: PositionText = "", unit: UnitName = "", as_json: AsJson = False
) -> None:
    """Tell one fit's whole story: readings, corrections, budget, limits, sources, formula."""
    from blockwright.cli.explain import show_story

    raise typer.Exit(show_story(job, fit, position, unit=unit, as_json=as_json))


@app.command()
def accept(
    job: JobPath,
    fit: FitName,
    position: PositionText = "",
    by: Annotated[str, typer.Option(help="Who accepts it.", show_default=False)] = "",
    why: Annotated[str, typer.Option(help="Why.", show_default=False)] = "",
) -> None:
    """Sign for a fit that is out (a concession) or cannot be told (a judgement)."""
    from blockwright.cli.accept import sign

    sign(job, fit, position, by=by, why=why)


@app.command()
def pistons(
    job: JobPath,
    first: Annotated[str, typer.Argument(metavar="PISTON", help="Mark of a piston.", show_default=False)],
    second: Annotated[
        str, typer.Argument(metavar="PISTON", help="Mark of another, assigned or spare.", show_default=False)
    ],
    cylinder: Annotated[
        int, typer.Option(help="In whose bore they are compared.", parser=cylinder_number, metavar="NUMBER")
    ] = 1,
) -> None:
    """Set two pistons side by side in one bore: lands, mass, skirt, cold and hot clearances, what each needs."""
    from blockwright.cli.pistons import compare

    compare(job, first, second, cylinder)


@app.command()
def match(
    job: JobPath,
    pistons: Annotated[bool, typer.Option("--pistons", help="Pistons to bores (where nothing is said).")] = False,
    rings: Annotated[bool, typer.Option("--rings", help="Ring sets to bores, where their gaps allow.")] = False,
    shells: Annotated[bool, typer.Option("--shells", help="Half shells to mains and rods.")] = False,
    rods: Annotated[bool, typer.Option("--rods", help="Rods to cylinders, by film and mass.")] = False,
    keep: Annotated[
        list[str] | None, typer.Option(metavar="MARK=PLACE", help="What stays: P3=3.", show_default=False)
    ] = None,
    never: Annotated[
        list[str] | None,
        typer.Option("--not", metavar="MARK=PLACE", help="What must not go there.", show_default=False),
    ] = None,
    step: Annotated[str, typer.Option(help="How far two banks' masses may differ: '2 g'.", show_default=False)] = "",
    strict: Annotated[
        bool, typer.Option("--strict", help="Exit 1 for places left out for want of readings too.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Choose which part goes where, the whole set at its best, and tell what it misses and what to order."""
    from blockwright.cli.match import Wanted, show_match

    asked = {"pistons": pistons, "rings": rings, "shells": shells, "rods": rods}
    wanted = Wanted(
        [name for name, is_asked in asked.items() if is_asked] or ["pistons"], keep or (), never or (), step
    )
    raise typer.Exit(show_match(job, wanted, strict=strict, as_json=as_json))


@app.command()
def reckon(
    words: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[NAME] [INPUT=VALUE]...",
            help="A formula, and its inputs with their units: bore='86 mm'.",
            show_default=False,
        ),
    ] = None,
    unit: Annotated[str, typer.Option("--unit", help="Unit of the result.", show_default=False)] = "",
    as_json: AsJson = False,
) -> None:
    """List the formulas behind the fits, tell one with its source, or work one out."""
    from blockwright.cli.reckon import reckon as work_out

    work_out(words or (), unit=unit.strip(), as_json=as_json)


@app.command()
def work(
    job: JobPath,
    samples: Annotated[
        int | None, typer.Option(help="Draws for the spread: 2000 where not said, 0 for none.", show_default=False)
    ] = None,
    seed: Annotated[int | None, typer.Option(help="Seed of the draws.", show_default=False)] = None,
    pressure: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Your own pressure over crank angle: CSV, two columns.", show_default=False),
    ] = None,
    again: Annotated[bool, typer.Option("--again", help="Work it out anew, though a result is kept.")] = False,
    pictures: Annotated[
        Path | None, typer.Option(metavar="DIR", help="Draw it too: SVG files in this folder.", show_default=False)
    ] = None,
    facts: Annotated[bool, typer.Option("--facts", help="Only what it rests on: inputs, paths of heat.")] = False,
    unit: UnitName = "",
    force: Force = False,
    as_json: AsJson = False,
) -> None:
    """Work the engine at its duty on the clearances as measured: hot fits, oil films, blow-by, loads."""
    from blockwright.cli.work import Wanted, show_work

    wanted = Wanted(samples, seed, pressure, again)
    raise typer.Exit(show_work(job, wanted, unit=unit, pictures=pictures, force=force, as_json=as_json, facts=facts))


@app.command()
def sweep(
    job: JobPath,
    speed: Annotated[str, typer.Option(help="Crank speeds: '3000..7000 rpm / 9'.", show_default=False)] = "",
    power: Annotated[str, typer.Option(help="Power: '150, 200 kW'.", show_default=False)] = "",
    boost: Annotated[str, typer.Option(help="Boost: '0..1.5 bar / 4'.", show_default=False)] = "",
    coolant: Annotated[str, typer.Option(help="Coolant: '70..100 °C / 4'.", show_default=False)] = "",
    oil_temperature: Annotated[str, typer.Option(help="Oil at work: '90, 110 °C'.", show_default=False)] = "",
    oil: Annotated[str, typer.Option(help="Oil grades: '5W-30, 10W-40'.", show_default=False)] = "",
    wall: Annotated[str, typer.Option(help="Cold wall clearance: '-10..+30 um / 5'.", show_default=False)] = "",
    top_gap: Annotated[str, typer.Option(help="Cold top end gap: '0.3..0.6 mm / 4'.", show_default=False)] = "",
    second_gap: Annotated[str, typer.Option(help="Cold second: 'measured, +0.1 mm'.", show_default=False)] = "",
    rod_film: Annotated[str, typer.Option(help="Rod clearance: '30..80 um / 6'.", show_default=False)] = "",
    main_film: Annotated[str, typer.Option(help="Main clearance: '30..80 um / 6'.", show_default=False)] = "",
    best: Annotated[str, typer.Option(help="What the best case is: 'least blow-by'.", show_default=False)] = "",
    blow_by: Annotated[bool, typer.Option("--blow-by", help="Work blow-by out too.")] = False,
    into: Annotated[
        Path | None,
        typer.Option(metavar="FOLDER", help="Keep it there, and go on after a break.", show_default=False),
    ] = None,
    csv: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write every case as CSV too.", show_default=False)
    ] = None,
    processes: Annotated[int | None, typer.Option(help="How many work at it here.", show_default=False)] = None,
    scheduler: Annotated[
        str, typer.Option(metavar="ADDRESS", help="Share it out there: tcp://HOST:8786.", show_default=False)
    ] = "",
    unit: UnitName = "",
    force: Annotated[bool, typer.Option("--force", help="Throw another study, or a file, away.")] = False,
) -> None:
    """Work the engine over ranges of duty, clearance and oil: a table here, or a study in a folder.

    Clearances with + or - are steps from what was measured; without, every one is set to it.
    """
    from blockwright.cli.sweep import Wanted, show_sweep

    written = {
        "speed": speed, "power": power, "boost": boost, "coolant": coolant, "oil-temperature": oil_temperature, "oil": oil,
        "wall": wall, "top-gap": top_gap, "second-gap": second_gap, "rod-film": rod_film, "main-film": main_film,
    }  # fmt: skip
    wanted = Wanted(best, blow_by, into, processes, scheduler, csv, unit, force)
    raise typer.Exit(show_sweep(job, written, wanted))


@app.command("gauge-study")
def gauge_study(
    path: Annotated[
        Path, typer.Argument(metavar="FILE", help="CSV: appraiser, part, trial, value.", show_default=False)
    ],
    unit: Annotated[str, typer.Option("--unit", help="Unit of values that carry none.", show_default=False)] = "",
    tolerance: Annotated[str, typer.Option(help="Width of the tolerance, with unit.", show_default=False)] = "",
    svg: Annotated[Path | None, typer.Option(help="Write a picture to this file.", show_default=False)] = None,
    as_json: AsJson = False,
) -> None:
    """Find out how well a gauge repeats, from parts read several times by one or more people."""
    from blockwright.cli import study

    study.gauge_study(path, unit=unit or None, tolerance=tolerance or None, svg=svg, as_json=as_json)


@app.command()
def export(
    job: Annotated[Path | None, typer.Argument(metavar="JOB", help="Folder of the job.", show_default=False)] = None,
    to: Annotated[Path, typer.Option(help="Folder to write into; made if it is not there.")] = Path("export"),
    force: Annotated[bool, typer.Option("--force", help="Write over files of an earlier export.")] = False,
    schema: Annotated[bool, typer.Option("--schema", help="Only print the schema of the JSON.")] = False,
) -> None:
    """Write the assessment for other programs: CSV, a workbook (XLSX), and JSON by a published schema."""
    if schema:
        from blockwright.report.export.schema import schema_text

        typer.echo(schema_text(), nl=False)
    elif job is None:
        raise BlockwrightError(Problem("export-job", "no job is named.", "blockwright export JOB --to FOLDER"))
    else:
        from blockwright.cli.export import export as write

        write(job, to, force=force)


@app.command()
def labels(
    job: JobPath,
    to: Annotated[Path, typer.Option(help="PDF to write.")] = Path("labels.pdf"),
    paper: PaperName = "A4",
    force: Force = False,
) -> None:
    """Print labels for bagged part sets, each with a code that a tablet reads."""
    from blockwright.cli import pages

    pages.labels(job, to, paper, force=force)


@app.command()
def blank(
    job: JobPath,
    to: Annotated[Path, typer.Option(help="PDF to write.")] = Path("readings.pdf"),
    paper: PaperName = "A4",
    every: Annotated[bool, typer.Option("--all", help="Readings that are taken too.")] = False,
    force: Force = False,
) -> None:
    """Print the readings still to take as a paper form, in the order of readings.csv."""
    from blockwright.cli import pages

    pages.blank(job, to, paper, every=every, force=force)


@app.command()
def sheet(
    job: JobPath,
    to: Annotated[
        Path | None, typer.Option("--to", metavar="FILE", help="The PDF to write.", show_default=False)
    ] = None,
    paper: Annotated[str, typer.Option(help="A4 or Letter.")] = "A4",
    check: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="A sheet: does it belong to the job as it is now?", show_default=False),
    ] = None,
    force: Force = False,
) -> None:
    """Write the build sheet of a job as a PDF, or check one against its data (exit 1: it does not belong to it)."""
    from blockwright.cli import sheet as sheets

    if check is not None:
        raise typer.Exit(sheets.check(check, job))
    sheets.make(job, to, paper, force=force)


@app.command()
def pictures(
    job: JobPath,
    to: Annotated[
        Path, typer.Option("--to", metavar="DIR", help="Folder to write into; made if it is not there.")
    ] = Path("pictures"),
) -> None:
    """Draw a job as SVG files: the engine with its verdicts, every bore, where the ring gaps go."""
    from blockwright.cli.pictures import draw

    draw(job, to)


@app.command()
def demo(
    folder: Annotated[
        Path | None, typer.Argument(metavar="FOLDER", help="Where to put the demonstration jobs.", show_default=False)
    ] = None,
) -> None:
    """Copy two invented jobs into a folder and show what the tool says of the first."""
    from blockwright.cli.demo import run

    run(folder)


app.command("bench")(bench)


def main() -> None:
    """Run the command line; every fault reaches the user as words (`BLOCKWRIGHT_TRACE=1` shows where in the program it lies)."""
    letters.make_safe()
    if hasattr(signal, "SIGPIPE"):
        signal.signal(signal.SIGPIPE, signal.SIG_DFL)  # `| head` ends the program, quietly
    try:
        app(prog_name=app.info.name)
    except BlockwrightError as error:
        _tell(error)
        sys.exit(2)
    except KeyboardInterrupt:
        sys.exit(130)
    except OSError as error:
        what = f"{error.filename or 'a file'} cannot be used ({error.strerror})."
        _tell(BlockwrightError(Problem("disk", what, "Check its name, and that it may be read and written.")))
        sys.exit(2)
    except Exception as fault:
        if os.environ.get("BLOCKWRIGHT_TRACE"):
            raise
        what = " ".join(f"{type(fault).__name__}: {fault}".split())
        sys.stderr.write(f"blockwright has a fault of its own ({what}). Please report it.\n")
        sys.exit(3)


def _tell(error: BlockwrightError) -> None:
    sys.stderr.write(told(error.problems))
