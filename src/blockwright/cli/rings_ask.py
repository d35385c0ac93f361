"""The questions of the ring bench: an answer that cannot be is told and asked again, `q` at any of them stops."""

from __future__ import annotations

import re

import typer

from blockwright.choices.ring_bench import RingState
from blockwright.cli.letters import spelled
from blockwright.engine.job import Job
from blockwright.problems import excerpt
from blockwright.quantities import whole_number
from blockwright.report.ring_words import units_text

STOP = ("q", "quit", "stop")
COUNT = re.compile(r"\d{1,9}(\.\d{1,9})?|\.\d{1,9}")


class Leave(Exception):  # noqa: N818 - not an error: the builder stops for today
    """The builder stops."""


def ask(question: str, usual: str = "", *, blank: bool = False) -> str:
    """What is typed; nothing typed is the usual answer, or, where `blank` is allowed and there is none, an empty text."""
    while True:
        text = str(typer.prompt(spelled(f"  {question}"), default=usual, show_default=bool(usual))).strip()
        if text.lower() in STOP:
            raise Leave
        if text or blank:
            return text
        typer.echo("  Something must be typed here; q stops.")


def sure(question: str) -> bool:
    """Yes or no; nothing else will do."""
    while True:
        text = ask(f"{question}? y or n", blank=True).lower()
        if text in ("y", "yes", "n", "no"):
            return text.startswith("y")
        typer.echo("  Say y or n.")


def taken(job: Job, state: RingState) -> float:
    """How much was really taken; 0 reads the ring again."""
    assert state.advice is not None
    grinder, advised = job.sheet.grinder, state.advice.units
    counted = grinder.counted_in
    while True:
        text = ask(f"{counted.capitalize()} taken (0 reads it again)", f"{advised:g}").replace(",", ".")
        if text.startswith(("-", "−")):
            typer.echo("  Nothing can be put back: give what was taken, or 0.")
        elif not COUNT.fullmatch(text):
            typer.echo(f"  '{excerpt(text)}' is no count of {counted}.")
        elif grinder.whole and not float(text).is_integer():
            typer.echo(f"  This grinder counts whole {counted} only.")
        elif float(text) <= advised or sure(
            f"That is more than the {units_text(advised, counted)} advised. Is {text} right"
        ):
            return float(text)


def which(question: str, possible: int) -> int | None:
    """A number from 1, or `None` where nothing is typed."""
    while True:
        text = ask(f"{question} (1 to {possible}; Enter for none)", blank=True)
        if not text:
            return None
        number = whole_number(text)
        if number is not None and 1 <= number <= possible:
            return number
        typer.echo(f"  Say a number from 1 to {possible}, or Enter for none.")
