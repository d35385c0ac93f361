"""Every problem code of the program with its words, found by reading the source: nobody has to keep a list.

A problem is said by a call such as `Problem("date", "'31.3.' is no date.", "Write it as 2026-03-31.")`. Where a function passes on a code or
words that it was given, its own callers are looked at. What is only known when the problem arises is shown as `…`.
"""

from __future__ import annotations

import ast
import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from house_pages.markdown import plain, sentence, table

SOURCE = Path(__file__).resolve().parents[3] / "src" / "blockwright"
PARTS = ("code", "what", "mend")
TELLERS = ("Problem", "Flag")
BLANK = "…"
DEPENDS = "It depends on the case, and is said with it."
NEAREST = "The nearest name that is known is offered."
BLANKS = re.compile("…( ?…)+")
CODE = re.compile(r"[a-z]+(-[a-z…]+)*")

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
    """A module's functions, and the classes of those that are methods."""

    functions: list[Function] = field(default_factory=list)
    methods: dict[Function, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Inside:
    """A call within a function of a module."""

    module: Module
    function: Function
    call: ast.Call


def every_problem() -> tuple[Said, ...]:
    """Every problem and every flag in the source, once for each wording."""
    modules = [_module(path) for path in sorted(SOURCE.rglob("*.py"))]
    found = dict.fromkeys(said for module in modules for said in _said_in(module, modules))
    return tuple(found)


def _module(path: Path) -> Module:
    module = Module()
    tree = ast.parse(path.read_text(encoding="utf-8"))
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
    given = {name for part in parts.values() for name in _passed_on(part)} & set(_parameters(inside.function))
    if not given or depth > 3:
        yield own
        return
    method = inside.module.methods.get(inside.function)
    for caller in _callers(inside, method, modules):
        passed = {name: value for name, value in _bound(caller.call, inside.function, method).items() if name in given}
        for names in _ways(caller, passed, modules, depth + 1):
            yield own | {name: _settled(value, names) for name, value in passed.items()}


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


def _settled(value: ast.expr, names: Names) -> ast.expr:
    """What a name stands for where it was assigned; anything else as it is."""
    return names.get(value.id, value) if isinstance(value, ast.Name) else value


def _assigned(function: Function, call: ast.Call) -> dict[str, ast.expr]:
    """Names with the words that they hold at a call: those assigned since the call before it, else the last ones assigned."""
    found: defaultdict[str, list[tuple[int, ast.expr]]] = defaultdict(list)
    for node in ast.walk(function):
        if isinstance(node, ast.Assign) and node.lineno <= call.lineno:
            for name, value in _pairs(node):
                if _has_words(value):
                    found[name].append((node.lineno, value))
    before = max(
        (other.lineno for other in _own_calls(function) if _tells(other) and other.lineno < call.lineno), default=0
    )
    return {
        name: _either([value for line, value in told if line > before] or [told[-1][1]]) for name, told in found.items()
    }


def _tells(call: ast.Call) -> bool:
    return any(
        isinstance(each, ast.Constant) and isinstance(each.value, str) and "-" in each.value for each in call.args[:2]
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


SECTIONS = (
    ("file", "The file itself", "A file of the job is not there, or cannot be read as text."),
    ("folder demo new", "Folders", ""),
    (
        "toml format",
        "`job.toml` and `gauges.toml`: how they are written",
        "Text stands in double quotes, and so do numbers with their units.",
    ),
    (
        "table",
        "Tables: how they are written",
        "The tables may be saved from a spreadsheet as CSV, with commas, semicolons or tabs.",
    ),
    (
        "quantity",
        "Numbers and units",
        "Nothing is guessed: a number without a unit, or a word that means two things, is refused.",
    ),
    ("engine", "What the engine is", ""),
    ("part assigned shells alloy", "Parts and where they go", ""),
    ("fit limit only", "Fits and limits", ""),
    ("gauge setting measures", "Gauges and settings", ""),
    (
        "reading feature at spot state blade interval inherit date depth temperature value",
        "Readings",
        "Nothing is taken from a row that has a fault; the rest of the file is read all the same.",
    ),
    ("pass", "Filing", ""),
    ("record accept", "Signing", ""),
    ("study", "Gauge studies", ""),
    ("unit more", "Other", ""),
)


def listing(words: str) -> str:
    """Every problem that stops the work, by what it is about."""
    found = [said for said in every_problem() if said.by == "Problem"]
    sections = [
        (title, lead, [said for said in found if section_of(said.code) == title]) for _, title, lead in SECTIONS
    ]
    return "\n".join(f"## {title}\n\n{lead}\n\n{_table(said)}" for title, lead, said in sections if said)


def noticed(words: str) -> str:
    """Everything that is noticed about readings and stops nothing."""
    return _table([said for said in every_problem() if said.by == "Flag"])


def section_of(code: str) -> str:
    """The section in which a code is told; the last one where it belongs to none."""
    first = code.split("-")[0]
    return next((title for firsts, title, _ in SECTIONS if first in firsts.split()), SECTIONS[-1][1])


def _table(found: list[Said]) -> str:
    wordings: defaultdict[str, dict[tuple[str, str], None]] = defaultdict(dict)
    for said in found:
        wordings[said.code][(said.what, said.mend)] = None
    rows = [
        (f"`{code}`" if nth == 0 else "", plain(sentence(what)), plain(sentence(mend)) if mend != BLANK else DEPENDS)
        for code, told in wordings.items()
        for nth, (what, mend) in enumerate(told)
    ]
    return table(("code", "what is wrong", "what mends it"), rows, "stacks")


MAKERS = {"problems": listing, "noticed": noticed}
