"""A job's beginning: the few questions that it cannot do without, and of the answers a job's files with every reading still to take.

The terminal asks one question after the other, a page all at once; both come here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from blockwright.choices.plan import plan
from blockwright.engine.duty import Duty
from blockwright.engine.job import FORMAT, GAUGE_FORMAT, GaugeSheet, Job, JobSheet
from blockwright.engine.layout import Engine, Layout
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Place
from blockwright.engine.rules import ShopRules
from blockwright.jobfile.folder import GAUGE_FILE, JOB_FILE
from blockwright.jobfile.records import blank, check_field, read_alone
from blockwright.jobfile.write import folder_texts
from blockwright.materials import alloy
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

Answers = Mapping[str, str]


@dataclass(frozen=True)
class Begun:
    """A job begun: the texts of its files, and how many readings, gauges and settings they hold."""

    texts: dict[str, str]
    readings: int
    gauges: int
    settings: int


def asked(full: bool) -> tuple[Question, ...]:
    """The questions for a usual job, or for one with every check there is."""
    return tuple(question for question in QUESTIONS if full or not question.full)


def matters(question: Question, layout: str) -> bool:
    """Whether a question is asked of an engine of this layout."""
    return question.key != "bank_angle" or layout.strip().lower() == "v"


def answer_faults(given: Answers, units: str, full: bool, *, complete: bool) -> tuple[Problem, ...]:
    """What is wrong with answers, each fault at its question's key; with anything wrong, or if `complete`, what is missing too."""
    questions = asked(full)
    told = {question.key: given.get(question.key, "").strip() for question in questions}
    problems = [_at(fault, q.key) for q in questions if (fault := fault_of(q, told[q.key])) is not None]
    wrong_units = check_field(ShopRules, "units", units)
    if wrong_units is not None:
        problems.append(_at(wrong_units, "units"))
    if problems or complete:
        problems += [missing(question) for question in questions if question.usual is None and not told[question.key]]
    return tuple(problems)


def completed(given: Answers, full: bool) -> dict[str, str]:
    """The answers, what was not said as it usually is."""
    layout = given.get("layout", "").strip() or "inline"
    questions = (question for question in asked(full) if matters(question, layout))
    return {question.key: given.get(question.key, "").strip() or question.usual or "" for question in questions}


def missing(question: Question) -> Problem:
    """That an answer is wanted."""
    return Problem(
        "new-missing", f"there is no answer to “{question.words}”.", "Fill it in.", Where(field=question.key)
    )


def begin(given: Answers, units: str = "metric", *, full: bool = False) -> Begun:
    """A job from a page's answers. Raises BlockwrightError with everything that is wrong, each fault at its question's key."""
    problems = answer_faults(given, units, full, complete=True)
    if problems:
        raise BlockwrightError(problems)
    answers = completed(given, full)
    faults = contradictions(answers, units)
    if faults:
        raise BlockwrightError(_at(fault, key) for fault, key in faults)
    return begun(sheet_of(answers, units), full=full)


def begun(sheet: JobSheet, *, full: bool = False) -> Begun:
    """The files of a job of which only its sheet is there yet: every reading still to take, and the gauges for them."""
    made = plan(sheet, full=full)
    gauges = GaugeSheet(format=GAUGE_FORMAT, gauge=made.gauges, setting=made.settings)
    texts = folder_texts(Job(sheet, gauges, made.readings))
    told = IN_EXAMPLES[str(sheet.rules.units)]
    texts[JOB_FILE] += EXAMPLE_OF_LIMITS.format(**told)
    texts[GAUGE_FILE] += EXAMPLE_OF_CERTIFICATE.format(**told)
    return Begun(texts, len(made.readings), len(made.gauges), len(made.settings))


def contradictions(answers: Answers, units: str) -> tuple[tuple[Problem, str], ...]:
    """What in the answers contradicts itself, each with the question that decides it."""
    fields = ((fault, fault.place.field.split(".")[-1]) for fault in _contradictions(_bare(answers, units).engine))
    return tuple((fault, ASKED_BY.get(field, field)) for fault, field in fields)


def sheet_of(answers: Answers, units: str) -> JobSheet:
    """The sheet of a job, a part of each kind for each place, from answers that do not contradict each other."""
    engine = _bare(answers, units).engine
    numbers = [position.number for position in engine.positions(Place.CYLINDER)]
    return read_alone(JobSheet, _table(answers, units) | _parts(numbers, list(range(1, engine.main_count + 1))))


def _at(fault: Problem, key: str) -> Problem:
    return replace(fault, place=Where(field=key))


def fault_of(question: Question, text: str) -> Problem | None:
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
