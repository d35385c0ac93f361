"""Formulas, and what they gave, as JSON: SI numbers with their unit beside them, nothing rounded."""

from __future__ import annotations

from typing import Any

from blockwright import __version__
from blockwright.report.formulas.described import Formula, Input, short
from blockwright.report.formulas.reckoned import Reckoned
from blockwright.report.formulas.table import FORMULAS, Offered

FORMAT = "blockwright formula 1"


def list_json() -> dict[str, Any]:
    """All formulas: name, what it is, what it serves."""
    return {**_head(), "formulas": [{**_named(each), "what": short(each)} for each in FORMULAS]}


def formula_json(formula: Formula) -> dict[str, Any]:
    """One formula with its inputs."""
    return {
        **_head(),
        **_named(formula.offered),
        "what": formula.what,
        "inputs": [_input(one) for one in formula.inputs],
        "unit": formula.measure.symbol,
        **_sources(formula),
    }


def reckoned_json(found: Reckoned) -> dict[str, Any]:
    """What a formula gave: inputs and results in SI, as the function took and gave them."""
    return {
        **_head(),
        **_named(found.formula.offered),
        "inputs": [
            {"name": each.input.key, "value": _plain(each.value, each.text), "unit": each.input.measure.symbol, "text": each.text}
            for each in found.given
        ],
        "results": [
            {"name": part.name or found.formula.offered.name, "value": part.value, "unit": part.measure.symbol}
            for part in found.parts
        ],
        **_sources(found.formula),
    }  # fmt: skip


def _plain(value: Any, text: str) -> Any:
    """A value as JSON has it; what was chosen by name, by its name."""
    return value if value is None or isinstance(value, bool | int | float | str) else text


def _head() -> dict[str, Any]:
    return {"format": FORMAT, "program": f"blockwright {__version__}"}


def _named(each: Offered) -> dict[str, Any]:
    return {"name": each.name, "function": f"physics.{each.where}", "group": str(each.group), "serves": list(each.fits)}


def _input(one: Input) -> dict[str, Any]:
    said: dict[str, Any] = {
        "name": one.key,
        "symbol": one.symbol,
        "unit": one.measure.symbol,
        "meaning": one.meaning,
        "needed": one.wanted,
    }
    if not one.wanted:
        said["default"] = one.default
    return {**said, **({"choices": list(one.choices)} if one.choices else {})}


def _sources(formula: Formula) -> dict[str, Any]:
    return {"formula": formula.notes, "source": formula.sources, "checked": formula.standing}
