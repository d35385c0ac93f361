"""`blockwright match`: which part goes where, out of those in the job."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from rich.console import Console
from rich.text import Text

from blockwright.choices.matching import of_job
from blockwright.choices.matching.choosing import Match, choose
from blockwright.choices.matching.model import Balance, Never, Rule, Stays
from blockwright.choices.matching.of_job import Asked
from blockwright.cli.columns import columns
from blockwright.cli.letters import plain
from blockwright.cli.terminal import console, heading, paragraph
from blockwright.engine.job import Job
from blockwright.fits.words import runs
from blockwright.jobfile.folder import read_folder
from blockwright.problems import BlockwrightError, Place, Problem, excerpt
from blockwright.quantities import Kind, QuantityError, parse, whole_number
from blockwright.report.match_rows import MatchSaid, match_json, said

TABLES: dict[str, tuple[Callable[[Job], Asked], ...]] = {
    "pistons": (of_job.pistons,),
    "rings": (of_job.ring_sets,),
    "shells": (of_job.main_shells, of_job.rod_shells),
    "rods": (of_job.rods,),
}
WEIGHED = ("pistons", "rods")
WIDTHS = (12, 9, 13, 19, 8, 14)
INDENT, GAP = 0, 1
FORMAT = "blockwright match 1"


@dataclass(frozen=True)
class Wanted:
    """What to choose, and the builder's rules as typed."""

    what: Sequence[str]
    keep: Sequence[str]
    never: Sequence[str]
    step: str


def show_match(path: Path, wanted: Wanted, *, strict: bool, as_json: bool) -> int:
    """Print what goes where; 1 where a place is left without, or a part lies outside its limits."""
    job = read_folder(path).job
    asked = [table(job) for what in wanted.what for table in TABLES[what]]
    ruled = _ruled(job, asked, wanted)
    matches = [(each, choose(each.table)) for each in ruled]
    if as_json:
        from blockwright.report.as_json import dumps

        told = {"format": FORMAT, "job": job.sheet.job, "matches": [match_json(job, *each) for each in matches]}
        print(dumps(told, ascii=plain()))  # noqa: T201 - the data goes to standard output as it is
    else:
        out = console()
        title = f"{job.sheet.job}: {job.engine.name}" + (" (INVENTED)" if job.sheet.invented else "")
        heading(out, Text(title, style="bold"))
        for each, match in matches:
            _print(out, said(job, each, match))
    return int(any(_out(match) or (strict and (each.unread or each.missing)) for each, match in matches))


def _out(match: Match) -> bool:
    return bool(match.missing or match.outside)


def _ruled(job: Job, asked: Sequence[Asked], wanted: Wanted) -> list[Asked]:
    """The tables with the rules that speak of their parts; a rule for no table's part goes to the first, which says so."""
    pinned = [(Stays, *_pair(text, "keep")) for text in wanted.keep] + [
        (Never, *_pair(text, "not")) for text in wanted.never
    ]
    rules: list[list[Rule]] = [[] for _ in asked]
    for make, mark, place in pinned:
        homes = [n for n, each in enumerate(asked) if any(mark in option.uses for option in each.table.options)]
        for n in homes or [0]:
            rules[n].append(make(mark, _place(asked[n], place)))
    weighed = [n for n, each in enumerate(asked) if each.what in WEIGHED]
    if wanted.step and not weighed:
        what, mend = "--step balances what is weighed, and nothing of that is chosen here.", "Add --pistons or --rods."
        raise BlockwrightError(Problem("match-step-idle", what, mend, Place(field="step")))
    for n in weighed if wanted.step else ():
        rules[n] += _balance(job, asked[n], wanted.step)
    return [each.with_rules(ruled) for each, ruled in zip(asked, rules, strict=True)]


def _pair(text: str, option: str) -> tuple[str, str]:
    mark, equals, place = (part.strip() for part in text.rpartition("="))
    if not equals or not mark or not place:
        what, mend = (
            f"'{excerpt(text)}' names no part and place.",
            "Write the mark, =, and the number of the place: P3=3.",
        )
        raise BlockwrightError(Problem("match-pair", what, mend, Place(field=option)))
    return mark, place


def _place(asked: Asked, text: str) -> str:
    """`3` -> `cylinder 3`, or `main 3` where mains are chosen for."""
    if whole_number(text) is None:
        return text
    kind = "main" if asked.what == "main shells" else "cylinder"
    return f"{kind} {whole_number(text)}"


def _balance(job: Job, asked: Asked, step: str) -> list[Rule]:
    banks = of_job.banks_of(job)
    if banks is None:
        what, mend = "this engine has one bank, and --step is how far two may differ.", "Leave it out."
        raise BlockwrightError(Problem("match-banks", what, mend, Place(field="step")))
    try:
        grams = parse(step, Kind.MASS)
    except QuantityError as error:
        raise BlockwrightError(problem.at(field="step") for problem in error.problems) from error
    out = [place for bank in banks for place in bank if place not in asked.table.places]
    if out:
        what, mend = (
            f"the banks cannot be balanced: nothing can be chosen for {runs(out)}.",
            "Read it first, or leave --step out.",
        )
        raise BlockwrightError(Problem("match-step-open", what, mend, Place(field="step")))
    return [Balance(*banks, grams.si)]


def _print(out: Console, told: MatchSaid) -> None:
    out.print(Text(f"\n{told.title.upper()}", style="bold"))
    if told.rows:
        columns(out, ("place", "part", "", "fit", "off aim", ""), WIDTHS, indent=INDENT, gap=GAP, style="dim")
    for row in told.rows:
        columns(out, (row.place, row.parts, row.now, row.value, row.off, row.words), WIDTHS, indent=INDENT, gap=GAP)
    for line in (*told.good, *told.other):
        paragraph(out, line)
    for name, lines in (
        ("WITHOUT A PART", told.missed),
        ("WORK TO ORDER", told.orders),
        ("NOT YET COMPARED", told.first),
    ):
        if lines:
            out.print(Text(f"\n{name}", style="bold"))
        for line in lines:
            paragraph(out, line[:1].upper() + line[1:], first="  ")
