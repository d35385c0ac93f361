"""Every command shown on a page is run, and what it prints is what the page shows.

A page is read from top to bottom in a folder of its own. A `console` block holds commands after `$` and what they print; a line of only `…`
stands for any lines, and a `…` within a line for any text. A code block with a caption is put into the file that the caption names, in
place of the tables that it replaces; a table under `<!-- fill: FILE -->` fills cells of rows that are there.
"""

import csv
import io
import os
import re
import shlex
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path
from typing import NamedTuple

import pytest

from blockwright.cli.main import main

HOUSE = Path(__file__).resolve().parents[2]
DOCS = HOUSE / "docs"
EXAMPLES = DOCS / "examples"
PAGES = [HOUSE / "README.md", *sorted(page for page in DOCS.rglob("*.md") if "_build" not in page.parts)]
STEP = re.compile(
    r"^```console\n(?P<session>.*?)^```$"
    r"|^```\{code-block\} toml\n:caption: (?P<file>\S+)\n\n(?P<text>.*?)^```$"
    r"|^<!-- fill: (?P<table>\S+) -->\n\n(?P<rows>(?:\|[^\n]*\n)+)",
    re.MULTILINE | re.DOTALL,
)
TABLE = re.compile(r"^(?=\[)", re.MULTILINE)
MARK = re.compile(r"^\[+\w+\]+\n(?:id|mark) = .*$", re.MULTILINE)


class Shown(NamedTuple):
    """A command as shown, and what is shown that it prints."""

    command: str
    output: str


def shown_in(session: str) -> Iterator[Shown]:
    """The commands of a console block."""
    for part in re.split(r"^\$ ", session.replace("\\\n", " "), flags=re.MULTILINE)[1:]:
        command, _, output = part.partition("\n")
        yield Shown(" ".join(command.split()), output)


def pattern(output: str) -> re.Pattern[str]:
    """What may be printed where this is shown."""
    lines = (
        "(?:.*\n)*?" if line == "…" else re.escape(line.rstrip()).replace("…", ".*") + "\n"
        for line in output.splitlines()
    )
    return re.compile("".join(lines))


def printed_by(command: str) -> tuple[str, int]:
    """What a command prints, both streams as they come, and its exit code."""
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding="utf-8", write_through=True)
    program, *words = shlex.split(command)
    assert program == "blockwright", f"{command}: only blockwright is run"
    if words[:1] == ["ledger"]:
        return printed_by_a_program(words)
    with pytest.MonkeyPatch.context() as patch, redirect_stdout(stream), redirect_stderr(stream):
        patch.setattr(sys, "argv", [program, *words])
        patch.setenv("COLUMNS", "80")
        with pytest.raises(SystemExit) as leaving:
            main()
    code = leaving.value.code
    return re.sub(r" +$", "", raw.getvalue().decode(), flags=re.MULTILINE), int(code or 0)


def printed_by_a_program(words: list[str]) -> tuple[str, int]:
    """The same for a command that opens a ledger: one process serves one ledger, and this one has the tests' own."""
    asked = [sys.executable, "-c", "from blockwright.cli.main import main; main()", *words]
    plain = {name: value for name, value in os.environ.items() if not name.startswith(("BLOCKWRIGHT", "DJANGO"))}
    done = subprocess.run(
        asked, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, check=False, env={**plain, "COLUMNS": "80"}
    )
    return re.sub(r" +$", "", done.stdout.decode(), flags=re.MULTILINE), done.returncode


def put(file: Path, text: str) -> None:
    """Put tables into a file: in place of the one with the same mark, else at its end."""
    tables = TABLE.split(file.read_text(encoding="utf-8"))
    for new in filter(str.strip, TABLE.split(text)):
        mark = MARK.match(new)
        old = [index for index, table in enumerate(tables) if mark and table.startswith(mark[0])]
        if old:
            tables[old[0]] = new.rstrip() + "\n\n"
        else:
            tables.append("\n" + new)
    file.write_text("".join(tables), encoding="utf-8")


def fill(file: Path, table: str) -> None:
    """Fill the cells of a table on the page into the rows of a file that have the same id; what is not to be filled must agree."""
    head, _, *shown = ([cell.strip() for cell in line.strip()[1:-1].split("|")] for line in table.splitlines())
    with file.open(encoding="utf-8", newline="") as opened:
        rows = {row["id"]: row for row in csv.DictReader(opened)}
    for cells in shown:
        wanted = dict(zip(head, cells, strict=True))
        row = rows[wanted["id"]]
        for name, cell in wanted.items():
            assert row[name] in ("", cell), (
                f"{file.name}, {wanted['id']}: {name} is '{row[name]}', the page says '{cell}'"
            )
            row[name] = cell
    with file.open("w", encoding="utf-8", newline="") as opened:
        writer = csv.DictWriter(opened, next(iter(rows.values())), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows.values())


def follow(page: str) -> None:
    """Do what a page says, and hold what is printed against what it shows."""
    for step in STEP.finditer(page):
        if step["file"]:
            put(Path(step["file"]), step["text"])
        elif step["table"]:
            fill(Path(step["table"]), step["rows"])
        for shown in shown_in(step["session"] or ""):
            printed, code = printed_by(shown.command)
            assert pattern(shown.output).fullmatch(printed), (
                f"$ {shown.command}\nshown:\n{shown.output}\nprinted:\n{printed}"
            )
            assert code in (0, 1) or "must be mended first" in shown.output, f"$ {shown.command}: exit code {code}"


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.relative_to(HOUSE).as_posix())
def test_a_page_shows_what_happens(page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    shutil.copytree(EXAMPLES, tmp_path, dirs_exist_ok=True)
    follow(page.read_text(encoding="utf-8"))


def test_every_console_block_is_seen() -> None:
    for page in PAGES:
        text = page.read_text(encoding="utf-8")
        commands = [shown for step in STEP.finditer(text) for shown in shown_in(step["session"] or "")]
        assert len(commands) == len(re.findall(r"^\$ ", text, re.MULTILINE)), page
    assert any("blockwright new" in page.read_text(encoding="utf-8") for page in PAGES)


@pytest.mark.parametrize(
    ("output", "printed", "same"),
    [
        ("one\n", "one\n", True),
        ("one\n", "two\n", False),
        ("one\n", "one\ntwo\n", False),
        ("one\n…\n", "one\ntwo\nthree\n", True),
        ("…\nthree\n", "one\ntwo\nthree\n", True),
        ("one\n…\nthree\n", "one\nthree\n", True),
        ("at … mm\n", "at 0.5 mm\n", True),
        ("at … mm\n", "at 0.5\n1 mm\n", False),
        ("", "anything\n", False),
    ],
)
def test_a_difference_is_seen(output: str, printed: str, same: bool) -> None:
    assert bool(pattern(output).fullmatch(printed)) is same


def test_a_command_that_prints_otherwise_is_seen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(AssertionError, match="shown:"):
        follow("```console\n$ blockwright --version\nblockwright 0.0.0-nothing\n```\n")
    with pytest.raises(AssertionError, match="exit code 2"):
        follow("```console\n$ blockwright fits nowhere\n…\n```\n")
