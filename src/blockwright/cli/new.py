"""`blockwright new`: the few questions that a job cannot do without, then a folder with every reading still to take."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import typer

from blockwright.choices.plan import plan
from blockwright.engine.duty import Duty
from blockwright.engine.job import FORMAT, GAUGE_FORMAT, GaugeSheet, Job, JobSheet
from blockwright.engine.layout import Engine
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Place
from blockwright.jobfile.records import check_field, read_alone
from blockwright.jobfile.write import folder_texts, write_folder
from blockwright.problems import BlockwrightError, Problem
from blockwright.quantities.declared import Written

MARKS = {PartKind.PISTON: "P", PartKind.PIN: "W", PartKind.RINGS: "R", PartKind.ROD: "C"}


@dataclass(frozen=True)
class Question:
    """One thing to ask: which field it fills, in words, with what stands if nothing is said (`None`: it must be said)."""

    record: type[Written]
    key: str
    words: str
    usual: str | None = None


QUESTIONS = (
    Question(Engine, "name", "What do you call this engine"),
    Question(Engine, "layout", "inline, V or flat", "inline"),
    Question(Engine, "cylinders", "How many cylinders", "4"),
    Question(Engine, "bank_angle", "Angle between the banks", "90 deg"),
    Question(Engine, "rotation", "Turning clockwise or anticlockwise, seen from the front", "clockwise"),
    Question(Engine, "case", "'block with caps', 'bedplate' or 'case split on the crank line'", "block with caps"),
    Question(Engine, "housing_material", "Material of block or case", "grey iron"),
    Question(Engine, "liner_material", "Material that the pistons run in", ""),
    Question(Engine, "bore", "Bore after machining, with unit"),
    Question(Engine, "stroke", "Stroke, with unit"),
    Question(Engine, "rod_length", "Rod length between centres, with unit"),
    Question(Engine, "main_journal", "Main journal, with unit"),
    Question(Engine, "rod_journal", "Rod journal, with unit"),
    Question(Engine, "pin_diameter", "Piston pin, with unit"),
    Question(Duty, "power", "Power it is to give", "100 kW"),
    Question(Duty, "at_speed", "at", "5500 rpm"),
    Question(Duty, "redline", "Highest speed", "6000 rpm"),
    Question(Duty, "boost", "Boost above the air outside", "0 bar"),
    Question(Duty, "full_load_share", "Share of its life at full load", "10 %"),
)


def start(folder: Path, given: Mapping[str, str], ask: bool, full: bool) -> None:
    """Make a job folder from what is given and, if `ask`, from questions on the terminal."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise BlockwrightError(
            Problem(
                "new-folder", f"{folder} is there already and not empty.", "Name another folder; nothing was changed."
            )
        )
    answers = _answers(given, ask)
    sheet = _sheet(answers, given.get("units") or "metric")
    made = plan(sheet, full=full)
    gauges = GaugeSheet(format=GAUGE_FORMAT, gauge=made.gauges, setting=made.settings)
    write_folder(folder, folder_texts(Job(sheet, gauges, made.readings)))
    typer.echo(
        f"Made {folder}: {len(made.readings)} readings to take, {len(made.gauges)} gauges, {len(made.settings)} settings."
    )
    typer.echo("Next: write your gauges' certificates into gauges.toml and the makers' limits into job.toml,")
    typer.echo(f"fill the value column of readings.csv from top to bottom, then: blockwright fits {folder}")


def _answers(given: Mapping[str, str], ask: bool) -> dict[tuple[type[Written], str], str]:
    answers: dict[tuple[type[Written], str], str] = {}
    problems: list[Problem] = []
    for question in QUESTIONS:
        if question.key == "bank_angle" and answers.get((Engine, "layout"), "").lower() != "v":
            continue
        text = given.get(question.key, "")
        fault = check_field(question.record, question.key, _typed(question, text)) if text else None
        if fault is not None:
            problems.append(fault)
        elif not text and ask and not problems:
            text = _ask(question)
        elif not text and question.usual is None:
            problems.append(
                Problem(
                    "new-missing",
                    f"{question.key} is not given.",
                    f"Add --{question.key.replace('_', '-')}: {question.words}.",
                )
            )
        answers[(question.record, question.key)] = text or question.usual or ""
    if problems:
        raise BlockwrightError(problems)
    return answers


def _ask(question: Question) -> str:
    """Ask until the answer can be used."""
    while True:
        text = str(typer.prompt(question.words, default=question.usual, show_default=bool(question.usual))).strip()
        fault = check_field(question.record, question.key, _typed(question, text)) if text else None
        if fault is None:
            return text
        typer.echo(f"  {fault.what} {fault.mend}")


def _typed(question: Question, text: str) -> Any:
    return int(text) if question.key == "cylinders" and text.isdigit() else text


def _sheet(answers: Mapping[tuple[type[Written], str], str], units: str) -> JobSheet:
    def table(record: type[Written]) -> dict[str, Any]:
        return {
            q.key: _typed(q, answers[(record, q.key)])
            for q in QUESTIONS
            if q.record is record and answers.get((record, q.key))
        }

    engine = table(Engine)
    whole = {
        "format": FORMAT, "job": engine["name"], "engine": engine, "duty": table(Duty), "rules": {"units": units},
    }  # fmt: skip
    bare = read_alone(JobSheet, whole)
    numbers = [position.number for position in bare.engine.positions(Place.CYLINDER)]
    mains = range(1, bare.engine.main_count + 1)
    return read_alone(JobSheet, {**whole, **_parts(numbers, list(mains))})


def _parts(numbers: list[int], mains: list[int]) -> dict[str, Any]:
    """A part of each kind for each place, marked by its number, and assigned there."""
    parts = [{"mark": "B1", "kind": "block"}, {"mark": "K1", "kind": "crank"}]
    parts += [{"mark": f"{mark}{n}", "kind": str(kind)} for kind, mark in MARKS.items() for n in numbers]
    parts += [{"mark": f"C{half}{n}", "kind": "shell"} for n in numbers for half in "UL"]
    parts += [{"mark": f"M{half}{n}", "kind": "shell"} for n in mains for half in "UL"]
    cylinders = [
        {
            "number": n,
            "piston": f"P{n}",
            "pin": f"W{n}",
            "rings": f"R{n}",
            "rod": f"C{n}",
            "shells": [f"CU{n}", f"CL{n}"],
        }
        for n in numbers
    ]
    seats = [{"number": n, "shells": [f"MU{n}", f"ML{n}"]} for n in mains]
    return {"part": parts, "cylinder": cylinders, "main": seats}
