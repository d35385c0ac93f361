"""The formulas by name: none of the physics floor forgotten, each described from itself, each giving what its function gives."""

from __future__ import annotations

import ast
import doctest
import inspect
import pkgutil
import re
import shlex
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from fnmatch import fnmatchcase
from importlib import import_module
from typing import Any

import pytest

from blockwright import physics
from blockwright.fits.registry import REGISTRY
from blockwright.problems import BlockwrightError
from blockwright.quantities import Kind
from blockwright.quantities.units import UNITS
from blockwright.report.formulas.described import WANTED, Formula, described, fields_of, nearest, offered, short
from blockwright.report.formulas.examples import example_inputs
from blockwright.report.formulas.measures import BY_SUFFIX, PLAIN, Measure, parted
from blockwright.report.formulas.reckoned import number, reckon, split
from blockwright.report.formulas.sections import doc_of, said_after_commas, source_of
from blockwright.report.formulas.table import FORMULAS, NOT_OFFERED, Offered, reason, serving
from blockwright.report.formulas.values import DIGITS, digits, told

EVERY = [pytest.param(each, id=each.slug) for each in FORMULAS]


def everything_public() -> Iterator[str]:
    """Every public function, and every public method and property of a public class, of the physics floor; found in its source."""
    for module in pkgutil.iter_modules(physics.__path__):
        source = inspect.getsource(import_module(f"blockwright.physics.{module.name}"))
        yield from (f"{module.name}.{name}" for name in functions_in(ast.parse(source), ""))


def functions_in(tree: ast.Module | ast.ClassDef, before: str) -> Iterator[str]:
    for node in tree.body:
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            yield f"{before}{node.name}"
        elif isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            yield from functions_in(node, f"{before}{node.name}.")


def test_every_public_function_is_offered_or_says_why_not() -> None:
    places = {each.where for each in FORMULAS}
    public = set(everything_public())
    assert len(public) > 100
    assert sorted(where for where in public if where not in places and not reason(where)) == []
    assert sorted(where for where in places if reason(where)) == [], "offered, and a reason against it"
    assert sorted(places - public) == []


def test_no_reason_outlives_its_function() -> None:
    public = set(everything_public())
    assert [each for each in NOT_OFFERED if not any(fnmatchcase(where, each) for where in public)] == []


def test_a_function_that_nobody_thought_of_is_seen() -> None:
    tree = ast.parse("def new_m(a_m): ...\ndef _own(): ...\nclass Thing:\n    def size_m(self): ...\n")
    assert list(functions_in(tree, "")) == ["new_m", "Thing.size_m"]
    assert reason("expansion.new_m") == ""


def test_names_places_and_fits_are_sound() -> None:
    assert len({each.name for each in FORMULAS}) == len({each.where for each in FORMULAS}) == len(FORMULAS)
    assert all(re.fullmatch(r"[a-z]+( [a-z]+)*", each.name) for each in FORMULAS)
    assert {fit for each in FORMULAS for fit in each.fits} <= set(REGISTRY)
    assert serving("wall clearance")[0].name == "hot wall clearance"


@pytest.mark.parametrize("each", EVERY)
def test_each_is_described_from_itself(each: Offered) -> None:
    formula = described(each)
    names = [one.key for one in formula.inputs]
    assert names
    assert len(set(names)) == len(names), names
    assert all(re.fullmatch(r"[a-z][a-z0-9]*(-[a-z0-9]+)*", name) for name in names), names
    assert formula.what
    assert short(each)
    assert not re.search(r"\bRaises\b|\barrays?\b", formula.what)
    assert "`" not in formula.what + formula.notes + "".join(one.meaning for one in formula.inputs)
    assert any(one.wanted for one in formula.inputs)


MEANT = 0.7
"""Share of the inputs whose meaning stands in a docstring or a table of symbols; the others say what they are by their name."""


def test_most_inputs_say_what_they_mean() -> None:
    inputs = [one for each in FORMULAS for one in described(each).inputs]
    assert sum(bool(one.meaning) for one in inputs) > MEANT * len(inputs)


@pytest.mark.parametrize("each", EVERY)
def test_the_unit_of_a_result_is_the_one_its_docstring_names(each: Offered) -> None:
    """The end of the function's name, and its first line, both say a unit: they must agree."""
    named = parted(each.where.rpartition(".")[2])[1]
    symbols = {measure.symbol for measure in BY_SUFFIX.values()}
    said = [text for text in said_after_commas(doc_of(each.where)) if text in symbols]
    if said and named is not PLAIN:
        assert said[0] == named.symbol
    if said:
        assert described(each).measure.symbol == said[0]


@pytest.mark.parametrize(
    ("name", "unit"),
    [("cold ring gap", "m"), ("ring gap closing", "m"), ("cold wall clearance", "m"), ("limits of size", "m"), ("viscosity index", ""),
     ("dead centres", "rad"), ("gas to wall heat transfer", "W/(m2 K)"), ("oil viscosity", "m2/s"), ("ring parameter", "")],
)  # fmt: skip
def test_units_of_results_known_by_hand(name: str, unit: str) -> None:
    assert described(offered(name)).measure.symbol == unit


def test_inputs_known_by_hand() -> None:
    """What a builder is asked for, written down from the functions and not from the program's answer."""
    assert keys("hot ring gap") == [
        "gap-cold",
        "bore",
        "bore-expansion",
        "ring-expansion",
        "bore-temperature",
        "ring-temperature",
    ]
    assert keys("liner in its housing")[:3] == ["liner-inner-radius", "liner-outer-radius", "liner-modulus"]
    assert keys("rod bolt load") == [
        "bore", "throw", "rod-mass", "rod-length", "rod-centroid", "rod-inertia", "piston-mass", "offset", "cap-mass", "speed",
    ]  # fmt: skip
    assert keys("oil viscosity") == [
        "cool-temperature",
        "cool-viscosity",
        "warm-temperature",
        "warm-viscosity",
        "temperature",
    ]
    assert keys("viscosity index") == ["viscosity-at-40", "viscosity-at-100"]
    assert keys("limits of size") == ["nominal", "tolerance-class"]
    assert keys("slot flow")[:3] == ["opening", "breadth", "length"]


def keys(name: str) -> list[str]:
    return [one.key for one in described(offered(name)).inputs]


def test_a_default_comes_from_the_signature() -> None:
    by_name = {one.key: one for one in described(offered("land bending")).inputs}
    assert by_name["poisson"].default == 0.33
    assert by_name["thickness"].default is WANTED


def test_an_absolute_pressure_is_known_by_its_docstring() -> None:
    """`upstream_pa` is said to be absolute; the pressures over and under a land may be either, so only their difference counts."""
    by_name = {one.key: one for one in described(offered("orifice flow")).inputs}
    assert by_name["upstream-pressure"].measure.kind is Kind.PRESSURE
    lands = {one.key: one for one in described(offered("land load")).inputs}
    assert lands["above-pressure"].measure.kind is Kind.PRESSURE_STEP


def written(value: Any, measure: Measure) -> str:
    """A number of the physics floor as a builder would write it in SI."""
    if measure.kind is Kind.PRESSURE:
        return f"{value!r} Pa a"
    return f"{value!r} {measure.symbol}".strip()


def arguments(each: Offered) -> Iterator[tuple[dict[str, Any], Any]]:
    """What the example in a function's docstring calls it with, by parameter, and what it gives: by running the example."""
    module = import_module(each.module)
    name = each.where.partition(".")[2]
    function = getattr(module, name)
    seen = []

    def listening(*words: Any, **named: Any) -> Any:
        bound = inspect.signature(function).bind(*words, **named)
        bound.apply_defaults()
        seen.append((dict(bound.arguments), function(*words, **named)))
        return seen[-1][1]

    space = {**vars(module), name: listening}
    for example in doctest.DocTestParser().get_examples(function.__doc__ or ""):
        exec(compile(example.source, each.slug, "single"), space)
    yield from seen


def has_example(each: Offered) -> bool:
    return each.where.count(".") == 1 and bool(doc_of(each.where).parts.get("Example"))


def value_at(words: dict[str, Any], path: tuple[str, ...]) -> Any:
    found: Any = words
    for name in path:
        found = found[name] if isinstance(found, dict) else getattr(found, name)
    return found


def texts_of(formula: Formula, words: dict[str, Any]) -> dict[str, str]:
    """A call's arguments as texts for `reckon`."""
    texts = {}
    for one in formula.inputs:
        value = value_at(words, one.path)
        if value is not None:
            texts[one.key] = (
                value if isinstance(value, str) else "yes" if value is True else written(float(value), one.measure)
            )
    return texts


def numbers_of(result: Any) -> list[float]:
    if is_dataclass(result):
        return [float(getattr(result, each.name)) for each in fields(result)]
    return [float(each) for each in result] if isinstance(result, tuple) else [float(result)]


@pytest.mark.parametrize("each", [pytest.param(each, id=each.slug) for each in FORMULAS if has_example(each)])
def test_each_gives_what_its_own_example_gives(each: Offered, capsys: pytest.CaptureFixture[str]) -> None:
    """The example's call is made twice: as it stands, and by names, texts and units."""
    formula, calls = described(each), list(arguments(each))
    assert calls
    for words, result in calls:
        found = reckon(formula, texts_of(formula, words))
        given = [float(part.value) for part in found.parts]
        wanted = numbers_of(result)
        assert given[: len(wanted)] == pytest.approx(wanted, rel=1e-12)


@pytest.mark.parametrize("each", [pytest.param(each, id=each.slug) for each in FORMULAS if has_example(each)])
def test_an_example_can_be_typed(each: Offered) -> None:
    """What the example's own call gives, from the command that is printed under it."""
    formula = described(each)
    inputs = example_inputs(formula)
    if inputs:
        words = shlex.split(each.command(inputs))
        assert words[:3] == ["blockwright", "reckon", each.slug]
        found = [float(part.value) for part in reckon(formula, split(words[3:])).parts]
        wanted = [numbers_of(result) for _, result in arguments(each)]
        assert any(found[: len(one)] == pytest.approx(one, rel=1e-9) for one in wanted)


def test_nearly_every_example_can_be_typed() -> None:
    told = [each.slug for each in FORMULAS if has_example(each) and not example_inputs(described(each))]
    assert len(told) < 10, told


def test_most_formulas_have_an_example_to_be_held_against() -> None:
    assert sum(map(has_example, FORMULAS)) > 30


MIXED = {
    "oil viscosity": (
        "cool-temperature=40 °C", "cool-viscosity=62 mm2/s", "warm-temperature=100", "warm-viscosity=10.6 cSt", "temperature=302 °F",
    ),
    "swept volume": ("bore=86 mm", "throw=43 mm", "rod=143 mm", "compression-ratio=10"),
    "gas heat ratio": ("gas=air", "temperature=300 K"),
}  # fmt: skip


@pytest.mark.parametrize(("name", "value", "rel"), [
    ("oil viscosity", 4.52e-6, 2e-3),  # as printed in the docstring of the line, in other units
    ("swept volume", 3.141592653589793 / 4 * 0.086**2 * 0.086, 1e-12),
    ("gas heat ratio", 1.3992, 1e-4),  # the docstring's own
])  # fmt: skip
def test_things_are_made_of_what_a_builder_knows(name: str, value: float, rel: float) -> None:
    formula = described(offered(name))
    assert reckon(formula, split(MIXED[name])).parts[0].value == pytest.approx(value, rel=rel)


def test_forces_have_x_and_y_and_a_reply_for_each_side() -> None:
    words = ("angle=30 deg", "gauge-pressure=4 MPa", "speed=3000 rpm", "bore=86 mm", "throw=43 mm", "rod-mass=600 g", "rod-length=143 mm",
             "rod-centroid=40 mm", "piston-mass=450 g")  # fmt: skip
    found = {part.name: part.value for part in reckon(described(offered("cylinder forces")), split(words)).parts}
    assert found["shell x"] == pytest.approx(-found["crank x"])
    assert found["pin y"] == pytest.approx(-found["side"])
    assert found["on major side"] is (found["side"] > 0)


@pytest.mark.parametrize(("text", "measure", "value"), [
    ("86 mm", "_m", 0.086), ("3.386 in", "_m", 0.0860044), ("220", "_c", 220.0), ("428 °F", "_c", 220.0), ("220 °C", "_k", 493.15),
    ("493.15", "_k", 493.15), ("11", "", 11.0), ("1.1 %", "", 0.011), ("750", "_w_m2_k", 750.0), ("750 W/(m2 K)", "_w_m2_k", 750.0),
    ("1200 J/kg", "_j_kg", 1200.0), ("600 ft/min", "_m_s", 3.048), ("0.88 g/cm3", "_kg_m3", 880.0), ("0.4 mm2", "_m2", 0.4e-6), ("-0.8 mm", "_m", -0.0008), ("62 cSt", "_m2_s", 62e-6), ("3.5 mPa s", "_pa_s", 0.0035),
])  # fmt: skip
def test_a_value_is_read_in_any_unit_of_its_kind(text: str, measure: str, value: float) -> None:
    assert number(BY_SUFFIX.get(measure, PLAIN), text) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(("text", "measure", "code"), [
    ("86", "_m", "quantity-no-unit"), ("20", "_pa", "quantity-no-unit"), ("86 mm", "_pa", "quantity-unit-of-another-kind"),
    ("86 mil", "_m", "quantity-unit-unclear"), ("750 kW", "_w_m2_k", "reckon-only-unit"), ("", "_m", "quantity-empty"),
])  # fmt: skip
def test_nothing_is_guessed(text: str, measure: str, code: str) -> None:
    with pytest.raises(BlockwrightError) as refused:
        number(BY_SUFFIX[measure], text)
    assert refused.value.problems[0].code == code


def test_every_measure_of_a_kind_counts_as_the_physics_floor_does() -> None:
    """One of the kind's units is the SI unit that the suffix means, or the absolute one."""
    for suffix, measure in BY_SUFFIX.items():
        if measure.kind is not None and measure.symbol not in ("K", "°C"):
            assert any(unit.scale == 1.0 and unit.shift == 0.0 for unit in UNITS[measure.kind]), suffix


@pytest.mark.parametrize(("value", "suffix", "text"), [
    (0.000104, "_m", "0.104 mm"), (-9.6e-6, "_m", "-9.6 um"), (0.086, "_m", "86 mm"), (14.8e6, "_pa", "14.8 MPa"), (110e9, "_pa", "110 GPa"),
    (493.15, "_k", "493.15 K"), (120.0, "_c", "120 °C"), (628.3185307179587, "_rad_s", "6000 rpm"), (0.15, "_kg", "150 g"),
    (750.0, "_w_m2_k", "750 W/(m2 K)"), (4.52e-6, "_m2_s", "4.52 mm2/s"), (0.0, "_m", "0 mm"),
])  # fmt: skip
def test_a_result_is_shown_in_a_unit_of_its_size(value: float, suffix: str, text: str) -> None:
    assert told(value, BY_SUFFIX[suffix]) == text


@pytest.mark.parametrize(
    ("number", "text"),
    [(0.1 + 0.2, "0.3"), (123456.7, "123457"), (1e-12, "1.00000e-12"), (0.00012345678, "0.000123457")],
)
def test_six_digits(number: float, text: str) -> None:
    assert DIGITS == 6
    assert digits(number) == text


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("hot-ring-gap", "hot ring gap"), ("Hot Ring Gap", "hot ring gap"), ("hot_gap_m", "hot ring gap")],
)
def test_a_formula_has_its_name_in_several_spellings(typed: str, meant: str) -> None:
    assert offered(typed).name == meant


@pytest.mark.parametrize(
    ("typed", "near"),
    [("hot gap", "hot-ring-gap"), ("hot rng gap", "hot-ring-gap"), ("bolt load", "rod-bolt-load"), ("xyzzy", "")],
)
def test_the_nearest_name(typed: str, near: str) -> None:
    assert nearest(typed) == near


def test_a_result_shows_its_own_properties() -> None:
    found = reckon(described(offered("ring wound on")), split((
        "drop=20 mm", "piston=89.5 mm", "bore=90 mm", "radial=2.3 mm", "axial=0.4 mm", "modulus=200 GPa", "allowable=1000 MPa",
    )))  # fmt: skip
    shown = {part.name: part.told() for part in found.parts}
    assert shown["allowed"] == "yes"
    assert float(shown["stress"].removesuffix(" MPa")) == pytest.approx(536, abs=0.5), "the docstring's own example"


def test_what_the_source_says_of_checks_is_told() -> None:
    assert described(offered("hot ring gap")).standing == "Not validated: no published number was found."
    assert "ASTM D341" in described(offered("oil viscosity")).sources
    assert "ISO 286-1:2010, Tables 1 to 5" in described(offered("limits of size")).sources


def test_a_source_of_another_formula_is_not_taken_for_its_own() -> None:
    """Winding a ring on is an estimate of our own; the formula for opening one, in the same module, has a printed source."""
    wound, opening = (described(offered(name)) for name in ("ring wound on", "ring opening stress"))
    assert wound.sources == ""
    assert "not validated" in wound.notes
    assert "equation 4.80" in opening.sources
    assert "Design of automobile and tractor engines" in opening.sources, "by the module that it points to"
    assert "after Lamé" in described(offered("bore under gas pressure")).sources


def test_whatever_names_no_source_says_that_it_was_not_validated() -> None:
    """A formula without either would be one that nobody can look up."""
    silent = [each.slug for each in FORMULAS if not described(each).sources and not described(each).standing]
    assert silent == []


def test_docstrings_are_read_without_loading_the_physics() -> None:
    asked = (
        "import sys\nfrom blockwright.report.formulas.described import by_group, short\n"
        "[short(each) for group in by_group().values() for each in group]\n"
        "print(*(name for name in sys.modules if name.startswith('blockwright.physics.') or name in ('numpy', 'scipy', 'numba')))"
    )
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert done.stdout.split() == []


@pytest.mark.parametrize(("name", "signs"), [
    ("hot ring gap", "s D a a T T"), ("ring tangential force", "m d a h E"), ("stroke", "r l d"), ("land bending", "q A b t E nu"),
])  # fmt: skip
def test_an_input_bears_the_symbol_of_the_equation(name: str, signs: str) -> None:
    """Written down from the tables at the heads of the modules."""
    assert " ".join(one.symbol for one in described(offered(name)).inputs) == signs


def test_tables_of_symbols_are_read() -> None:
    assert source_of("expansion").table["gap_cold_m"] == "end gap of the ring in its bore at 20 °C"
    assert source_of("liner").table["outer_radius_m"] == source_of("liner").table["inner_radius_m"]


def test_fields_of_a_result_come_with_its_properties() -> None:
    from blockwright.physics.ring_mounting import Winding

    assert dict(fields_of(Winding(1.0, 2.0, 3.0, 4.0, True, False)))["allowed"] is False
