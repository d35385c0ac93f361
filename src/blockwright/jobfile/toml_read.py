"""`job.toml` and `gauges.toml` -> their records, with every problem and its line."""

from __future__ import annotations

import re
import tomllib
from typing import Any, TypeVar

from blockwright.jobfile.records import blank, read_record
from blockwright.jobfile.toml_lines import Lines
from blockwright.jobfile.where import Where
from blockwright.problems import BlockwrightError, Place, Problem
from blockwright.quantities.declared import Written
from blockwright.quantities.errors import excerpt

R = TypeVar("R", bound=Written)
MOST_BYTES = 2_000_000
MOST_STEPS = 200
AT_LINE = re.compile(r"\s*\(at line (\d+), column \d+\)$|\s*\(at end of document\)$")
IN_QUOTES = 'Text stands in double quotes, and so does a number with its unit: bore = "97.25 mm"'
KEEP_ONE = "Keep one. Parts, limits and orders, of which there are many, each begin with double brackets: [[part]]"
SAID: tuple[tuple[str, str, str], ...] = (
    ("Invalid value", "what stands after the equals sign cannot be read", IN_QUOTES),
    ("Expected newline or end of document", "something stands after the value that does not belong there", IN_QUOTES),
    ("Illegal character '\\n'", "a quotation mark is open at the end of the line", "Close it on the same line."),
    ("Unterminated string", "a quotation mark is open at the end of the file", "Is the file cut off? Close the quotation mark."),
    ("Expected '=' after a key", "there is no equals sign after the name", 'A line reads: name = value, or: name = "text"'),
    ("Invalid statement", "this is no name, no [table] and no # remark", 'A line reads: name = value, or: name = "text"'),
    ("Invalid initial character", "this is no name", 'A line reads: name = value, or: name = "text"'),
    ("Cannot overwrite", "this name is there twice", KEEP_ONE),
    ("Cannot declare", "this table is there twice", KEEP_ONE),
    ("Cannot mutate", "this table was closed further up", KEEP_ONE),
    ("Duplicate inline table key", "a name is there twice in the curly brackets", "Keep one."),
    ("Unclosed array", "a square bracket is open", "Is the file cut off? Close the list with ]"),
    ("Unclosed inline table", "a curly bracket is open", "Is the file cut off? Close it with }"),
    ("Expected ']'", "the brackets of this table do not close", "Write [engine], or for each part [[part]]"),
    ("Unescaped", "a backslash in double quotes means something else", "Put the text in single quotes, or write / for it."),
    ("Escaped character", "a backslash in double quotes means something else", "Put the text in single quotes, or write / for it."),
    ("Invalid date", "there is no such date", "Write it as 2026-03-31."),
    ("Found invalid character", "a sign in this line does not print", "Type the line again."),
)  # fmt: skip


def read_toml(file: str, text: str | None, cls: type[R], format_word: str, problems: list[Problem]) -> tuple[R, Where]:
    """The record in the text of a TOML file (`None` where that could not be read, which was told), and its places.

    Problems are added to the list. A record comes back in any case; what is wrong with it is marked in its places.
    """
    where = Where(file, Lines(""), problems)
    try:
        table = None if text is None else _parsed(text, file)
    except BlockwrightError as error:
        problems.extend(error.problems)
        table = None
    if text is None or table is None:
        where.mark()
        return blank(cls), where
    where.lines = Lines(text)
    if not _right_format(table, format_word, where.at("format")):
        where.mark()
        return blank(cls), where
    return read_record(cls, table, where), where


def _parsed(text: str, file: str) -> dict[str, Any]:
    try:
        _check_names(text)
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        said = str(error)
        found = AT_LINE.search(said)
        line = int(found.group(1)) if found and found.group(1) else text.rstrip().count("\n") + 1
        what, mend = _in_words(AT_LINE.sub("", said))
    except RecursionError:
        line, what, mend = 1, "brackets are nested too deeply", "Is it the right file?"
    except ValueError:
        line, what, mend = 1, "a number in it has thousands of digits", "Is it the right file?"
    raise BlockwrightError(Problem("toml-syntax", f"{what}.", mend, Place(file, line)))


def _check_names(text: str) -> None:
    """Refuse names of hundreds of steps (`a.a.a`), over which the TOML reader would take for ever."""
    for number, line in enumerate(text.split("\n"), 1):
        if line.count(".") > MOST_STEPS and line.partition("=")[0].count(".") > MOST_STEPS:
            raise tomllib.TOMLDecodeError(f"Invalid statement (at line {number}, column 1)")


def _in_words(said: str) -> tuple[str, str]:
    """What the TOML reader says, in a builder's words, and the mend."""
    for start, what, mend in SAID:
        if said.startswith(start):
            return what, mend
    return f"the line cannot be read ({excerpt(said)})", IN_QUOTES


def _right_format(table: dict[str, Any], format_word: str, where: Where) -> bool:
    """Whether the file is of the format; a missing format is told later, with the other missing names."""
    said = table.get("format", format_word)
    if said == format_word:
        return True
    family, _, _ = format_word.rpartition(" ")
    what = f"this is no file of the format '{format_word}'."
    if isinstance(said, str) and said.startswith(family):
        what = f"the file is of the format '{excerpt(said)}', and this program reads '{format_word}'."
    where.say("format", what, f'It should say: format = "{format_word}"')
    return False
