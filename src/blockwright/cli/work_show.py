"""An engine at work on the terminal: its tables in 80 columns, what weighs, what is missing, and what it rests on."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich.console import Console
from rich.text import Text

from blockwright.cli.columns import columns
from blockwright.cli.letters import spelled
from blockwright.cli.terminal import STYLE, heading, mark_text, paragraph
from blockwright.engine.job import Job
from blockwright.report.slot import LEAST_COLUMNS
from blockwright.report.work.films import Films
from blockwright.report.work.heat import Line
from blockwright.report.work.hot import HotBlock, HotRow
from blockwright.report.work.ring_gas import RingGas
from blockwright.report.work.told import BetterRow, WorkTold

NUMBERS, LARGEST_MARK = 38, 21
"""Signs that position, cold and hot value of a fit take up; columns of its mark where there is room."""
NAME = 26
"""Signs for the name of a line."""
FEW = 8
"""So many assumed inputs are named; more are only counted."""


def print_work(out: Console, job: Job, told: WorkTold) -> None:
    """All of it, what matters first."""
    heading(out, Text(spelled(f"{job.sheet.job}: {job.engine.name}{' (INVENTED)' * job.sheet.invented}"), style="bold"))
    paragraph(out, f"At work: {told.duty}; {told.draws}.")
    paragraph(out, told.headline, style="bold")
    paragraph(out, told.spread_words, style="dim")
    _print_fits(out, told)
    for films in told.films:
        _print_films(out, told, films)
    _print_rings(out, told, told.rings)
    _print_better(out, told.better)
    _print_lines(out, "THE CYCLE", told.cycle)
    _print_temperatures(out, told)
    _print_lines(out, "LOADS", told.loads)
    _print_list(out, "COULD NOT BE WORKED OUT", told.missing)
    _print_list(out, "MIND", told.cautions)
    _print_list(out, "NOT VALIDATED", told.not_validated)
    _print_assumed(out, told)


def print_facts(out: Console, job: Job, told: WorkTold) -> None:
    """The inputs with where they come from, and the paths of heat."""
    heading(out, Text(spelled(f"{job.sheet.job}: {job.engine.name}{' (INVENTED)' * job.sheet.invented}"), style="bold"))
    _head(out, "WHAT IT RESTS ON")
    columns(out, ("input", "value (u: standard uncertainty)", "where it comes from"), (28, 22, 24), style="dim")
    for fact in told.inputs:
        columns(out, (fact.words, fact.value, fact.origin), (28, 22, 24), style="yellow" if fact.assumed else "")
    if told.resistances:
        _head(out, "PATHS OF HEAT")
    widths = (34, -8, -8, -6, 14)
    columns(out, ("path", "K/W", "heat", "spread", "from"), widths, style="dim")
    for each in told.resistances:
        columns(out, (each.path, each.k_per_w, each.heat, each.spread, each.source), widths)


def _head(out: Console, text: str) -> None:
    out.print(Text(f"\n{text}", style="bold"))


def _print_fits(out: Console, told: WorkTold) -> None:
    if not told.fits:
        return
    _head(out, "FITS AT WORK")
    longest = max(len(row.words) for block in told.fits for row in block.rows)
    width = max(LEAST_COLUMNS, min(LARGEST_MARK, out.width - NUMBERS - 4 - longest))
    above = ""
    for block in told.fits:
        _print_block(out, block, width, headed=block.unit != above)
        above = block.unit


def _print_block(out: Console, block: HotBlock, width: int, *, headed: bool) -> None:
    what = f" ({block.what})" if block.what else ""
    limits = f"{what}  {block.limits or 'no limit given'}"
    if headed:
        cold, hot = ("clearance", "film") if block.film else ("cold", "hot")
        out.print(Text(f"{'':<11}{cold:>10}{hot:>16}  {block.unit}", style="dim"))
    heading(out, Text(spelled(block.name), style="bold"), Text(spelled(limits), style="dim"))
    if block.authority:
        paragraph(out, block.authority, indent=2, style="dim")
    for row in block.rows:
        heading(out, _fit_line(row, width), indent=NUMBERS)
        if not block.authority and row.limits:
            paragraph(out, f"{row.limits} ({row.authority})", indent=14, style="dim")
    if block.weighs:
        paragraph(out, block.weighs, first="  weighs most: ", style="dim")


def _fit_line(row: HotRow, width: int) -> Text:
    numbers = f"  {row.at:<11}{row.cold:>8} {spelled(row.value):>15}"
    mark = mark_text(row.mark, width) if row.limits else Text(" " * width)
    return Text(f"{numbers:<{NUMBERS - 1}}  ") + mark + Text(f"  {row.words}", style=STYLE[row.standing])


def _print_films(out: Console, told: WorkTold, films: Films) -> None:
    _head(out, films.name.upper())
    widths = (12, -16, -13, -11, -14, -7)
    shop = told.shop
    units = ("", f"hot {shop.clearance}", f"film {shop.film}", "peak MPa", "loss kW", "oil °C")
    columns(out, units, widths, gap=1, style="dim")
    for row in films.rows:
        at = row.at if row.read else f"{row.at}*"
        cells = (at, row.hot, row.film, row.peak, row.loss, row.temperature.partition(" ±")[0])
        columns(out, cells, widths, gap=1, style="yellow" if row.thin else "")
    if films.unread:
        paragraph(out, "not measured, so taken at the middle of its limits", first="  * ", style="dim")
    for text in films.sayings:
        paragraph(out, text, first="  ")
    if films.oils:
        grades = "; ".join(f"{oil.grade}: {oil.film}, {oil.temperature}, {oil.loss}" for oil in films.oils)
        paragraph(out, f"On other oils ({films.oils_of}): {grades}.", first="  ")


def _print_rings(out: Console, told: WorkTold, rings: RingGas) -> None:
    if not rings.rows:
        return
    _head(out, "RINGS")
    unit = told.shop.clearance
    widths = (11, -14, -14, -13, -10, -11)
    columns(out, ("", f"top {unit}", f"second {unit}", "blow-by %", "L/min", "between bar"), widths, gap=1, style="dim")
    for row in rings.rows:
        columns(out, (row.at, row.top, row.second, row.share, row.blow_by, row.under_top), widths, gap=1)
    for text in (*rings.looser, *rings.sayings):
        paragraph(out, text, first="  ")


def _print_better(out: Console, better: Sequence[BetterRow]) -> None:
    if better:
        _head(out, "CLEARANCES THAT WOULD DO BETTER")
    for each in better:
        wanted = f", better {each.wanted}" if each.wanted else ""
        paragraph(out, f"{each.what}: now {each.now}{wanted}. {each.words}", first="  ")


def _print_lines(out: Console, title: str, lines: Iterable[Line]) -> None:
    _head(out, title)
    for line in lines:
        value = f"{line.text} ({line.note})" if line.note else line.text
        columns(out, (line.name, value), (NAME, out.width - NAME - 4))


def _print_temperatures(out: Console, told: WorkTold) -> None:
    _head(out, "TEMPERATURES")
    for each in told.temperatures:
        note = "given" if each.given else each.plausible
        columns(out, (each.place, each.value, note), (NAME + 4, 13, out.width - NAME - 23))


def _print_list(out: Console, title: str, texts: Sequence[str]) -> None:
    if texts:
        _head(out, title)
    for text in texts:
        paragraph(out, text, first="  - ")


def _print_assumed(out: Console, told: WorkTold) -> None:
    _head(out, "WHAT IT RESTS ON")
    assumed = told.assumed
    few = f": {'; '.join(each.words for each in assumed)}" if 0 < len(assumed) <= FEW else ""
    paragraph(out, f"{len(told.inputs)} inputs, {len(assumed)} of them assumed{few}.", first="  ")
    paragraph(out, "All with their values and where they come from: --facts", first="  ", style="dim")
