"""`job.toml` and `gauges.toml` -> their records, with every problem and its line."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any, TypeVar

from blockwright.jobfile.records import BAD, Where, read_record
from blockwright.jobfile.textfile import read_text
from blockwright.jobfile.toml_lines import Lines
from blockwright.problems import BlockwrightError, Place, Problem
from blockwright.quantities.declared import Written

R = TypeVar("R", bound=Written)
MOST_BYTES = 2_000_000
AT_LINE = re.compile(r"\s*\(at line (\d+), column \d+\)$")


def read_toml(path: Path, cls: type[R], format_word: str, problems: list[Problem]) -> tuple[R | None, Where, str]:
    """The record in a TOML file (`None` where it has faults, which are added to `problems`), its places, and its text."""
    where = Where(path.name, Lines(""), problems)
    try:
        text = read_text(path, MOST_BYTES)
    except BlockwrightError as error:
        problems.extend(error.problems)
        return None, where, ""
    table = _parsed(text, path.name, problems)
    if table is None:
        return None, where, text
    where = Where(path.name, Lines(text), problems)
    if table.get("format") != format_word:
        where.at("format").say(
            "format", f"this is no file of the format '{format_word}' (it says {table.get('format')!r}).",
            f'Its first line should be: format = "{format_word}"',
        )  # fmt: skip
        return None, where, text
    record = read_record(cls, table, where)
    return (None if record is BAD else record), where, text


def _parsed(text: str, file: str, problems: list[Problem]) -> dict[str, Any] | None:
    try:
        return tomllib.loads(text.replace("\r\n", "\n"))
    except tomllib.TOMLDecodeError as error:
        said = str(error)
        found = AT_LINE.search(said)
        line = int(found.group(1)) if found else len(text.splitlines())
        what = AT_LINE.sub("", said).replace("(at end of document)", "at the end of the file")
    except RecursionError:
        line, what = 1, "brackets are nested too deeply"
    mend = "Text stands in double quotes, numbers with units too; one key = value a line."
    problems.append(Problem("toml-syntax", f"the line cannot be read: {what}.", mend, Place(file, line)))
    return None
