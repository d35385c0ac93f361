"""`blockwright explain`: one fit's whole story on one screen."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console
from rich.text import Text

from blockwright.cli.fits import check_unit
from blockwright.cli.letters import plain, spelled
from blockwright.cli.reckon import print_command
from blockwright.cli.terminal import STYLE, console, heading, mark_text, paragraph
from blockwright.fits.asking import asked
from blockwright.fits.assessment import FitResult
from blockwright.jobfile.folder import read_folder
from blockwright.metrology.verdict import expanded
from blockwright.report.rows import mark_of
from blockwright.report.story import BudgetLine, Story, story_of, taken_alike, weighty
from blockwright.report.work.hot import WORKED, HotStory
from blockwright.running.assess import judge
from blockwright.running.work.kept import kept

UNWORKED = "not worked out for this job as it is now: blockwright work JOB"
OWNER, BAR = 25, 10
"""Signs that whose error it is, and the bar of its share, may take up."""


def show_story(path: Path, fit_name: str, position_text: str, *, unit: str, as_json: bool) -> int:
    """Print the story of a fit; returns 1 where it is out, else 0."""
    wanted = check_unit(unit)
    job = read_folder(path).job
    fit, position = asked(job, fit_name, position_text)
    result = judge(job, fit, position)
    work = kept(job)
    story = story_of(job, result, wanted, work)
    if as_json:
        from blockwright.report.as_json import dumps, story_json

        print(dumps(story_json(result, story, work), ascii=plain()))  # noqa: T201 - the data goes to standard output as it is
    else:
        print_story(console(), result, story, unworked=work is None and fit.name in WORKED)
    return int(result.out)


def print_story(out: Console, result: FitResult, story: Story, *, unworked: bool = False) -> None:
    """Print the story of a fit as `explain` shows it; `unworked`: the engine at work could say something of it, and was not worked out."""
    out.print(Text(story.title[:1].upper() + story.title[1:], style="bold"))
    paragraph(out, f"{story.what[:1].upper()}{story.what[1:]}.", style="dim")
    style = STYLE["accepted" if result.record else str(result.standing)]
    if story.value:
        value, verdict = Text(f"{spelled(story.value)}  ", style="bold"), Text(f"  {story.verdict}", style=style)
        heading(out, value, mark_text(mark_of(result, expanded(result.estimate)), 25), verdict)
    else:
        out.print(Text(story.verdict, style=style))
        for missing in story.missing:
            paragraph(out, missing, first="  still to read: ")
    _fact(out, "chances", story.chances)
    _fact(out, "signed", story.signed)
    _fact(out, "hurts", story.hurts)
    _fact(out, "remedy", story.remedy)
    _fact(out, "to settle", story.settle)
    for note in story.notes:
        _fact(out, "note", note)
    _print_limits(out, story)
    _print_at_work(out, story.at_work, unworked)
    out.print(Text("\nHow it was had", style="bold"))
    _fact(out, "formula", story.formula)
    _fact(out, "governs", story.governing)
    _print_formulas(out, story)
    for size in story.sizes:
        correction = f"  ({spelled(size.correction)})" if size.correction else ""
        heading(out, Text(f"  {size.role}: "), Text(spelled(size.value), style="bold"), Text(correction, style="dim"))
        for how, readings in taken_alike(size.readings):
            paragraph(out, f"{'; '.join(readings)} ({how})", indent=6, style="dim")
    _print_budget(out, story)


def _print_formulas(out: Console, story: Story) -> None:
    """The formulas behind the fit, and the command that reckons the nearest of them with the fit's own numbers."""
    _fact(out, "reckon", ", ".join(each.slug for each in story.formulas))
    whole = next((each for each in story.formulas if each.whole), None)
    if whole is not None:
        print_command(out, whole.command)


def _print_at_work(out: Console, stories: Sequence[HotStory], unworked: bool) -> None:
    """What the engine at work makes of it, or how to have that."""
    if stories or unworked:
        out.print(Text("\nAt work", style="bold"))
    if unworked:
        paragraph(out, UNWORKED, indent=2, style="dim")
    for told in stories:
        mark = (Text("  "), mark_text(told.mark, 11)) if told.mark else ()
        words = Text(f"  {told.words}" if told.words else "", style=STYLE.get(told.standing, ""))
        heading(out, Text(f"  {told.title}: "), Text(spelled(told.value), style="bold"), *mark, words)
        for name, text in told.lines:
            _fact(out, name, text)


def _print_limits(out: Console, story: Story) -> None:
    if not story.sources:
        return
    out.print(Text("\nLimits", style="bold") + Text(f"  {story.limits}"))
    for text, decides in story.sources:
        paragraph(out, text, first="  > " if decides else "    ", style="" if decides else "dim")


def _print_budget(out: Console, story: Story) -> None:
    if not story.budget:
        return
    tail = f" ({story.dof})" if story.dof else ""
    out.print(Text(f"\nWhere the uncertainty comes from{tail}", style="bold"))
    shown, rest = weighty(story.budget)
    for line in shown:
        out.print(_budget_line(line))
    if rest:
        out.print(Text(f"  {rest}", style="dim"))


def _budget_line(line: BudgetLine) -> Text:
    filled = round(line.share * BAR)
    bar = spelled("█" * filled or "▏")
    owner, cut = spelled(line.owner), spelled("…")
    owner = owner if len(owner) <= OWNER else f"{owner[: OWNER - len(cut)]}{cut}"
    return Text(f"  {line.cause:<25}{owner:<{OWNER}} {line.u:>9}  {line.share:>4.0%} ") + Text(bar, style="blue")


def _fact(out: Console, name: str, text: str) -> None:
    if text:
        paragraph(out, text, first=f"  {name:<10}")
