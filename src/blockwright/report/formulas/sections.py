"""Docstrings of the physics floor, read from its source without running it: first line, named parts, and what each parameter means."""

from __future__ import annotations

import ast
import inspect
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files

HEADING = re.compile(r"^([A-Z][A-Za-z ]*)\n-{3,}\n", re.MULTILINE)
PARAMETER = re.compile(r"^(?P<names>[A-Za-z_][\w, ]*) : .*\n(?P<text>(?:[ ]+.*\n?)+)", re.MULTILINE)
ROW = re.compile(r"^\| (?P<cells>.+) \|$", re.MULTILINE)
NAMED = re.compile(r"`([A-Za-z_.]+)`")
SAME_AS = re.compile(r"\b[Aa]s (?:for|in) `")
AFTER_COMMA = re.compile(r"(?<=, )[^.,;:]+(?=[.,;:]|$)")
RAISED = str.maketrans("²³", "23")
A_SOURCE = re.compile(r"\b(?:ISO|DIN|ASTM) \d|\b(?:19|20)\d\d\b|\bafter [A-Z]")
ENDS = re.compile(r"; |: |\. |\.$")


@dataclass(frozen=True)
class Doc:
    """A docstring in its parts. `text` is what stands before the first heading; `parts` the rest by heading."""

    text: str
    parts: Mapping[str, str] = field(default_factory=dict)

    @property
    def first(self) -> str:
        """Its first sentence or line."""
        return " ".join(self.text.partition("\n\n")[0].split())

    @property
    def short(self) -> str:
        """What it is, without remarks."""
        return ENDS.split(self.first, maxsplit=1)[0].strip()

    @property
    def more(self) -> str:
        """What stands between the first lines and the first heading."""
        return self.text.partition("\n\n")[2].strip()

    @property
    def parameters(self) -> Mapping[str, str]:
        """What its own section says of each parameter."""
        found = PARAMETER.finditer(self.parts.get("Parameters", "") + "\n")
        return {name.strip(): flat(each["text"]) for each in found for name in each["names"].split(",")}


@dataclass(frozen=True)
class Source:
    """The docstrings of one module: its own, those of its functions, classes and methods by name; and what it takes from its neighbours."""

    own: Doc
    docs: Mapping[str, Doc]
    neighbours: Mapping[str, str]

    @property
    def table(self) -> Mapping[str, str]:
        """What the table of symbols says of each name."""
        return {name: row[2] for row in self._rows for name in _listed(row[1])}

    @property
    def symbols(self) -> Mapping[str, str]:
        """The symbol of each name, where the table has one for each."""
        pairs = ((_listed(row[0]), _listed(row[1])) for row in self._rows)
        alike = (zip(names, signs, strict=True) for signs, names in pairs if len(signs) == len(names))
        return {name: sign for pair in alike for name, sign in pair if sign != "–"}

    @property
    def references(self) -> str:
        """Where the module's equations come from: its references, or the paragraphs of its text that name a standard, a year or an author."""
        named = (each for each in self._paragraphs if A_SOURCE.search(each))
        return self.own.parts.get("References", "") or "\n\n".join(named)

    @property
    def standing(self) -> str:
        """What the module says of how it was checked."""
        sentences = (each for text in self._paragraphs for each in re.split(r"(?<=[.])\s+(?=[A-Z])", text))
        return next((each for each in sentences if "validated" in each), "")

    @property
    def _rows(self) -> list[list[str]]:
        """The rows of the table of symbols: symbol, name, meaning, unit."""
        rows = [[cell.strip() for cell in row["cells"].split(" | ")] for row in ROW.finditer(self.own.text)]
        return [row for row in rows[2:] if len(row) > 2]

    @property
    def _paragraphs(self) -> tuple[str, ...]:
        """The paragraphs of its text, without its title and its table."""
        return tuple(flat(each) for each in self.own.text.split("\n\n")[1:] if not each.startswith("|"))


def _listed(cell: str) -> list[str]:
    return [each.strip() for each in cell.split(",")]


def flat(text: str) -> str:
    """Text on one line."""
    return " ".join(text.split())


def said_after_commas(doc: Doc) -> list[str]:
    """What the first line says between commas, where its unit stands: `Cold gap, m: the inverse` → `m`."""
    return [each.translate(RAISED).strip() for each in AFTER_COMMA.findall(doc.first)]


@cache
def source_of(module: str) -> Source:
    """The docstrings of a module of the physics floor, by its short name."""
    tree = ast.parse(files("blockwright.physics").joinpath(f"{module}.py").read_text(encoding="utf-8"))
    docs = dict(_docs_in(tree, ""))
    neighbours = {
        name.name: node.module.rpartition(".")[2]
        for node in tree.body
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("blockwright.physics.")
        for name in node.names
        if node.module
    }
    return Source(_parted(ast.get_docstring(tree) or ""), docs, neighbours)


def doc_of(where: str) -> Doc:
    """The docstring of `module.function` or `module.Class.method`; an empty one where there is none."""
    module, _, name = where.partition(".")
    return source_of(module).docs.get(name, Doc(""))


def meaning(where: str, name: str) -> str:
    """What a parameter means: by the docstring, by one that it refers to, or by the module's table of symbols; else blank."""
    module, _, function = where.partition(".")
    source = source_of(module)
    own = source.docs.get(function, Doc(""))
    said = own.parameters.get(name, "")
    if said and not SAME_AS.match(said):
        return said
    for other in NAMED.findall(said) + NAMED.findall(" ".join((own.text, *own.parts.values()))):
        if found := _said_by(module, other, name):
            return found
    return _by_table(module, name) or next(
        filter(None, (_by_table(each, name) for each in source.neighbours.values())), ""
    )


def _said_by(module: str, other: str, name: str) -> str:
    """What another function, or another module's table, says of a parameter."""
    source = source_of(module)
    if other in source.docs:
        found = source.docs[other].parameters.get(name, "")
    elif other in source.neighbours.values():
        found = source_of(other).docs.get("", Doc("")).parameters.get(name, "") or _by_table(other, name)
    else:
        return ""
    return "" if SAME_AS.match(found) else found


def _by_table(module: str, name: str) -> str:
    """What a module's table of symbols says of a name, or the table that it refers to."""
    source = source_of(module)
    said = _looked_up(source.table, name)
    if SAME_AS.match(said):
        return next(
            (_by_table(other, name) for other in NAMED.findall(said) if other in source.neighbours.values()), ""
        )
    return said


def sources(where: str) -> str:
    """Where a formula comes from: its own references, those of a module that they point to, and its module's."""
    module, _, function = where.partition(".")
    source = source_of(module)
    own = source.docs.get(function, Doc("")).parts.get("References", "")
    pointed = (source_of(each).references for each in NAMED.findall(own) if each in source.neighbours.values())
    return "\n\n".join(dict.fromkeys(each for each in (own, *pointed, source.references) if each))


def symbol(where: str, name: str) -> str:
    """The symbol of a parameter in the equations: by its module's table, or by one of those that the module draws on; else blank."""
    source = source_of(where.partition(".")[0])
    tables = (source, *(source_of(each) for each in dict.fromkeys(source.neighbours.values())))
    return next(filter(None, (_looked_up(each.symbols, name) for each in tables)), "")


def _looked_up(table: Mapping[str, str], name: str) -> str:
    """What stands in a table for a name, or for the end of it: `…_c` is any temperature."""
    ending = (said for known, said in table.items() if known.startswith("…") and name.endswith(known[1:]))
    return table.get(name) or next(ending, "")


def _docs_in(tree: ast.Module | ast.ClassDef, before: str) -> list[tuple[str, Doc]]:
    found = []
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            found.append((f"{before}{node.name}", _parted(ast.get_docstring(node) or "")))
        if isinstance(node, ast.ClassDef):
            found.extend(_docs_in(node, f"{before}{node.name}."))
    return found


def _parted(text: str) -> Doc:
    pieces = HEADING.split(inspect.cleandoc(text))
    return Doc(pieces[0].strip(), dict(zip(pieces[1::2], (each.strip("\n") for each in pieces[2::2]), strict=True)))
