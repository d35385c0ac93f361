"""From what was typed to what a formula gives; or one clear word about everything that is wrong with it."""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, is_dataclass
from typing import Any

import numpy as np

from blockwright.problems import BlockwrightError, Place, Problem, excerpt
from blockwright.quantities import Kind, QuantityError, parse
from blockwright.quantities.lookup import find_unit
from blockwright.quantities.numerals import read_numeral
from blockwright.report.formulas.described import Formula, Input, chosen, fields_of
from blockwright.report.formulas.measures import PLAIN, Measure, parted
from blockwright.report.formulas.values import told

SILENT = re.compile(r"math (domain|range) error|expected a .*")
"""What Python's own arithmetic says, which is no word for a builder."""
AXES = ("x", "y")


@dataclass(frozen=True)
class Given:
    """One input as it was taken: its words with their unit, and its value in the physics floor's unit (a text where it is one)."""

    input: Input
    text: str
    value: Any


@dataclass(frozen=True)
class Part:
    """One number, or one yes or no, of a result; `name` is blank where the result is a single number."""

    name: str
    value: float | bool
    measure: Measure

    def told(self, unit: str = "") -> str:
        """It as text, in a unit or in one that suits its size."""
        if isinstance(self.value, bool):
            return "yes" if self.value else "no"
        return told(self.value, self.measure, unit)


@dataclass(frozen=True)
class Reckoned:
    """What a formula gave for the inputs given, defaults among them."""

    formula: Formula
    given: tuple[Given, ...]
    parts: tuple[Part, ...]
    unit: str = ""

    def told(self, part: Part) -> str:
        """A part in the unit that was asked for, where its kind has it."""
        return part.told(self.unit if _has(part.measure, self.unit) else "")


def reckon(formula: Formula, typed: Mapping[str, str], unit: str = "") -> Reckoned:
    """Work a formula out for inputs by name, each a text with its unit. Raises BlockwrightError with everything that is wrong."""
    given = read(formula, typed)
    parts = tuple(_worked(formula, given))
    if unit and not any(_has(part.measure, unit) for part in parts):
        for part in parts:
            part.told(unit)
    return Reckoned(formula, given, parts, unit)


def split(words: Iterable[str]) -> dict[str, str]:
    """`NAME=VALUE` words as names and values. Raises BlockwrightError for a name that stands twice."""
    found: dict[str, str] = {}
    for word in words:
        name, _, value = word.partition("=")
        key = "-".join(name.lower().replace("_", "-").split())
        if key in found:
            raise BlockwrightError(
                Problem("reckon-twice", "it is given twice.", "Give it once.", Place(field=excerpt(key)))
            )
        found[key] = value.strip()
    return found


def read(formula: Formula, typed: Mapping[str, str]) -> tuple[Given, ...]:
    """The inputs of a formula from what was typed. Raises BlockwrightError with everything that is wrong or missing."""
    problems: list[Problem] = []
    meant: dict[str, str] = {}
    for name, text in typed.items():
        try:
            meant[_input_named(formula, name).name] = text
        except BlockwrightError as error:
            problems.extend(error.problems)
    given = []
    for one in formula.inputs:
        try:
            given.append(_given(formula, one, meant.get(one.name, "")))
        except BlockwrightError as error:
            problems.extend(each.at(field=one.key) for each in error.problems)
    lacking = [one for one in formula.inputs if one.wanted and not meant.get(one.name)]
    if lacking:
        problems.append(_missing(lacking))
    if problems:
        raise BlockwrightError(problems)
    return tuple(each for each in given if each is not None)


def _missing(lacking: Iterable[Input]) -> Problem:
    named = [one.key for one in lacking]
    what = f"{', '.join(named)} {'is' if len(named) == 1 else 'are'} missing."
    return Problem("reckon-missing", what, f"Write {named[0]}=VALUE, with its unit.")


def _input_named(formula: Formula, typed: str) -> Input:
    """The input that is meant: by its name, by the function's own, or by a part of its name that no other has."""
    words = " ".join(typed.lower().replace("-", " ").replace("_", " ").split())
    exact = [one for one in formula.inputs if words in (one.name.lower(), one.parameter.replace("_", " "))]
    if exact:
        return exact[0]
    named = [one for one in formula.inputs if words and set(words.split()) <= set(one.name.lower().split())]
    if len(named) == 1:
        return named[0]
    keys = [one.key for one in formula.inputs]
    near = difflib.get_close_matches(words.replace(" ", "-"), keys, n=1, cutoff=0.5)
    mend = f"Did you mean {near[0]}? " if near else ""
    what = (
        f"'{excerpt(typed)}' could be {' or '.join(one.key for one in named)}."
        if named
        else f"there is no input '{excerpt(typed)}'."
    )
    raise BlockwrightError(Problem("reckon-input", what, f"{mend}It takes {', '.join(keys)}."))


def _given(formula: Formula, one: Input, text: str) -> Given | None:
    """One input, read; None where it is missing, which is told of all together."""
    if not text:
        return None if one.wanted else Given(one, default_told(one), one.default)
    if one.text:
        return Given(one, text, text)
    if one.choices:
        word = " ".join(text.lower().split())
        if word not in one.choices:
            what = f"'{excerpt(text)}' is none of the choices."
            raise BlockwrightError(Problem("reckon-choice", what, f"Write {' or '.join(one.choices)}."))
        return Given(one, word, chosen(formula, one, word))
    value = number(one.measure, text)
    unit = "" if read_numeral(text).rest else one.measure.bare or one.measure.symbol
    return Given(one, f"{text} {unit}".rstrip(), value)


def number(measure: Measure, text: str) -> float:
    """A number of the physics floor from a text with its unit.

    As everywhere, a bare number takes the unit that is stated for it (plain numbers, degrees of temperature, units that have no other), or is
    refused.
    """
    if measure.kind is not None:
        quantity = parse(text, measure.kind, unit=measure.bare, signed=True)
        return measure.from_kind(quantity.si)
    stripped = text.strip()
    alone = stripped.removesuffix(measure.symbol) if measure.symbol else stripped
    try:
        return parse(alone, Kind.RATIO, unit="", signed=True).si
    except QuantityError as error:
        if "unit" in error.code:
            what = f"'{excerpt(text)}': {measure.symbol} is the only unit known for it here."
            raise BlockwrightError(
                Problem("reckon-only-unit", what, f"Write the number in {measure.symbol}.")
            ) from None
        raise


def default_told(one: Input) -> str:
    """The default of an input in words."""
    if one.default is None:
        return "not given"
    if isinstance(one.default, bool):
        return "yes" if one.default else "no"
    return told(float(one.default), one.measure) if not one.text else str(one.default)


def _worked(formula: Formula, given: Iterable[Given]) -> Iterator[Part]:
    values = {each.input.path: each.value for each in given}
    try:
        with np.errstate(all="ignore"):
            words = {name: _made(formula, values, (name,)) for name in _names(values, ())}
            result = formula.call(*([words.pop("self")] if "self" in words else []), **words)
            parts = list(_parts(result, formula))
    except ValueError as error:
        said = str(error)
        raise _no_result() if SILENT.fullmatch(said) else _out_of_range(said) from None
    except ArithmeticError:
        raise _no_result() from None
    if not parts or not all(isinstance(part.value, bool) or math.isfinite(part.value) for part in parts):
        raise _no_result()
    yield from parts


def _no_result() -> BlockwrightError:
    return BlockwrightError(Problem("reckon-no-result", "these numbers give no result.", "Check them and their units."))


def _out_of_range(said: str) -> BlockwrightError:
    return BlockwrightError(Problem("reckon-range", said, "Check the numbers and their units."))


def _names(values: Mapping[tuple[str, ...], Any], before: tuple[str, ...]) -> list[str]:
    """The parameters under a path, each once."""
    depth = len(before)
    return list(dict.fromkeys(path[depth] for path in values if path[:depth] == before))


def _made(formula: Formula, values: Mapping[tuple[str, ...], Any], path: tuple[str, ...]) -> Any:
    """The value at a path: as given, or made of those under it."""
    if path in values:
        return values[path]
    return formula.things[path].make(**{name: _made(formula, values, (*path, name)) for name in _names(values, path)})


def _parts(result: Any, formula: Formula) -> Iterator[Part]:
    """A result as numbers with names."""
    if is_dataclass(result):
        for name, value in fields_of(result):
            stem, measure = parted(name)
            yield from _numbers(stem.replace("_", " "), value, measure)
    elif isinstance(result, tuple):
        for name, value in zip(formula.offered.gives, result, strict=True):
            yield from _numbers(name, value, formula.measure)
    else:
        yield from _numbers("", result, formula.measure)


def _numbers(name: str, value: Any, measure: Measure) -> Iterator[Part]:
    """A value as parts: one, or two where it has x and y; none where it is more than that."""
    array = np.asarray(value)
    if array.shape == (2,):
        for axis, each in zip(AXES, array, strict=True):
            yield Part(f"{name} {axis}", float(each), measure)
    elif array.shape == () and array.dtype == np.bool_:
        yield Part(name, bool(array), PLAIN)
    elif array.shape == () and array.dtype.kind in "fi":
        yield Part(name, float(array), measure)


def _has(measure: Measure, unit: str) -> bool:
    """Whether a measure can be told in a unit."""
    if measure.kind is None or not unit:
        return bool(unit) and unit == measure.symbol
    try:
        find_unit(measure.kind, unit)
    except QuantityError:
        return False
    return True
