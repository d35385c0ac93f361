"""`blockwright fits`: every fit with its mark, what was noticed, and what to do next."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import groupby
from pathlib import Path

from rich.console import Console
from rich.text import Text

from blockwright.choices.next_steps import DOUBTS, Rank, next_steps
from blockwright.cli.letters import plain, spelled
from blockwright.cli.terminal import STYLE, console, heading, mark_text, paragraph
from blockwright.fits.assessment import Assessment, FitResult, Standing
from blockwright.fits.registry import REGISTRY, nearest
from blockwright.jobfile.folder import read_folder
from blockwright.problems import BlockwrightError, Problem, excerpt
from blockwright.report.noticed import noticed
from blockwright.report.rows import Block, Row, authority_text, blocks, came_back_text, counts_text, ordered_text
from blockwright.running.assess import assess

ONLY: Mapping[str, Callable[[FitResult], bool]] = {
    "out": lambda result: result.out,
    "undecided": lambda result: result.standing is Standing.UNDECIDED,
    "open": lambda result: result.standing is Standing.OPEN,
}
SHOWN_IN = ("mm", "um", "thou", "in", "tenths", "uin")
MOST_TO_READ = 8
QUIET_ROOM = 23
"""Signs that the verdict of a fit on one line may take up beside two blanks."""
RANK_WORDS = {
    Rank.READ_AGAIN: "Read again, before anything is cut",
    Rank.SETTLE: "Settle what cannot be told",
    Rank.CORRECT: "Put right what does harm",
    Rank.WEIGH: "Weigh what is out on its soft side: put right, or accept and sign",
    Rank.READ: "Still to read",
}


def show_fits(path: Path, *, only: str, every: bool, strict: bool, unit: str, as_json: bool) -> int:
    """Print the fits of a job; returns the exit code."""
    wanted = check_unit(unit)
    chosen = _chosen(only)
    assessment = assess(read_folder(path).job)
    if as_json:
        from blockwright.report.as_json import assessment_json, dumps

        print(dumps(assessment_json(assessment, next_steps(assessment)), ascii=plain()))  # noqa: T201 - the data goes to standard output as it is
    else:
        print_fits(assessment, chosen=chosen, every=every or bool(only), unit=wanted)
    return exit_code(assessment, strict)


def exit_code(assessment: Assessment, strict: bool) -> int:
    """1 where something is nonconforming without a concession, or, if strict, open or undecided."""
    return int(bool(assessment.out) or (strict and bool(assessment.unsettled)))


def check_unit(unit: str) -> str:
    """A unit that clearances are shown in, or an error that lists them."""
    if unit and unit not in SHOWN_IN:
        listed = ", ".join(SHOWN_IN)
        what = f"fits are not shown in '{excerpt(unit)}'."
        raise BlockwrightError(Problem("unit-unknown", what, f"Possible: {listed}."))
    return unit


def print_fits(assessment: Assessment, *, chosen: str = "", every: bool = False, unit: str = "") -> None:
    """The table, what was noticed, and what to do next, in 80 columns."""
    out = console()
    job = assessment.job
    title = f"{job.sheet.job}: {job.engine.name}" + (" (INVENTED)" if job.sheet.invented else "")
    heading(out, Text(title, style="bold"))
    paragraph(out, f"{len([r for r in job.readings if r.taken])} readings. {counts_text(assessment)}.")
    group = ""
    for block in blocks(assessment, unit):
        rows = [row for row in block.rows if _shown(row.result, chosen)]
        if not rows:
            continue
        if block.fit.group != group:
            group = block.fit.group
            out.print(Text(f"\n{group.upper()}", style="bold"))
        _print_block(out, block, rows, every)
    if not chosen:
        _print_orders(out, assessment)
        _print_flags(out, assessment)
    _print_steps(out, assessment, chosen)


def _chosen(only: str) -> str:
    if not only or only in ONLY or only in REGISTRY:
        return only
    near = nearest(only)
    mend = f"Did you mean '{near}'?" if near else "Say out, undecided, open, or the name of a fit."
    what = f"--only '{excerpt(only)}' is neither out, undecided, open nor a fit."
    raise BlockwrightError(Problem("only-unknown", what, mend))


def _shown(result: FitResult, chosen: str) -> bool:
    return not chosen or (ONLY[chosen](result) if chosen in ONLY else result.fit.name == chosen)


def _print_block(out: Console, block: Block, rows: list[Row], every: bool) -> None:
    if block.quiet and not every:
        _print_quiet(out, block)
        return
    if not every and all(row.result.standing is Standing.OPEN for row in rows):
        out.print(Text(f"{block.fit.name:<26}{block.limits:<30} {len(rows)} to read", style="dim"))
        return
    limits = f"  {block.limits}" if block.limits else ""
    who = authority_text(rows[0].result.limits)
    heading(out, Text(f"{block.fit.name}", style="bold"), Text(f"{limits}  ({who})" if who else limits, style="dim"))
    for row in rows:
        out.print(Text("  ") + _line(row))


def _line(row: Row) -> Text:
    style = STYLE["accepted" if row.result.record else str(row.result.standing)]
    words = row.words if row.result.found else f"open: {len(row.result.missing)} to read"
    return (
        Text(f"{row.at} {spelled(row.value):>{29 - len(row.at)}}  ")
        + mark_text(row.mark)
        + Text(f"  {words}", style=style)
    )


def _print_quiet(out: Console, block: Block) -> None:
    """One line for a fit of which nothing asks for attention: the span of its values."""
    values = sorted(block.rows, key=lambda row: row.result.estimate.value)
    count = len(block.rows)
    low, high = values[0].value.split(" ±")[0], values[-1].value.split(" ±")[0]
    span = low if low == high else f"{low} to {high}"
    limited = block.rows[0].result.limits.known
    style = STYLE["conforms"] if limited else "dim"
    words = _quiet_words(block)
    told = f"{span + ' ' + block.unit:<21} {count} read".ljust(30 if len(words) > QUIET_ROOM else 31)
    out.print(Text(f"{block.fit.name:<26}{told}") + Text(words, style=style))


def _quiet_words(block: Block) -> str:
    """The verdict that its rows share, with whose limits they conform to."""
    said = {row.result.words for row in block.rows}
    if len(said) > 1:
        return "inside their limits"
    whose = block.rows[0].result.rests_on
    words = said.pop()
    if words != Standing.CONFORMS:
        return words
    return f"{'conform' if len(block.rows) > 1 else 'conforms'}{f' ({whose[0]})' if whose else ''}"


def _print_orders(out: Console, assessment: Assessment) -> None:
    if not assessment.orders:
        return
    out.print(Text("\nWORK ORDERED, AND WHAT CAME BACK", style="bold"))
    for order, results in groupby(assessment.orders, key=lambda result: result.order):
        paragraph(out, ordered_text(assessment.job, order))
        for result in results:
            paragraph(out, came_back_text(assessment.job, result), first="  ", style=STYLE[str(result.standing)])


def _print_flags(out: Console, assessment: Assessment) -> None:
    """What was noticed and is not already among the things to do."""
    texts = noticed(assessment, without=DOUBTS)
    if texts:
        out.print(Text("\nNOTICED", style="bold"))
    for text in texts:
        paragraph(out, text, first="  ! ")


def _nothing_to_do(assessment: Assessment, chosen: str) -> str:
    """What to say where no step is left among the fits that were asked for: never that all is well while others wait."""
    if chosen not in ONLY:
        return "Nothing is left to do for these fits."
    none = {"out": "None is out.", "undecided": "None is in doubt.", "open": "None is open."}[chosen]
    rest = {
        "out": (len(assessment.out), "out"),
        "undecided": (
            sum(each.standing is Standing.UNDECIDED and each.record is None for each in assessment.results),
            "in doubt",
        ),
        "open": (assessment.count(Standing.OPEN), "still open"),
    }
    left = [
        f"{count} {'is' if count == 1 else 'are'} {word}"
        for name, (count, word) in rest.items()
        if count and name != chosen
    ]
    return f"{none} {' and '.join(left)}." if left else none


def _print_steps(out: Console, assessment: Assessment, chosen: str) -> None:
    steps = tuple(
        step for step in next_steps(assessment) if not chosen or any(_shown(result, chosen) for result in step.fits)
    )
    if not steps:
        out.print(Text(f"\n{_nothing_to_do(assessment, chosen)}", style="bold"))
        return
    out.print(Text("\nWHAT TO DO NEXT, IN THIS ORDER", style="bold"))
    rank = None
    told = [step for step in steps if step.rank is not Rank.READ]
    to_read = [step for step in steps if step.rank is Rank.READ]
    for number, step in enumerate([*told, *to_read[:MOST_TO_READ]], 1):
        if step.rank is not rank:
            rank = step.rank
            out.print(Text(f"{RANK_WORDS[rank]}:", style="dim"))
        paragraph(out, f"{step.what} {step.how}".strip(), first=f"{number:>3}. ")
    if len(to_read) > MOST_TO_READ:
        rest = len(to_read) - MOST_TO_READ
        paragraph(
            out,
            f"and {rest} more; readings.csv has them in the order that changes gauge and setting least.",
            first="     ",
        )
