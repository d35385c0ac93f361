"""The example of a function's docstring as inputs that can be typed: its own numbers, each with a unit of its size."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from typing import Any

from blockwright.report.formulas.described import Formula, Input
from blockwright.report.formulas.values import told

FINE = 12
"""Significant digits: an example gives what it says, to the last digit printed."""


def example_inputs(formula: Formula) -> tuple[tuple[str, str], ...]:
    """Inputs by name as the example gives them; none where it gives other things than plain numbers and words."""
    name = formula.offered.where.rpartition(".")[2]
    for call in _calls(formula.example, name):
        parameters = dict.fromkeys(one.path[0] for one in formula.inputs)
        try:
            given = dict(zip(parameters, map(ast.literal_eval, call.args), strict=False))
            given |= {each.arg: ast.literal_eval(each.value) for each in call.keywords if each.arg}
        except ValueError:
            continue
        if all(len(one.path) == 1 for one in formula.inputs if one.path[0] in given):
            return tuple(
                (one.key, _text(one, given[one.parameter])) for one in formula.inputs if one.parameter in given
            )
    return ()


def _calls(example: str, name: str) -> Iterator[ast.Call]:
    """The calls of a function in an example's lines."""
    for line in example.splitlines():
        if line.startswith(">>> "):
            for node in ast.walk(ast.parse(line.removeprefix(">>> "))):
                if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == name:
                    yield node


def _text(one: Input, value: Any) -> str:
    return value if isinstance(value, str) else told(float(value), one.measure, count=FINE)
