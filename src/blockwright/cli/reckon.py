"""`blockwright reckon`: the formulas behind the fits, listed, told, and worked out by hand."""

from __future__ import annotations

import shlex
from collections.abc import Sequence

from rich.console import Console
from rich.text import Text

from blockwright.cli.letters import plain, spelled
from blockwright.cli.terminal import console, paragraph
from blockwright.problems import BlockwrightError, Problem, excerpt
from blockwright.report.formulas.described import by_group, described, offered, short
from blockwright.report.formulas.table import Group, Offered

NAME_WIDE = 31
ENDS = " \\"


def reckon(words: Sequence[str], *, unit: str, as_json: bool) -> None:
    """List the formulas, tell one, or work one out, as the words ask for."""
    name = " ".join(word for word in words if "=" not in word)
    inputs = [word for word in words if "=" in word]
    if not name:
        _list(inputs, as_json=as_json)
    elif (group := _group(name)) is not None and not inputs:
        _print_group(console(), group, by_group()[group])
    else:
        _one(offered(name), inputs, unit=unit, as_json=as_json)


def print_command(out: Console, text: str) -> None:
    """A command to copy, over as many lines as it needs."""
    line = "  "
    for word in shlex.split(spelled(text)):
        key, equals, value = word.partition("=")
        piece = f"{key}={shlex.quote(value)}" if equals else word
        if len(line) + len(piece) + len(ENDS) > out.width:
            out.print(Text(line.rstrip() + ENDS))
            line = "    "
        line += f"{piece} "
    out.print(Text(line.rstrip()))


def _list(inputs: Sequence[str], *, as_json: bool) -> None:
    if inputs:
        what = f"'{excerpt(inputs[0])}' is given, and no formula is named."
        raise BlockwrightError(Problem("reckon-nothing", what, "blockwright reckon NAME INPUT=VALUE"))
    if as_json:
        from blockwright.report.formulas.as_json import list_json

        _dump(list_json())
        return
    out = console()
    for group, formulas in by_group().items():
        _print_group(out, group, formulas)
    out.print()
    paragraph(out, "blockwright reckon NAME tells what a formula asks for and where it comes from.", style="dim")


def _group(name: str) -> Group | None:
    typed = " ".join(name.lower().replace("-", " ").split())
    return next((group for group in Group if typed == group), None)


def _print_group(out: Console, group: Group, formulas: Sequence[Offered]) -> None:
    out.print(Text(f"\n{group.upper()}", style="bold"))
    for each in formulas:
        paragraph(out, short(each), first=f"  {each.slug:<{NAME_WIDE}}")


def _one(asked: Offered, inputs: Sequence[str], *, unit: str, as_json: bool) -> None:
    from blockwright.report.formulas.reckoned import reckon as worked
    from blockwright.report.formulas.reckoned import split

    formula = described(asked)
    if not inputs:
        if as_json:
            from blockwright.report.formulas.as_json import formula_json

            _dump(formula_json(formula))
        else:
            from blockwright.cli.reckon_show import show_formula

            show_formula(console(), formula)
        return
    found = worked(formula, split(inputs), unit)
    if as_json:
        from blockwright.report.formulas.as_json import reckoned_json

        _dump(reckoned_json(found))
    else:
        from blockwright.cli.reckon_show import show_reckoned

        show_reckoned(console(), found)


def _dump(value: object) -> None:
    from blockwright.report.as_json import dumps

    print(dumps(value, ascii=plain()))  # noqa: T201 - the data goes to standard output as it is
