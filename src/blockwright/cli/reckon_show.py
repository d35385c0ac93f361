"""A formula, and what it gave, on the terminal: inputs with their units, the equation, the source."""

from __future__ import annotations

from rich.console import Console
from rich.text import Text

from blockwright.cli.letters import spelled
from blockwright.cli.reckon import print_command
from blockwright.cli.terminal import paragraph
from blockwright.report.formulas.described import Formula, Input
from blockwright.report.formulas.examples import example_inputs
from blockwright.report.formulas.reckoned import Reckoned, default_told

WIDE = 24
"""Room for the name of an input or of a part of a result."""
BARE = "Give each value with its unit. A bare number is taken only where one unit can be meant: plain numbers, temperatures, and what SI alone has."
NO_SOURCE = "Its function names none."


def show_formula(out: Console, formula: Formula) -> None:
    """What a formula is, what it asks for, its equation, its source, an example."""
    _head(out, formula)
    out.print(Text("\nInputs", style="bold"))
    for one in formula.inputs:
        paragraph(out, _asked(one), first=f"  {one.key:<{WIDE}}")
    _print_text(out, "Formula", formula.notes)
    _print_text(out, "Example", formula.example)
    inputs = example_inputs(formula)
    if inputs:
        print_command(out, formula.offered.command(inputs))
    _print_source(out, formula)
    out.print()
    first = next((one for one in formula.inputs if one.wanted), formula.inputs[0])
    paragraph(out, f"blockwright reckon {formula.offered.slug} {first.key}=VALUE ... works it out.", style="dim")
    paragraph(out, BARE, style="dim")


def show_reckoned(out: Console, found: Reckoned) -> None:
    """The result, the inputs it rests on, the equation and the source."""
    name = _capital(found.formula.offered.name)
    if len(found.parts) == 1:
        out.print(Text(f"{name}  ") + Text(spelled(found.told(found.parts[0])), style="bold"))
    else:
        out.print(Text(name, style="bold"))
        for part in found.parts:
            out.print(Text(f"  {part.name:<{WIDE}}") + Text(spelled(found.told(part)), style="bold"))
    paragraph(out, found.formula.what, style="dim")
    out.print(Text("\nFrom", style="bold"))
    for each in found.given:
        out.print(Text(f"  {each.input.key:<{WIDE}}{spelled(each.text)}"))
    _print_text(out, "Formula", found.formula.notes)
    _print_source(out, found.formula)


def _head(out: Console, formula: Formula) -> None:
    out.print(Text(_capital(formula.offered.name), style="bold") + Text(f"  {formula.offered.slug}", style="dim"))
    paragraph(out, formula.what)
    for text in formula.more.split("\n\n"):
        if text:
            paragraph(out, " ".join(text.split()), style="dim")
    if formula.offered.fits:
        paragraph(out, ", ".join(formula.offered.fits), first="serves  ", style="dim")


def _asked(one: Input) -> str:
    """What an input is: its symbol, its unit, its default, its meaning."""
    unit = " or ".join(one.choices) if one.choices else "as typed" if one.text else one.measure.symbol or "plain"
    usual = "" if one.wanted else f", {default_told(one)} unless given"
    sign = f"{one.symbol}, " if one.symbol else ""
    return f"({sign}{unit}{usual}) {one.meaning}".rstrip()


def _print_source(out: Console, formula: Formula) -> None:
    _print_text(out, "Source", "\n\n".join(each for each in (formula.sources, formula.standing) if each) or NO_SOURCE)


def _print_text(out: Console, title: str, text: str) -> None:
    """A part of a docstring under its title: paragraphs as such, lines of an example as they are."""
    if not text:
        return
    out.print(Text(f"\n{title}", style="bold"))
    for piece in text.split("\n\n"):
        lines = piece.splitlines()
        if lines[0].startswith(">>>"):
            for line in lines:
                out.print(Text(f"    {spelled(line)}", style="dim"), soft_wrap=True)
        else:
            paragraph(out, " ".join(" ".join(lines).split()), indent=2)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
