"""The form for one's own engine: the questions of `jobfile.beginning`, all on one page, with a few usual shapes to begin with."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from blockwright.engine.layout import Case, Engine, Layout, Turning
from blockwright.jobfile.beginning import MATERIALS, Question, asked
from blockwright.materials import alloy_names
from blockwright.problems import Problem
from blockwright.quantities import Kind
from blockwright.quantities.declared import entries_of

PLAIN_NUMBER = re.compile(r"[0-9]+([.,][0-9]+)?")
LENGTH_UNIT = {"metric": "mm", "inch": "in"}
UNITS = tuple(LENGTH_UNIT)
LABELS = {
    "name": "What you call it",
    "cylinders": "Cylinders",
    "bank_angle": "Angle between the banks",
    "rotation": "Crank turns, seen from the front",
    "case": "How the crank is closed in",
    "liner_material": "Pistons run in",
    "bore": "Bore, after machining",
    "rod_length": "Rod, between centres",
    "power": "Power",
    "at_speed": "at",
    "boost": "Boost, above the air outside",
    "peak_pressure": "Highest pressure in the cylinder",
}
"""Words beside a field, where those of the question are too long for it."""


@dataclass(frozen=True)
class Like:
    """A usual shape to begin with: only what the architecture says, no size."""

    key: str
    words: str
    answers: Mapping[str, str]


LIKES = (
    Like("four", "Inline four", {"layout": "inline", "cylinders": "4", "case": str(Case.CAPS)}),
    Like("six", "Inline six", {"layout": "inline", "cylinders": "6", "case": str(Case.CAPS)}),
    Like("eight", "V eight", {"layout": "V", "cylinders": "8", "bank_angle": "90 deg", "case": str(Case.CAPS)}),
    Like("v-six", "V six", {"layout": "V", "cylinders": "6", "bank_angle": "60 deg", "case": str(Case.CAPS)}),
    Like("flat-four", "Flat four", {"layout": "flat", "cylinders": "4", "case": str(Case.SPLIT)}),
    Like("flat-six", "Flat six", {"layout": "flat", "cylinders": "6", "case": str(Case.SPLIT)}),
    Like("single", "Single", {"layout": "inline", "cylinders": "1", "case": str(Case.CAPS)}),
)


@dataclass(frozen=True)
class Field:
    """One thing to fill in."""

    key: str
    words: str
    value: str
    options: tuple[str, ...] = ()
    unit: str = ""
    wanted: bool = False
    fault: str = ""


@dataclass(frozen=True)
class FormPart:
    """Fields that belong together."""

    name: str
    fields: tuple[Field, ...]


def answers_from(said: Mapping[str, str]) -> tuple[dict[str, str], str, bool]:
    """What was filled in: answers, units and whether every check is wanted. A length without a unit gets the one that stood beside it."""
    units, full = said.get("units") or UNITS[0], bool(said.get("full"))
    unit = LENGTH_UNIT.get(units, "")
    answers = {question.key: _with_unit(question, said.get(question.key, "").strip(), unit) for question in asked(full)}
    return answers, units, full


def _with_unit(question: Question, text: str, unit: str) -> str:
    return f"{text} {unit}" if _is_length(question) and PLAIN_NUMBER.fullmatch(text) else text


def _is_length(question: Question) -> bool:
    _, declared, _ = entries_of(question.record)[question.key]
    return declared.kind is Kind.LENGTH


def form_of(said: Mapping[str, str], problems: Iterable[Problem] = ()) -> dict[str, Any]:
    """The context of the page: `said` is what was filled in, or `like` which shape to begin with."""
    told = list(problems)
    faults = {problem.place.field: _sentence(problem) for problem in reversed(told)}
    like = next((each for each in LIKES if each.key == said.get("like")), LIKES[0])
    units, full = said.get("units") or UNITS[0], bool(said.get("full"))
    shown = [_field(question, said, like, LENGTH_UNIT.get(units, ""), faults) for question in asked(full)]
    engine = {question.key for question in asked(full) if question.record is Engine}
    named = Field("units", "Units", units, UNITS, fault=faults.get("units", ""))
    sizes = tuple(field for field in shown if field.unit)
    rest = tuple(field for field in shown if field.key in engine and not field.unit)
    parts = (
        FormPart("The engine", (rest[0], named, *rest[1:])),
        FormPart("Its sizes", sizes),
        FormPart("What it is for", tuple(field for field in shown if field.key not in engine)),
    )
    return {"form_parts": parts, "likes": LIKES, "chosen": like.key, "full": full, "problems": told}


def _field(question: Question, said: Mapping[str, str], like: Like, unit: str, faults: Mapping[str, str]) -> Field:
    usual = like.answers.get(question.key, question.usual or "")
    return Field(
        question.key,
        LABELS.get(question.key) or question.words.removesuffix(", with unit").partition(":")[0],
        said.get(question.key, usual),
        _options(question.key),
        unit if _is_length(question) else "",
        question.usual is None,
        faults.get(question.key, ""),
    )


def _options(key: str) -> tuple[str, ...]:
    if key in MATERIALS:
        return (*(("",) if key == MATERIALS[1] else ()), *alloy_names())
    known = {"layout": Layout, "case": Case, "rotation": Turning}
    return tuple(map(str, known[key])) if key in known else ()


def _sentence(problem: Problem) -> str:
    what = problem.what[:1].upper() + problem.what[1:]
    return f"{what} {problem.mend}".strip()
