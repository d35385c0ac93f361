"""What the pages of formulas show: the list by what they serve; a form, and what it gave or why it was refused."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from blockwright.bench.links import link
from blockwright.bench.problems import capitals
from blockwright.bench.standing import Say
from blockwright.bench.tones import Tone
from blockwright.problems import BlockwrightError, Place, Problem
from blockwright.quantities import known_units
from blockwright.report.formulas.described import Formula, Input, by_group, described, offered, short
from blockwright.report.formulas.examples import example_inputs
from blockwright.report.formulas.of_fit import Behind
from blockwright.report.formulas.reckoned import Reckoned, default_told, reckon

GO = "go"
"""What the button sends, so that an empty form that was sent is told from one that was opened."""
UNIT = "unit"
OFFERED_UNITS = 3


@dataclass(frozen=True)
class Line:
    """One formula of the list."""

    name: str
    what: str
    to: str


@dataclass(frozen=True)
class Field:
    """One input of the form."""

    key: str
    words: str
    value: str
    hint: str
    options: tuple[str, ...] = ()
    wanted: bool = False
    fault: str = ""


@dataclass(frozen=True)
class Shown:
    """A row of two: a name and what it is."""

    name: str
    value: str


def listing() -> dict[str, Any]:
    """The context of the list."""
    groups = [
        (str(group), [Line(each.name, short(each), link("reckon-one", formula=each.slug)) for each in formulas])
        for group, formulas in by_group().items()
    ]
    return {"groups": groups}


def linked(formulas: Iterable[Behind]) -> list[Shown]:
    """Formulas behind a fit: their name, and the address of the form with what the fit knows filled in."""
    return [Shown(each.name, f"{link('reckon-one', formula=each.slug)}?{urlencode(each.inputs)}") for each in formulas]


def form_of(name: str, said: Mapping[str, str]) -> dict[str, Any]:
    """The context of one formula's page. Raises BlockwrightError where there is no such formula."""
    formula = described(offered(name))
    typed = {one.key: said[one.key].strip() for one in formula.inputs if said.get(one.key, "").strip()}
    found: Reckoned | None = None
    problems: tuple[Problem, ...] = ()
    example = example_inputs(formula)
    if GO in said or all(one.key in typed for one in formula.inputs if one.wanted):
        found, problems = _worked(formula, typed, said.get(UNIT, "").strip())
    return {
        "say": _say(formula, found, problems),
        "formula": formula,
        "name": formula.offered.name,
        "fields": [_field(one, typed, problems) for one in formula.inputs],
        "unit": said.get(UNIT, ""),
        "unit_fault": next((_sentence(each) for each in problems if each.place.field == UNIT), ""),
        "others": capitals(each for each in problems if each.place.field not in {one.key for one in formula.inputs} | {UNIT}),
        "parts": [Shown(part.name or formula.offered.name, found.told(part)) for part in found.parts] if found else [],
        "given": [Shown(each.input.name, each.text) for each in found.given] if found else [],
        "refused": bool(problems),
        "example_to": f"?{urlencode(example)}" if example else "",
    }  # fmt: skip


def _worked(formula: Formula, typed: Mapping[str, str], unit: str) -> tuple[Reckoned | None, tuple[Problem, ...]]:
    """What it gives, or what is wrong: a unit that the result has not is told at the field of the unit."""
    try:
        reckon(formula, typed)
    except BlockwrightError as error:
        return None, tuple(_at_fields(formula, typed, error.problems))
    try:
        return reckon(formula, typed, unit), ()
    except BlockwrightError as error:
        return None, tuple(each.at(field=UNIT) for each in error.problems)


def _at_fields(formula: Formula, typed: Mapping[str, str], problems: Iterable[Problem]) -> Iterator[Problem]:
    """Problems as a form tells them: what is missing, at each field that is empty."""
    for problem in problems:
        if problem.code != "reckon-missing":
            yield problem
            continue
        for one in formula.inputs:
            if one.wanted and one.key not in typed:
                yield Problem("reckon-missing", "it is missing.", "Write it with its unit.", Place(field=one.key))


def _say(formula: Formula, found: Reckoned | None, problems: tuple[Problem, ...]) -> Say:
    name = formula.offered.name[:1].upper() + formula.offered.name[1:]
    if problems:
        return Say(
            Tone.OUT, f"{name}: something is to be mended first.", "It stands at the field, or beneath the form."
        )
    if found is not None and len(found.parts) == 1:
        return Say(Tone.PLAIN, f"{name}: {found.told(found.parts[0])}", formula.what)
    return Say(Tone.PLAIN, name, formula.what)


def _field(one: Input, typed: Mapping[str, str], problems: Iterable[Problem]) -> Field:
    fault = next((_sentence(each) for each in problems if each.place.field == one.key), "")
    return Field(one.key, _label(one), typed.get(one.key, ""), _hint(one), _options(one), one.wanted, fault)


def _label(one: Input) -> str:
    name = one.name[:1].upper() + one.name[1:]
    return f"{name} ({one.symbol})" if one.symbol else name


def _options(one: Input) -> tuple[str, ...]:
    """The words to choose from, the usual one first."""
    usual = default_told(one) if one.choices and not one.wanted else ""
    return tuple(sorted(one.choices, key=lambda word: word != usual))


def _hint(one: Input) -> str:
    """What an input is, and how it is written."""
    parts = (one.meaning.rstrip("."), _written(one), "" if one.wanted else f"{default_told(one)} unless given")
    text = "; ".join(part for part in parts if part)
    return f"{text[:1].upper()}{text[1:]}." if text else ""


def _written(one: Input) -> str:
    if one.choices or one.text:
        return ""
    kind = one.measure.kind
    units = (
        [unit for unit in known_units(kind)[:OFFERED_UNITS] if unit]
        if kind and one.measure.symbol
        else [one.measure.symbol]
    )
    return (
        f"in {', '.join(filter(None, units[:-1]))}{' or ' if len(units) > 1 else ''}{units[-1]}"
        if units[-1]
        else "a plain number"
    )


def _sentence(problem: Problem) -> str:
    what = problem.what[:1].upper() + problem.what[1:]
    return f"{what} {problem.mend}".strip()
