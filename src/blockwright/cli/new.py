"""`blockwright new`: the few questions that a job cannot do without, then a folder with every reading still to take."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import typer

from blockwright.choices.plan import plan
from blockwright.cli.terminal import console, paragraph
from blockwright.engine.duty import Duty
from blockwright.engine.job import FORMAT, GAUGE_FORMAT, GaugeSheet, Job, JobSheet
from blockwright.engine.layout import Engine, Layout
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Place
from blockwright.engine.rules import ShopRules
from blockwright.jobfile.folder import GAUGE_FILE, JOB_FILE
from blockwright.jobfile.records import blank, check_field, read_alone
from blockwright.jobfile.write import folder_texts, write_folder
from blockwright.materials import alloy, alloy_names
from blockwright.problems import BlockwrightError, Problem, excerpt
from blockwright.problems import Place as Where
from blockwright.quantities import whole_number
from blockwright.quantities.declared import Written, entries_of
from blockwright.quantities.lookup import known_units

MARKS = {PartKind.PISTON: "P", PartKind.PIN: "W", PartKind.RINGS: "R", PartKind.ROD: "C"}
MATERIALS = ("housing_material", "liner_material")


@dataclass(frozen=True)
class Question:
    """One thing to ask: which field it fills, in words, with what stands if nothing is said (`None`: it must be said).

    `full`: asked only for a job with every check there is.
    """

    record: type[Written]
    key: str
    words: str
    usual: str | None = None
    full: bool = False


QUESTIONS = (
    Question(Engine, "name", "What do you call this engine"),
    Question(Engine, "layout", "Layout: inline, V or flat", "inline"),
    Question(Engine, "cylinders", "How many cylinders", "4"),
    Question(Engine, "bank_angle", "Angle between the banks", "90 deg"),
    Question(Engine, "rotation", "Crank seen from the front turns clockwise or anticlockwise", "clockwise"),
    Question(Engine, "case", "Block with caps, bedplate, or case split on the crank line", "block with caps"),
    Question(Engine, "housing_material", "Material of block or case", "grey iron"),
    Question(Engine, "liner_material", "Material that the pistons run in, if another", ""),
    Question(Engine, "bore", "Bore after machining, with unit"),
    Question(Engine, "stroke", "Stroke, with unit"),
    Question(Engine, "rod_length", "Rod length between centres, with unit"),
    Question(Engine, "main_journal", "Main journal, with unit"),
    Question(Engine, "rod_journal", "Rod journal, with unit"),
    Question(Engine, "pin_diameter", "Piston pin, with unit"),
    Question(Engine, "main_housing", "Main housing without shells, with unit", "", full=True),
    Question(Engine, "big_end", "Big end without shells, with unit", "", full=True),
    Question(Duty, "power", "Power it is to give", "100 kW"),
    Question(Duty, "at_speed", "at", "5500 rpm"),
    Question(Duty, "redline", "Highest speed", "6000 rpm"),
    Question(Duty, "boost", "Boost above the air outside", "0 bar"),
    Question(Duty, "full_load_share", "Share of its life at full load", "10 %"),
    Question(Duty, "peak_pressure", "Highest pressure in the cylinder, with unit", "", full=True),
)
ASKED_BY = {"banks": "cylinders"}
"""Which question decides a field that is not asked itself."""

LEAVE = ("q", "quit")
NO_UNIT = "quantity-no-unit"
MOST_OFFERED = 3
EXAMPLE_OF_LIMITS = """
# A maker's limits, for example:
# [[limit]]
# fit = "wall clearance"
# authority = "part maker"
# source = "piston sheet"
# low = "{low}"
# high = "{high}"
"""
EXAMPLE_OF_CERTIFICATE = """
# What the certificate of a gauge says goes into its [[gauge]], for example:
# certificate = "{u}"   # expanded uncertainty U
# coverage = 2.0         # its factor k
# due = 2027-06-30       # checked again by then
"""
IN_EXAMPLES = {
    "metric": {"low": "0.05 mm", "high": "0.07 mm", "u": "2 um"},
    "inch": {"low": "2 thou", "high": "3 thou", "u": "0.0001 in"},
}

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
    sheet = _sheet(_answers(given, units, ask, full), units, ask)
    made = plan(sheet, full=full)
    gauges = GaugeSheet(format=GAUGE_FORMAT, gauge=made.gauges, setting=made.settings)
    texts = folder_texts(Job(sheet, gauges, made.readings))
    told = IN_EXAMPLES[str(sheet.rules.units)]
    texts[JOB_FILE] += EXAMPLE_OF_LIMITS.format(**told)
    texts[GAUGE_FILE] += EXAMPLE_OF_CERTIFICATE.format(**told)
    write_folder(folder, texts)
    out = console()
    paragraph(
        out,
        f"Made {folder}: {len(made.readings)} readings to take, {len(made.gauges)} gauges, {len(made.settings)} settings.",
    )
    paragraph(
        out,
        "Next: write your gauges' certificates into gauges.toml and the makers' limits into job.toml, fill the value column of "
        f"readings.csv from top to bottom, then: blockwright fits {folder}",
    )


def _answers(given: Mapping[str, str], units: str, ask: bool, full: bool) -> Answers:
    """What was given, checked, and then what was asked; with anything wrong, everything that is wrong and missing."""
    asked = [question for question in QUESTIONS if full or not question.full]
    told = {question.key: given.get(question.key, "").strip() for question in asked}
    problems = [_named(fault, q.key) for q in asked if (fault := _fault(q, told[q.key])) is not None]
    wrong_units = check_field(ShopRules, "units", units)
    if wrong_units is not None:
        problems.append(_named(wrong_units, "units"))
    if problems or not ask:
        problems += [_missing(question) for question in asked if question.usual is None and not told[question.key]]
    if problems:
        raise BlockwrightError(problems)
    answers: Answers = {}
    for question in asked:
        if question.key != "bank_angle" or answers["layout"].lower() == "v":
            text = told[question.key]
            answers[question.key] = text or (_ask(question) if ask else question.usual or "")
    return answers


def _named(fault: Problem, key: str) -> Problem:
    return replace(fault, place=Where(field=_option(key)))


def _missing(question: Question) -> Problem:
    what = f"{_option(question.key)} is wanted ({question.words[0].lower()}{question.words[1:]})."
    return Problem("new-missing", what, f"Add {_option(question.key)} '...'.")


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
        fault = _needed() if text is None else _fault(question, text)
        if text is not None and fault is None:
            return text
        _say([fault] if fault else [])


def _needed() -> Problem:
    return Problem("new-empty", "an answer is needed here.", "Or q to leave; nothing is made then.")


def _say(faults: Iterable[Problem]) -> None:
    out = console()
    for fault in faults:
        paragraph(out, f"{fault.what[:1].upper()}{fault.what[1:]} {fault.mend}".strip(), first="  ")


def _fault(question: Question, text: str) -> Problem | None:
    """What is wrong with an answer, if anything; an answer that was not given is never wrong."""
    if not text:
        return None
    value = _typed(question, text)
    fault = check_field(question.record, question.key, value)
    if fault is not None and fault.code == NO_UNIT:
        fault = replace(fault, what=f"{excerpt(text)} has no unit.", mend=_units_that_fit(question, text))
    if fault is None and question.key in MATERIALS:
        try:
            alloy(text)
        except BlockwrightError as error:
            return error.problems[0]
    if fault is None and question.key == "cylinders":
        known = replace(blank(Engine), cylinders=value).faults()
        return next((replace(each, mend="") for each in known if each.code == "engine-cylinders"), None)
    return fault


def _units_that_fit(question: Question, text: str) -> str:
    """`Write 90 mm, whichever is meant`: only units in which the number is plausible here."""
    _, declared, _ = entries_of(question.record)[question.key]
    assert declared.kind is not None
    offered = (f"{text} {unit}".strip() for unit in known_units(declared.kind))
    fit = [each for each in offered if check_field(question.record, question.key, each) is None][:MOST_OFFERED]
    if not fit:
        return f"Write it with its unit{f', such as {question.usual}' if question.usual else ': 86 mm or 3.386 in'}."
    return f"Write {' or '.join(fit)}{', whichever is meant' if len(fit) > 1 else ''}."


def _typed(question: Question, text: str) -> Any:
    count = whole_number(text) if question.key == "cylinders" else None
    return text if count is None else count


def _sheet(answers: Answers, units: str, ask: bool) -> JobSheet:
    """The job's sheet. Where answers contradict each other they are asked again, or, if not `ask`, told as problems."""
    while faults := _contradictions(_bare(answers, units).engine):
        keys = [ASKED_BY.get(field, field) for field in (fault.place.field.split(".")[-1] for fault in faults)]
        again = [question for question in QUESTIONS if question.key in keys]
        if not ask or not again:
            raise BlockwrightError(
                Problem(fault.code, fault.what, f"Change {_option(key)}.")
                for fault, key in zip(faults, keys, strict=True)
            )
        _say(replace(fault, mend="") for fault in faults)
        answers |= {question.key: _ask(question) for question in again}
    bare = _bare(answers, units)
    numbers = [position.number for position in bare.engine.positions(Place.CYLINDER)]
    mains = range(1, bare.engine.main_count + 1)
    return read_alone(JobSheet, _table(answers, units) | _parts(numbers, list(mains)))


def _contradictions(engine: Engine) -> tuple[Problem, ...]:
    """What in the answers contradicts itself; a flat engine of an odd number is no engine, though its numbers could be dealt out."""
    faults = engine.faults()
    if engine.layout is Layout.FLAT and engine.cylinders % 2 and not faults:
        what = f"a flat engine with {engine.cylinders} cylinders: one side would have one more than the other."
        return (Problem("new-flat", what, "", Where(field="engine.cylinders")),)
    return faults


def _bare(answers: Answers, units: str) -> JobSheet:
    return read_alone(JobSheet, _table(answers, units))


def _table(answers: Answers, units: str) -> dict[str, Any]:
    def of(record: type[Written]) -> dict[str, Any]:
        return {q.key: _typed(q, answers[q.key]) for q in QUESTIONS if q.record is record and answers.get(q.key)}

    return {
        "format": FORMAT, "job": answers["name"], "engine": of(Engine), "duty": of(Duty), "rules": {"units": units},
    }  # fmt: skip


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
