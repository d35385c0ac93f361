"""Every problem that the program tells, with its code and words, found by reading the source: nobody has to keep a list.

A problem is said by a call such as `Problem("date", "'31.3.' is no date.", "Write it as 2026-03-31.")`. Where a function passes on a code or
words that it was given, its own callers are looked at. What is only known when the problem arises is shown as `…`.
"""

from __future__ import annotations

import ast
import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

SOURCE = Path(__file__).resolve().parents[3] / "src" / "blockwright"
PARTS = ("code", "what", "mend")
TELLERS = ("Problem", "Flag")
BLANK = "…"
NEAREST = "The nearest name that is known is offered."
BLANKS = re.compile("…( ?…)+")
CODE = re.compile(r"[a-z]+([-_][a-z…]+)*")

Names = Mapping[str, ast.expr]
Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True)
class Said:
    """One problem as the source says it: by `Problem` or by `Flag`."""

    by: str
    code: str
    what: str
    mend: str


@dataclass
class Module:
    """A module's functions, the classes of those that are methods, and its constants."""

    functions: list[Function] = field(default_factory=list)
    methods: dict[Function, str] = field(default_factory=dict)
    constants: dict[str, ast.expr] = field(default_factory=dict)


@dataclass(frozen=True)
class Inside:
    """A call within a function of a module."""

    module: Module
    function: Function
    call: ast.Call


@cache
def every_problem() -> tuple[Said, ...]:
    """Every problem and every flag in the source, once for each wording."""
    modules = [_module(path) for path in sorted(SOURCE.rglob("*.py"))]
    found = dict.fromkeys(said for module in modules for said in _said_in(module, modules))
    return tuple(found)


def _module(path: Path) -> Module:
    module = Module()
    tree = ast.parse(path.read_text(encoding="utf-8"))
    module.constants.update(pair for node in tree.body if isinstance(node, ast.Assign) for pair in _pairs(node))
    for node in ast.walk(tree):
        if isinstance(node, ast.ClassDef):
            module.methods.update({each: node.name for each in node.body if isinstance(each, Function)})
        if isinstance(node, Function):
            module.functions.append(node)
    return module


def _said_in(module: Module, modules: list[Module]) -> Iterator[Said]:
    for function in module.functions:
        for call in _own_calls(function):
            by = _name_of(call.func)
            if by not in TELLERS or not call.args:
                continue
            parts = dict(zip(PARTS, call.args, strict=False)) | _by_name(call, PARTS)
            for names in _ways(Inside(module, function, call), parts, modules):
                said = Said(by, *(BLANKS.sub(BLANK, _words(parts.get(part), names)) for part in PARTS))
                if CODE.fullmatch(said.code):
                    yield said


def _ways(inside: Inside, parts: Mapping[str, ast.expr], modules: list[Module], depth: int = 0) -> Iterator[Names]:
    """What the names in a call stand for: the function's own assignments, and for words that it was given those of each caller."""
    own = _assigned(inside.function, inside.call)
    wanted = {name for part in parts.values() for name in _passed_on(part)}
    loop = _loop_that_gives(wanted, inside)
    if loop is not None:
        yield from (own | names for names in _told_in_turn(loop, inside, modules))
        return
    given = wanted & set(_parameters(inside.function))
    if not given or depth > 3:
        yield own
        return
    method = inside.module.methods.get(inside.function)
    for caller in _callers(inside, method, modules):
        passed = {name: value for name, value in _bound(caller.call, inside.function, method).items() if name in given}
        for names in _ways(caller, passed, modules, depth + 1):
            yield own | {name: ast.Constant(_words(value, names)) for name, value in passed.items()}


def _loop_that_gives(wanted: set[str], inside: Inside) -> ast.For | None:
    """The loop around a call, such as `for field, what, mend in faults`, where its words come from."""
    loops = (node for node in ast.walk(inside.function) if isinstance(node, ast.For) and wanted & set(_targets(node)))
    return next((loop for loop in loops if inside.call in ast.walk(loop)), None)


def _targets(loop: ast.For) -> list[str]:
    return [_name_of(name) for name in getattr(loop.target, "elts", ())]


def _told_in_turn(loop: ast.For, inside: Inside, modules: list[Module]) -> Iterator[Names]:
    """What the names of a loop stand for, turn by turn: the tuples that it goes over, listed or yielded by a function."""
    sources = [(loop.iter, inside.module)]
    if isinstance(loop.iter, ast.Name) and loop.iter.id in inside.module.constants:
        sources = [(inside.module.constants[loop.iter.id], inside.module)]
    elif isinstance(loop.iter, ast.Name):
        callers = _callers(inside, inside.module.methods.get(inside.function), modules)
        bound = ((_bound(caller.call, inside.function, None), caller.module) for caller in callers)
        sources = [(names[loop.iter.id], module) for names, module in bound if loop.iter.id in names]
    for source, module in sources:
        for told in _yielded(source, module):
            yield dict(zip(_targets(loop), told, strict=False))


def _yielded(source: ast.expr, module: Module) -> Iterator[list[ast.expr]]:
    """The tuples that are listed here, or that the function yields which is called here."""
    if isinstance(source, ast.Tuple):
        yield from (each.elts for each in source.elts if isinstance(each, ast.Tuple))
    for function in module.functions:
        if not isinstance(source, ast.Call) or function.name != _name_of(source.func):
            continue
        for node in ast.walk(function):
            if isinstance(node, ast.Yield) and isinstance(node.value, ast.Tuple):
                names = _assigned(function, node)
                yield [ast.Constant(_words(each, names)) for each in node.value.elts]
            elif isinstance(node, ast.YieldFrom):
                yield from _yielded(node.value, module)


def _callers(inside: Inside, method: str | None, modules: list[Module]) -> Iterator[Inside]:
    for other in modules:
        for caller in other.functions:
            for call in _own_calls(caller):
                if _goes_to(call, inside.function, method, other is inside.module):
                    yield Inside(other, caller, call)


def _goes_to(call: ast.Call, function: Function, method: str | None, here: bool) -> bool:
    if method is None:
        return here and isinstance(call.func, ast.Name) and call.func.id == function.name
    if function.name == "__init__":
        return _name_of(call.func) == method
    return isinstance(call.func, ast.Attribute) and call.func.attr == function.name


def _bound(call: ast.Call, function: Function, method: str | None) -> dict[str, ast.expr]:
    names = _parameters(function)[1 if method else 0 :]
    return dict(zip(names, call.args, strict=False)) | _by_name(call, names)


def _by_name(call: ast.Call, names: Sequence[str]) -> dict[str, ast.expr]:
    return {word.arg: word.value for word in call.keywords if word.arg in names}


def _parameters(function: Function) -> list[str]:
    return [each.arg for each in (*function.args.posonlyargs, *function.args.args, *function.args.kwonlyargs)]


def _passed_on(node: ast.expr) -> Iterator[str]:
    """Names that are the words themselves, or the code within a longer one, not things spoken of in the words."""
    match node:
        case ast.Name(id=name):
            yield name
        case ast.BinOp(left=left, right=right):
            yield from (*_passed_on(left), *_passed_on(right))
        case ast.JoinedStr(values=values) if not any(_has_words(each) and " " in ast.unparse(each) for each in values):
            for each in values:
                if isinstance(each, ast.FormattedValue):
                    yield from _passed_on(each.value)


def _assigned(function: Function, call: ast.expr) -> dict[str, ast.expr]:
    """Names with the words that they hold at a call: those assigned since the call before it, else the last ones assigned."""
    found: defaultdict[str, list[tuple[int, ast.expr]]] = defaultdict(list)
    for node in ast.walk(function):
        if isinstance(node, ast.Assign) and node.lineno <= call.lineno:
            for name, value in _pairs(node):
                if _has_words(value):
                    found[name].append((node.lineno, value))
    kind = ast.Yield if isinstance(call, ast.Yield) else ast.Call
    others = (
        node for node in ast.walk(function) if isinstance(node, kind) and node.lineno < call.lineno and _tells(node)
    )
    before = max((node.lineno for node in others), default=0)
    return {
        name: _either([value for line, value in told if line > before] or [told[-1][1]]) for name, told in found.items()
    }


def _tells(node: ast.expr) -> bool:
    """Whether something is told here: a turn of a generator, or a call with a code."""
    return isinstance(node, ast.Yield) or any(
        isinstance(each, ast.Constant) and isinstance(each.value, str) and "-" in each.value
        for each in getattr(node, "args", ())[:2]
    )


def _pairs(node: ast.Assign) -> Iterator[tuple[str, ast.expr]]:
    for target in node.targets:
        if isinstance(target, ast.Name):
            yield target.id, node.value
        elif isinstance(target, ast.Tuple) and isinstance(node.value, ast.Tuple):
            for name, value in zip(target.elts, node.value.elts, strict=False):
                if isinstance(name, ast.Name):
                    yield name.id, value


def _either(values: list[ast.expr]) -> ast.expr:
    return values[0] if len(values) == 1 else ast.BoolOp(ast.Or(), values)


def _has_words(node: ast.expr) -> bool:
    return any(isinstance(each, ast.Constant) and isinstance(each.value, str) for each in ast.walk(node))


def _own_calls(function: Function) -> Iterator[ast.Call]:
    """Calls in a function, without those of functions within it."""
    waiting: list[ast.AST] = list(ast.iter_child_nodes(function))
    while waiting:
        node = waiting.pop(0)
        if isinstance(node, ast.Call):
            yield node
        if not isinstance(node, Function):
            waiting.extend(ast.iter_child_nodes(node))


def _name_of(node: ast.expr) -> str:
    return node.attr if isinstance(node, ast.Attribute) else node.id if isinstance(node, ast.Name) else ""


def _bare(values: list[ast.expr]) -> bool:
    """Whether a text is put together from names alone, with no words of its own."""
    return not any(isinstance(each, ast.Constant) and re.search(r"[a-z]", str(each.value)) for each in values)


def _words(node: ast.expr | None, names: Names, depth: int = 0) -> str:
    """The words of an expression, with a blank for what is only known later."""
    if node is None or depth > 4:
        return "" if node is None else BLANK
    match node:
        case ast.Constant(value=value):
            return value if isinstance(value, str) else BLANK
        case ast.JoinedStr(values=values):
            known = {name: value for name, value in names.items() if _bare(values) or isinstance(value, ast.Constant)}
            return "".join(_words(each, known, depth + 1) for each in values)
        case ast.FormattedValue(value=inner):
            return _words(inner, names, depth + 1) if isinstance(inner, ast.Name) else BLANK
        case ast.Name(id=name):
            return (
                _words(names[name], {key: value for key, value in names.items() if key != name}, depth + 1)
                if name in names
                else BLANK
            )
        case ast.BinOp(left=left, right=right):
            return _words(left, names, depth + 1) + _words(right, names, depth + 1)
        case ast.IfExp(body=body, orelse=other):
            return " / ".join(
                dict.fromkeys(filter(None, (_words(body, names, depth + 1), _words(other, names, depth + 1))))
            )
        case ast.BoolOp(values=values):
            return " / ".join(dict.fromkeys(_words(each, names, depth + 1) for each in values))
        case ast.Call(func=ast.Attribute(value=inner)) if _has_words(inner):
            return _words(inner, names, depth + 1)
        case ast.Call(func=func) if "near" in _name_of(func):
            return NEAREST
    return BLANK
