"""A formula with its inputs, from the signature, the names and the docstring of its function."""

from __future__ import annotations

import difflib
import inspect
import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from functools import cache
from importlib import import_module
from itertools import takewhile
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

from blockwright.problems import BlockwrightError, Problem, excerpt
from blockwright.quantities import Kind
from blockwright.report.formulas.measures import ABSOLUTE, BY_SYMBOL, PLAIN, Measure, parted
from blockwright.report.formulas.sections import (
    RAISED,
    Doc,
    doc_of,
    meaning,
    said_after_commas,
    source_of,
    sources,
    symbol,
)
from blockwright.report.formulas.table import CHOSEN, FORMULAS, MADE_BY, Group, Offered

WANTED = object()
"""Stands for the default of an input that has none."""
KIND_SAID = {Kind.TEMPERATURE: "temperature", Kind.MASS: "mass"}
"""What a name says beside its subject, always: `ring_c` is the ring temperature."""
NAMELESS = {
    Kind.PRESSURE: "pressure", Kind.PRESSURE_STEP: "pressure", Kind.KINEMATIC: "viscosity", Kind.VISCOSITY: "viscosity", Kind.DENSITY: "density",
}  # fmt: skip
BARE = re.compile(r"above|below|upstream|downstream|cool|warm|gauge|at \d+")
"""Names that say where or when, and not what."""
ENDS_OF_A_SPAN = ("low", "high")
QUOTED = re.compile(r"`([^`]+)`")
RAISES = re.compile(r"\bRaises (?:ValueError|KeyError|BlockwrightError) ")
OF_ARRAYS = re.compile(r"[;,] [^.;]*\barrays?\b[^.;]*")
THE_REST = re.compile(r" ?The rest as (?:for|in) `[^`]+`\.")


@dataclass(frozen=True)
class Input:
    """One thing to give: its name, where it goes among the function's parameters, its unit, what it means, its default in SI (or `WANTED`).

    `choices` are the words to choose from; `text` says that it is taken as typed; `symbol` is what it is called in the equations.
    """

    name: str
    path: tuple[str, ...]
    measure: Measure
    meaning: str
    default: Any = WANTED
    choices: tuple[str, ...] = ()
    text: bool = False
    symbol: str = ""

    @property
    def key(self) -> str:
        """The name in one piece, as it is typed."""
        return self.name.replace(" ", "-")

    @property
    def parameter(self) -> str:
        """The function's own name of it."""
        return self.path[-1]

    @property
    def wanted(self) -> bool:
        """Whether the formula cannot do without it."""
        return self.default is WANTED


@dataclass(frozen=True)
class Thing:
    """How a parameter that is no number is made of numbers: a class, or the function that makes one."""

    make: Callable[..., Any]
    where: str


@dataclass(frozen=True)
class Formula:
    """One formula, ready to be shown and reckoned. `call` takes the function's parameters; `things` make those that are no numbers, by path."""

    offered: Offered
    inputs: tuple[Input, ...]
    measure: Measure
    call: Callable[..., Any]
    things: Mapping[tuple[str, ...], Thing]

    @property
    def what(self) -> str:
        """What it is, in one sentence."""
        return spoken(self._doc.first)

    @property
    def more(self) -> str:
        """What its docstring says beside that."""
        return spoken(self._doc.more)

    @property
    def notes(self) -> str:
        """The equation, with what it leaves out."""
        return spoken(self._doc.parts.get("Notes", ""))

    @property
    def example(self) -> str:
        """The example of its docstring; the last word on how it is used."""
        return self._doc.parts.get("Example", "")

    @property
    def sources(self) -> str:
        """Where it comes from."""
        return spoken(sources(self.offered.where))

    @property
    def standing(self) -> str:
        """What is said of how it was checked; blank where nothing is."""
        return spoken(source_of(self._module).standing)

    @property
    def _module(self) -> str:
        return self.offered.where.partition(".")[0]

    @property
    def _doc(self) -> Doc:
        return doc_of(self.offered.where)


def offered(name: str) -> Offered:
    """The formula that is meant by a name; BlockwrightError with the nearest where there is none."""
    typed = " ".join(name.lower().replace("-", " ").replace("_", " ").split())
    found = next((each for each in FORMULAS if typed in (each.name, _function(each))), None)
    if found is None:
        near = nearest(typed)
        mend = f"Did you mean '{near}'?" if near else "See 'blockwright reckon' for all of them."
        raise BlockwrightError(Problem("reckon-name", f"there is no formula '{excerpt(name)}'.", mend))
    return found


def nearest(typed: str) -> str:
    """The formula whose name comes nearest to what was typed, as it is typed; or an empty text."""
    known = {each.name: each.slug for each in FORMULAS}
    worded = [name for name in known if typed and set(typed.split()) <= set(name.split())]
    found = worded or difflib.get_close_matches(typed, known, n=1, cutoff=0.5)
    return known[found[0]] if found else ""


def by_group() -> Mapping[Group, tuple[Offered, ...]]:
    """All formulas by what they serve."""
    return {group: tuple(each for each in FORMULAS if each.group is group) for group in Group}


def short(each: Offered) -> str:
    """What a formula is, in a few words and without its unit; its module is not loaded."""
    first, *rest = doc_of(each.where).short.split(", ")
    kept = takewhile(lambda piece: piece.translate(RAISED) not in BY_SYMBOL, rest)
    return spoken(", ".join((first, *kept)))


@cache
def described(each: Offered) -> Formula:
    """A formula with its inputs. Loads its module, and nothing else of the physics floor that it does not need."""
    module = import_module(each.module)
    name = each.where.partition(".")[2]
    things: dict[tuple[str, ...], Thing] = {}
    owner, _, attribute = name.rpartition(".")
    if owner:
        call, parameters = _of_class(getattr(module, owner), attribute, each.where)
    else:
        call = getattr(module, name)
        parameters = list(_parameters(call, each.where))
    found = [one for parameter in parameters for one in _inputs(parameter, (), things)]
    return Formula(each, _named(found), _gives(each, attribute or name), call, things)


def spoken(text: str) -> str:
    """Text for a reader who does not see the source: functions by their formula's name, and no word of arrays or exceptions."""
    known = {_function(each).replace(" ", "_"): each.name for each in FORMULAS}
    named = QUOTED.sub(lambda found: f"“{known[found[1]]}”" if found[1] in known else found[1], text)
    return OF_ARRAYS.sub("", RAISES.sub("Refused ", named))


@dataclass(frozen=True)
class _Parameter:
    """A parameter as declared: its name, its type, its default, and where its docstring stands."""

    name: str
    hint: Any
    default: Any
    where: str
    first_of_a_thing: bool = False


def _function(each: Offered) -> str:
    """The function's own name, with spaces."""
    return each.where.rpartition(".")[2].replace("_", " ")


def _parameters(call: Callable[..., Any], where: str) -> Iterator[_Parameter]:
    hints = get_type_hints(inspect.unwrap(call))
    for each in inspect.signature(call).parameters.values():
        default = WANTED if each.default is inspect.Parameter.empty else each.default
        yield _Parameter(each.name, hints[each.name], default, where)


def _of_class(owner: type, attribute: str, where: str) -> tuple[Callable[..., Any], list[_Parameter]]:
    """A method or a property as a function of its owner and the method's parameters."""
    held = inspect.getattr_static(owner, attribute)
    first = _Parameter("self", owner, WANTED, where)
    if isinstance(held, property):
        return (lambda self: getattr(self, attribute)), [first]
    _, *rest = (each for each in inspect.signature(held).parameters)
    hints = get_type_hints(held)
    return getattr(owner, attribute), [first, *(_Parameter(each, hints[each], WANTED, where) for each in rest)]


def _inputs(parameter: _Parameter, before: tuple[str, ...], things: dict[tuple[str, ...], Thing]) -> Iterator[Input]:
    """The inputs that a parameter asks for: itself where it is a number, else those of what it is made of."""
    path, kinds = (*before, parameter.name), _kinds(parameter.hint)
    thing = next((each for each in kinds if is_dataclass(each)), None)
    known = f"{thing.__module__}.{thing.__qualname__}" if isinstance(thing, type) else ""
    if known in CHOSEN:
        name = known.rpartition(".")[2].lower() if parameter.name == "self" else _words(parameter.name)
        yield Input(name, path, PLAIN, _meaning(parameter), choices=tuple(CHOSEN[known]))
    elif isinstance(thing, type):
        made = _made(thing, known)
        things[path] = made
        for number, inner in enumerate(_parameters(made.make, made.where)):
            yield from _inputs(replace(inner, first_of_a_thing=number == 0), path, things)
    elif bool in kinds:
        yield Input(_words(parameter.name), path, PLAIN, _meaning(parameter), parameter.default, ("yes", "no"))
    elif str in kinds:
        yield Input(_words(parameter.name), path, PLAIN, _meaning(parameter), parameter.default, text=True)
    elif float in kinds or int in kinds:
        said = symbol(parameter.where, parameter.name)
        yield Input("", path, _measured(parameter), _meaning(parameter), parameter.default, symbol=said)
    elif parameter.default is WANTED:
        raise TypeError(f"{parameter.where}: {parameter.name} is no number, and is not made of numbers")


def _made(thing: type, known: str) -> Thing:
    module = thing.__module__.rpartition(".")[2]
    function = MADE_BY.get(known)
    if function is None:
        return Thing(thing, f"{module}.{thing.__qualname__}")
    return Thing(getattr(import_module(thing.__module__), function), f"{module}.{function}")


def chosen(formula: Formula, one: Input, word: str) -> Any:
    """What a word of an input with choices stands for."""
    if one.choices == ("yes", "no"):
        return word == "yes"
    hint = next(words for words in CHOSEN.values() if tuple(words) == one.choices)
    function, _, constant = hint[word].partition(":")
    module = import_module(formula.offered.module)
    return getattr(module, function)(getattr(module, constant))


def _kinds(hint: Any) -> tuple[Any, ...]:
    """The types that a parameter may have, but for None."""
    several = get_args(hint) if get_origin(hint) in (Union, UnionType) else (hint,)
    return tuple(each for each in several if each is not NoneType)


def _measured(parameter: _Parameter) -> Measure:
    """The unit of a parameter; a pressure that its docstring calls absolute is one."""
    measure, said = parted(parameter.name)[1], meaning(parameter.where, parameter.name)
    if measure.kind is Kind.PRESSURE_STEP and "absolute" in said and "gauge" not in said:
        return ABSOLUTE
    return measure


def _meaning(parameter: _Parameter) -> str:
    """What a parameter means, where it says more than its name; at the first of those that make a thing, at least what that thing is."""
    said = meaning(parameter.where, parameter.name)
    if not said and parameter.first_of_a_thing:
        said = doc_of(parameter.where).first
    said = spoken(THE_REST.sub("", said))
    return "" if said == _words(parted(parameter.name)[0]) else said


def _gives(each: Offered, name: str) -> Measure:
    """The unit of a result: by the end of the function's name, else as its first line says."""
    measure = parted(name)[1]
    if measure is not PLAIN:
        return measure
    return next((BY_SYMBOL[said] for said in said_after_commas(doc_of(each.where)) if said in BY_SYMBOL), PLAIN)


def _named(found: list[Input]) -> tuple[Input, ...]:
    """Inputs with names in words, each its own: the thing's name goes before where two would be called alike."""
    plain = [each.name or _said(each) for each in found]
    twice = {name for name, times in Counter(plain).items() if times > 1}
    return tuple(replace(each, name=_full(each, name, name in twice)) for each, name in zip(found, plain, strict=True))


def _full(one: Input, name: str, twice: bool) -> str:
    owners = [_words(each) for each in one.path[:-1] if each != "self"]
    return f"{owners[-1]} {name}" if owners and (twice or len(one.path) > 2 or name in ENDS_OF_A_SPAN) else name


def _said(one: Input) -> str:
    """The name of an input in words: what it is of, and what is measured where the name alone does not say it."""
    stem, measure = parted(one.parameter)
    name = _words(stem)
    word = KIND_SAID.get(measure.kind) if measure.kind else None
    if word is None and BARE.fullmatch(name):
        word = NAMELESS.get(measure.kind) if measure.kind else None
    if not word or word in name.split():
        return name
    return f"{word} {name}" if name.startswith("at ") else f"{name} {word}"


def _words(name: str) -> str:
    return name.replace("_", " ").strip()


def fields_of(value: Any) -> Iterator[tuple[str, Any]]:
    """The fields and the properties of a result that is a record, by name."""
    for each in fields(value):
        yield each.name, getattr(value, each.name)
    for name, held in vars(type(value)).items():
        if isinstance(held, property) and not name.startswith("_"):
            yield name, getattr(value, name)
