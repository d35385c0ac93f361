"""`blockwright new`: the few questions that a job cannot do without, then a folder with every reading still to take."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path

import typer

from blockwright.cli.terminal import console, paragraph
from blockwright.engine.job import JobSheet
from blockwright.jobfile.beginning import (
    MATERIALS,
    QUESTIONS,
    Question,
    answer_faults,
    asked,
    begun,
    contradictions,
    fault_of,
    matters,
    sheet_of,
)
from blockwright.jobfile.write import write_folder
from blockwright.materials import alloy_names
from blockwright.problems import BlockwrightError, Problem
from blockwright.problems import Place as Where

LEAVE = ("q", "quit")

Answers = dict[str, str]


def start(folder: Path, given: Mapping[str, str], ask: bool, full: bool) -> None:
    """Make a job folder from what is given and, if `ask`, from questions on the terminal."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise BlockwrightError(
            Problem(
                "new-folder", f"{folder} is there already and not empty.", "Name another folder; nothing was changed."
            )
        )
    units = given.get("units") or "metric"
    made = begun(_sheet(_answers(given, units, ask, full), units, ask), full=full)
    write_folder(folder, made.texts)
    out = console()
    paragraph(
        out,
        f"Made {folder}: {made.readings} readings to take, {made.gauges} gauges, {made.settings} settings.",
    )
    paragraph(
        out,
        "Next: write your gauges' certificates into gauges.toml and the makers' limits into job.toml, fill the value column of "
        f"readings.csv from top to bottom, then: blockwright fits {folder}",
    )


def _answers(given: Mapping[str, str], units: str, ask: bool, full: bool) -> Answers:
    """What was given, checked, and then what was asked; with anything wrong, everything that is wrong and missing."""
    problems = answer_faults(given, units, full, complete=not ask)
    if problems:
        raise BlockwrightError(map(_as_option, problems))
    answers: Answers = {}
    for question in asked(full):
        if matters(question, answers.get("layout", "")):
            text = given.get(question.key, "").strip()
            answers[question.key] = text or (_ask(question) if ask else question.usual or "")
    return answers


def _as_option(fault: Problem) -> Problem:
    """A fault at a question as one at an option of the command."""
    key = fault.place.field
    if fault.code != "new-missing":
        return replace(fault, place=Where(field=_option(key)))
    words = next(question.words for question in QUESTIONS if question.key == key)
    what = f"{_option(key)} is wanted ({words[0].lower()}{words[1:]})."
    return Problem("new-missing", what, f"Add {_option(key)} '...'.")


def _option(key: str) -> str:
    return f"--{key.replace('_', '-')}"


def _ask(question: Question) -> str:
    """Ask until the answer can be used."""
    usual = f" [{question.usual}]" if question.usual else ""
    if question.key == MATERIALS[0]:
        paragraph(console(), f"Materials: {', '.join(alloy_names())}.", first="  ")
    while True:
        try:
            text = input(f"{question.words}{usual}: ").strip() or question.usual
        except EOFError:
            what = f"the answers ended before '{question.words}'."
            raise BlockwrightError(Problem("new-ended", what, "Nothing was made; begin again.")) from None
        if text is not None and text.lower() in LEAVE:
            paragraph(console(), "Left; nothing was made.")
            raise typer.Exit(2)
        fault = _needed() if text is None else fault_of(question, text)
        if text is not None and fault is None:
            return text
        _say([fault] if fault else [])


def _needed() -> Problem:
    return Problem("new-empty", "an answer is needed here.", "Or q to leave; nothing is made then.")


def _say(faults: Iterable[Problem]) -> None:
    out = console()
    for fault in faults:
        paragraph(out, f"{fault.what[:1].upper()}{fault.what[1:]} {fault.mend}".strip(), first="  ")


def _sheet(answers: Answers, units: str, ask: bool) -> JobSheet:
    """The job's sheet. Where answers contradict each other they are asked again, or, if not `ask`, told as problems."""
    while faults := contradictions(answers, units):
        keys = [key for _, key in faults]
        again = [question for question in QUESTIONS if question.key in keys]
        if not ask or not again:
            raise BlockwrightError(Problem(fault.code, fault.what, f"Change {_option(key)}.") for fault, key in faults)
        _say(replace(fault, mend="") for fault, _ in faults)
        answers |= {question.key: _ask(question) for question in again}
    return sheet_of(answers, units)
