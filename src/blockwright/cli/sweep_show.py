"""A sweep on the terminal: one table in 80 columns, the best row for the aim marked, what there is to mind, and what it rests on."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from rich.console import Console
from rich.text import Text

from blockwright.cli.columns import columns
from blockwright.cli.letters import spelled
from blockwright.cli.terminal import heading, paragraph
from blockwright.engine.job import Job
from blockwright.quantities import Kind, show
from blockwright.report.work.numbers import Shop, plainly, shop_of
from blockwright.running.sweep.aims import Aim, best, ranked
from blockwright.running.sweep.cases import Case, Change, Ranges
from blockwright.running.sweep.rows import RANK, Caution, Row
from blockwright.running.sweep.study import Swept

MOST_ROWS = 40
LETTERS = "abcdefghij"
MEASURED = "measured"
Pair = tuple[Case, Row]


@dataclass(frozen=True)
class Asked:
    """What was asked."""

    job: Job
    ranges: Ranges
    aim: Aim
    rings: bool
    unit: str = ""

    @property
    def shop(self) -> Shop:
        """Units to show."""
        return shop_of(self.job, self.unit)


@dataclass(frozen=True)
class Shown:
    """One column of the table: its head and unit, its width, its words in a row, the numbers that it shows, and its name in a sentence."""

    head: str
    unit: str
    width: int
    words: Callable[[Case, Row], str]
    names: tuple[str, ...]
    full: str

    def said(self, case: Case, row: Row) -> str:
        """`rod clearance 0.050 mm`; a step with its sign."""
        words = self.words(case, row)
        unit = "" if words in ("", MEASURED) else self.unit
        return " ".join(each for each in (self.full, words, unit) if each)


def print_table(out: Console, asked: Asked, swept: Swept) -> None:
    """All of it: the table, the best, what to mind, what it rests on."""
    rows = [row for _, row in swept.pairs]
    order = ranked(rows, asked.aim)
    kept = sorted(order[:MOST_ROWS])
    first = best(rows, asked.aim)
    _print_head(out, asked)
    cautions = _lettered(swept.pairs[index][1] for index in kept)
    shown, alike = _columns(asked, [swept.pairs[index] for index in kept], out.width)
    _print_alike(out, asked, swept, alike)
    widths = (1, *(-each.width for each in shown), 1)
    out.print()
    columns(
        out, ("", *(f"{each.head} {each.unit}".strip() for each in shown), ""), widths, indent=0, gap=1, style="dim"
    )
    for index in kept:
        case, row = swept.pairs[index]
        mark = "*" if index == first else ""
        cells = (mark, *(each.words(case, row) for each in shown), cautions.get(row.caution, ""))
        columns(out, cells, widths, indent=0, gap=1, style="bold" if mark else "" if row.sound else "dim")
    if len(rows) > MOST_ROWS:
        paragraph(
            out,
            f"The best {MOST_ROWS} of {len(rows)} cases by the aim; all of them: --csv FILE, or --into FOLDER.",
            style="dim",
        )
    _print_best(out, asked, swept, first)
    _print_cautions(out, cautions, rows)
    _print_ground(out, asked)


def print_study(out: Console, asked: Asked, swept: Swept) -> None:
    """What a study came to: where its table lies, its best case, what to mind."""
    rows = [row for _, row in swept.pairs]
    _print_head(out, asked)
    before = f", {swept.found} of them were there already" if swept.found else ""
    paragraph(out, f"{len(rows)} cases{before}: {swept.table}")
    _print_best(out, asked, swept, best(rows, asked.aim))
    _print_cautions(out, dict.fromkeys((row.caution for row in rows if row.caution), "-"), rows)
    _print_ground(out, asked)


def _print_head(out: Console, asked: Asked) -> None:
    job = asked.job
    heading(out, Text(spelled(f"{job.sheet.job}: {job.engine.name}{' (INVENTED)' * job.sheet.invented}"), style="bold"))


def _print_alike(out: Console, asked: Asked, swept: Swept, alike: Sequence[Shown]) -> None:
    case, row = swept.pairs[0]
    inputs = [
        each
        for each in _inputs(asked)
        if not _varies(each, swept.pairs) and each.words(case, row) not in ("", MEASURED)
    ]
    held = [each.said(case, row) for each in inputs]
    paragraph(out, f"In all cases: {', '.join((*held, 'all else as in the job'))}.")
    if alike:
        paragraph(out, f"The same in all: {', '.join(each.said(case, row) for each in alike)}.")


def _varies(shown: Shown, pairs: Sequence[Pair]) -> bool:
    return len({getattr(case, shown.names[0]) for case, _ in pairs}) > 1


def _print_best(out: Console, asked: Asked, swept: Swept, first: int | None) -> None:
    out.print()
    sound = sum(row.sound for _, row in swept.pairs)
    if first is None:
        paragraph(out, f"{asked.aim.words.capitalize()}: no case of these will do.", style="bold")
        return
    case, row = swept.pairs[first]
    varied = [each.said(case, row) for each in _inputs(asked) if _varies(each, swept.pairs)]
    result = next((each for each in _results(asked) if set(each.names) & set(asked.aim.names)), None)
    value = result.said(case, row) if result else ""
    paragraph(out, f"* {asked.aim.words}: {', '.join(varied) or 'the one case'}; {value}.", style="bold")
    paragraph(
        out,
        f"Looked for among {sound} of {len(swept.pairs)} cases: those in which no film is too thin, no ring's ends meet, and no crown is too hot.",
        first="  ",
        style="dim",
    )


def _print_cautions(out: Console, letters: dict[str, str], rows: Sequence[Row]) -> None:
    if letters:
        out.print(Text("\nMIND", style="bold"))
    for caution in sorted(letters, key=lambda each: RANK[Caution(each)]):
        count = sum(row.caution == caution for row in rows)
        paragraph(out, f"{caution} ({count} {'case' if count == 1 else 'cases'})", first=f"  {letters[caution]} ")
    for message in list(dict.fromkeys(row.message for row in rows if row.message))[:5]:
        paragraph(out, message, first="    ", style="dim")


def _print_ground(out: Console, asked: Asked) -> None:
    out.print(Text("\nWHAT IT RESTS ON", style="bold"))
    for text in _ground(asked):
        paragraph(out, text, first="  - ")


def _ground(asked: Asked) -> Iterator[str]:
    job, ranges = asked.job, asked.ranges
    yield "best values, nothing drawn: differences smaller than the spread that `blockwright work` tells are none. Not validated on a measured engine"
    if not ranges.power_w and {"speed_rad_s", "boost_pa"} & set(ranges.varied):
        yield "power is not given: it is taken in proportion to speed and to the manifold's pressure (--power where it is known)"
    if job.duty.peak_pressure_pa is not None and {"speed_rad_s", "power_w", "boost_pa"} & set(ranges.varied):
        yield "the peak pressure given holds at the job's own duty: the burning that gives it there is kept"
    known = job.sheet.temperatures
    held = [name for name in known.__dataclass_fields__ if name.endswith("_c") and getattr(known, name) is not None]
    if held:
        yield "temperatures given in the job are held in every case"
    from blockwright.running.work.facts import facts_of

    facts = facts_of(job).by_name.values()
    yield f"{sum(fact.assumed for fact in facts)} of {len(facts)} inputs are assumed: blockwright work JOB --facts"


def _lettered(rows: Iterator[Row]) -> dict[str, str]:
    """A letter for each caution, worst first."""
    found = sorted({row.caution for row in rows if row.caution}, key=lambda each: RANK[Caution(each)])
    return dict(zip(found, LETTERS, strict=False))


def _columns(asked: Asked, pairs: Sequence[Pair], width: int) -> tuple[list[Shown], list[Shown]]:
    """Columns that fit, what is varied first, then what the aim is about, then what matters; and those that are alike in all rows."""
    inputs = [each for each in _inputs(asked) if _varies(each, pairs)]
    listed = [each for each in _results(asked) if any(each.words(*pair) for pair in pairs)]
    alike = [each for each in listed if len(pairs) > 1 and len({each.words(*pair) for pair in pairs}) == 1]
    others = [each for each in listed if each not in alike]
    others.sort(key=lambda each: not set(each.names) & set(asked.aim.names))
    room = width - 4 - sum(each.width + 1 for each in inputs)
    chosen = []
    for each in others:
        if each.width + 1 <= room:
            chosen.append(each)
            room -= each.width + 1
    return [*inputs, *(each for each in listed if each in chosen)], alike


def _inputs(asked: Asked) -> Iterator[Shown]:
    unit = asked.shop.clearance

    def number(name: str, kind: Kind, unit: str, head: str, width: int, fine: float) -> Shown:
        def words(case: Case, row: Row) -> str:
            value: float | None = getattr(case, name)
            return "" if value is None else show(value, kind, unit, u=fine, with_unit=False)

        return Shown(head, unit, width, words, (name,), head)

    def cold(name: str, head: str, full: str, fine: float) -> Shown:
        return Shown(head, unit, 8, lambda case, row: _change(getattr(case, name), unit, fine), (name,), full)

    yield number("speed_rad_s", Kind.SPEED, "rpm", "", 5, 0.5)
    yield number("power_w", Kind.POWER, "kW", "", 5, 300.0)
    yield number("boost_pa", Kind.PRESSURE_STEP, "bar", "boost", 5, 800.0)
    yield number("coolant_c", Kind.TEMPERATURE, "°C", "coolant", 7, 0.5)
    yield number("oil_c", Kind.TEMPERATURE, "°C", "oil", 5, 0.5)
    yield Shown("oil", "", 7, lambda case, row: case.oil, ("oil",), "oil")
    yield cold("wall", "wall cold", "wall clearance", 8e-7)
    yield cold("top_gap", "top cold", "top end gap", 8e-6)
    yield cold("second_gap", "second cold", "second end gap", 8e-6)
    yield cold("rod_film", "rod cold", "rod clearance", 8e-7)
    yield cold("main_film", "main cold", "main clearance", 8e-7)


def _change(change: Change, unit: str, fine: float) -> str:
    if change.none:
        return MEASURED
    return show(change.metres, Kind.LENGTH, unit, u=fine, signed=change.step, with_unit=False)


def _results(asked: Asked) -> Iterator[Shown]:
    """What came of it, in order of weight."""
    shop = asked.shop

    def number(name: str, kind: Kind, unit: str, head: str, width: int, full: str, fine: float | None = None) -> Shown:
        def words(case: Case, row: Row) -> str:
            value: float | None = getattr(row, name)
            return "" if value is None else plainly(value, kind, unit, u=fine, with_unit=False)

        return Shown(head, unit, width, words, (name,), full)

    yield number("rod_film_m", Kind.LENGTH, shop.film, "rod film", 5, "smallest rod film")
    yield number("main_film_m", Kind.LENGTH, shop.film, "main film", 5, "smallest main film")
    if asked.rings:
        yield number("blow_by_share", Kind.RATIO, "%", "blow-by", 7, "blow-by")
    for name, head in (("top_gap", "top"), ("second_gap", "second"), ("wall", "wall")):
        yield number(f"{name}_hot_m", Kind.LENGTH, shop.clearance, f"{head} hot", 7, f"{head} hot", 8e-6)
    yield _loss()
    yield number("crown_c", Kind.TEMPERATURE, "°C", "crown", 5, "crown", 5.0)
    yield number("peak_pa", Kind.PRESSURE_STEP, "bar", "peak", 5, "peak", 5e4)
    yield number("rod_c", Kind.TEMPERATURE, "°C", "rod oil", 5, "rod oil", 5.0)
    yield number("main_c", Kind.TEMPERATURE, "°C", "main oil", 5, "main oil", 5.0)
    yield number("rod_bolts_n", Kind.FORCE, "kN", "bolts", 5, "rod bolts")


def _loss() -> Shown:
    def words(case: Case, row: Row) -> str:
        parts = [each for each in (row.rod_loss_w, row.main_loss_w) if each is not None]
        return plainly(sum(parts), Kind.POWER, "kW", with_unit=False) if parts else ""

    return Shown("loss", "kW", 5, words, ("rod_loss_w", "main_loss_w"), "bearing loss")
