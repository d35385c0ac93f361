"""Writing a job folder: all files or none, each replaced only when it is complete, and nothing lost that was there.

A file whose content has not changed keeps its bytes, and of one that has only the changed keys and rows are touched.
"""

from __future__ import annotations

import contextlib
import itertools
import os
import tempfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar

from blockwright.engine.job import Job
from blockwright.jobfile import passes_csv, readings_csv, record_csv, route_csv
from blockwright.jobfile.folder import GAUGE_FILE, JOB_FILE, JobFolder
from blockwright.jobfile.sealing import Sealed
from blockwright.jobfile.table import Form, Row, lines_of, read_table, row_text, write_table
from blockwright.jobfile.textfile import BYTE_ORDER_MARK
from blockwright.jobfile.toml_write import toml_text
from blockwright.problems import BlockwrightError, Place, Problem

Cells = Mapping[str, str]
S = TypeVar("S", bound=Sealed)


def folder_texts(job: Job, like: JobFolder | None = None) -> dict[str, str]:
    """The text of every file of a job, in the layout of the folder that it came from if there is one.

    Raises BlockwrightError where a text cannot be put into a file.
    """
    before = like.texts if like else {}
    texts = {
        JOB_FILE: toml_text(job.sheet, before.get(JOB_FILE, ""), JOB_FILE),
        GAUGE_FILE: toml_text(job.gauge_sheet, before.get(GAUGE_FILE, ""), GAUGE_FILE),
        readings_csv.FILE: _readings_text(job, like),
    }
    if job.passes or passes_csv.FILE in before:
        texts[passes_csv.FILE] = _passes_text(job, like)
    if job.records or record_csv.FILE in before:
        before_records = like.job.records if like else ()
        texts[record_csv.FILE] = _sealed_text(
            record_csv.FILE, record_csv.FORM, record_csv.cells_of, job.records, before_records, like
        )
    if job.signings or route_csv.FILE in before:
        before_signings = like.job.signings if like else ()
        texts[route_csv.FILE] = _sealed_text(
            route_csv.FILE, route_csv.FORM, route_csv.cells_of, job.signings, before_signings, like
        )
    for name, text in texts.items():
        _check_text(name, text)
    return texts


def follow_sheets(job: Job, like: JobFolder) -> JobFolder:
    """The layout with what has changed in the job's two sheets put into their texts. Raises BlockwrightError where it cannot be put there."""
    texts = dict(like.texts)
    for file, sheet, before in (
        (JOB_FILE, job.sheet, like.job.sheet),
        (GAUGE_FILE, job.gauge_sheet, like.job.gauge_sheet),
    ):
        if sheet is not before:
            texts[file] = toml_text(sheet, texts[file], file)
            _check_text(file, texts[file])
    if texts == like.texts:
        return like
    return replace(like, texts=texts, job=replace(like.job, sheet=job.sheet, gauge_sheet=job.gauge_sheet))


def lacks_columns(job: Job, before: Job, like: JobFolder) -> bool:
    """Whether a row that `before` did not have fills a column that its table does not have."""
    tables: tuple[tuple[str, Sequence[Any], Sequence[Any], Callable[[Any], Cells]], ...] = (
        (readings_csv.FILE, job.readings, before.readings, readings_csv.cells_of),
        (passes_csv.FILE, job.passes, before.passes, passes_csv.cells_of),
        (record_csv.FILE, job.records, before.records, record_csv.cells_of),
        (route_csv.FILE, job.signings, before.signings, route_csv.cells_of),
    )
    for file, rows, old, cells_of in tables:
        form = like.forms.get(file)
        known = set(map(id, old)) if rows is not old else set()
        new = [row for row in rows if id(row) not in known] if rows is not old else []
        if form is not None and any(
            cell and name not in form.columns for row in new for name, cell in cells_of(row).items()
        ):
            return True
    return False


def write_folder(path: Path, texts: Mapping[str, str], read: Mapping[str, str] | None = None) -> None:
    """Write the files of a job: every one is complete on the disk before the first takes its place.

    `read` are the texts as they were read: where a file has changed since, or has come or gone, nothing is written. Raises
    BlockwrightError where it has, or where the disk refuses.
    """
    parts: dict[Path, Path] = {}
    done: list[str] = []
    try:
        path.mkdir(parents=True, exist_ok=True)
        for name, text in texts.items():
            data = _data(path / name, text, read)
            if data is not None:
                parts[path / name] = _written_beside(path / name, data)
        for file, part in parts.items():
            part.replace(file.resolve())
            done.append(file.name)
    except OSError as fault:
        raise BlockwrightError(_refused(path, fault, done)) from None
    finally:
        for part in parts.values():
            part.unlink(missing_ok=True)
    _settle(path)


def _refused(path: Path, fault: OSError, done: Sequence[str]) -> Problem:
    what = f"{path.name} cannot be written: {fault.strerror or 'the disk does not say why'}."
    left = f"Written already: {', '.join(done)}; the rest is as it was." if done else "Every file is as it was."
    mend = f"{left} Make room, or give yourself the right to write there, then try again."
    return Problem("file-write", what, mend, Place(path.name))


def _data(path: Path, text: str, read: Mapping[str, str] | None) -> bytes | None:
    """What is to be written; `None` where the file holds it already."""
    old = path.read_bytes() if path.exists() else b""
    mark = BYTE_ORDER_MARK if old.startswith(BYTE_ORDER_MARK) else b""
    held = old.removeprefix(mark)
    if read is not None and held != read.get(path.name, "").encode():
        what = f"{path.name} was changed by another program since it was read."
        raise BlockwrightError(Problem("file-changed", what, "Nothing was written. Do it again.", Place(path.name)))
    return mark + text.encode() if held != text.encode() or not path.exists() else None


def _written_beside(path: Path, data: bytes) -> Path:
    """A file beside the one that it is to replace, complete on the disk, with the same rights."""
    home = path.resolve()
    handle, name = tempfile.mkstemp(dir=home.parent, prefix=f".{path.name}.")
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        part.chmod(home.stat().st_mode & 0o777 if home.exists() else 0o644)
    except BaseException:
        part.unlink(missing_ok=True)
        raise
    return part


def _settle(path: Path) -> None:
    """Have the disk note the new names, where the system can be asked to."""
    with contextlib.suppress(OSError):
        handle = os.open(path, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _readings_text(job: Job, like: JobFolder | None) -> str:
    file = readings_csv.FILE
    form = like.forms[file] if like else readings_csv.PLAIN_FORM
    rows = readings_csv.rows_of(job.readings, form.separator)
    lines = [reading.place.line for reading in job.readings]
    return _table_text(file, rows, lines, readings_csv.PLAIN_FORM, like)


def _passes_text(job: Job, like: JobFolder | None) -> str:
    file = passes_csv.FILE
    form = like.forms.get(file) if like else None
    rows = [passes_csv.cells_of(each, form.separator if form else ",") for each in job.passes]
    return _table_text(file, rows, [each.reading.place.line for each in job.passes], passes_csv.FORM, like)


def _sealed_text(
    file: str,
    form: Form,
    cells_of: Callable[[S], Cells],
    records: Sequence[S],
    before: Sequence[S],
    like: JobFolder | None,
) -> str:
    """Sealed rows have no typed cells; those that are as they were read keep their line as it was."""
    old = {record.place.line: record for record in before}
    rows: dict[int, Row] = {row.line: row for row in _rows_before(file, form, like)}
    cells = [
        rows[record.place.line].cells if old.get(record.place.line) == record else cells_of(record)
        for record in records
    ]
    return _table_text(file, cells, [record.place.line for record in records], form, like)


def _table_text(file: str, rows: Sequence[Cells], lines: Sequence[int], plain: Form, like: JobFolder | None) -> str:
    """A table as text: a row that says what its old line said keeps that line as it was typed."""
    form = like.forms.get(file) if like else None
    if like is None or form is None:
        return write_table(rows, plain)
    extra = tuple(name for name in plain.columns if name not in form.columns and any(row.get(name) for row in rows))
    if extra:
        return write_table(rows, Form(form.separator, form.newline, (*form.columns, *extra)))
    old_rows = _rows_before(file, plain, like)
    blocks = _blocks(like.texts[file], old_rows)
    old_cells = {row.line: row.cells for row in old_rows}
    texts = [blocks[1]]
    for cells, line in zip(rows, lines, strict=True):
        old = old_cells.get(line)
        same = old is not None and all(cells.get(name, "") == old.get(name, "") for name in form.columns)
        texts.append(blocks[line] if same else row_text(cells, form))
    return _joined(texts, form.newline)


def _blocks(text: str, rows: Sequence[Row]) -> dict[int, str]:
    """The text of the header and of each row, by its first line, with the blank lines after it."""
    lines = lines_of(text)
    starts = [1, *(row.line for row in rows), len(lines) + 1]
    return {start: "".join(lines[start - 1 : end - 1]) for start, end in itertools.pairwise(starts)}


def _joined(texts: Sequence[str], newline: str) -> str:
    """Lines of a table, each with an end; the last one as it was."""
    ended = [text if text.endswith(("\n", "\r")) else text + newline for text in texts[:-1]]
    return "".join([*ended, texts[-1]])


def _rows_before(file: str, plain: Form, like: JobFolder | None) -> tuple[Row, ...]:
    if like is None or file not in like.texts:
        return ()
    return read_table(like.texts[file], file, plain.columns, (), [])[0]


def _check_text(name: str, text: str) -> None:
    """Refuse what no text file can hold, before anything is written."""
    fault = "\x00" in text or any("\ud800" <= sign <= "\udfff" for sign in text)
    if fault:
        what = "a text holds signs that cannot be written to a file."
        raise BlockwrightError(Problem("file-signs", what, "Type it again without them.", Place(name)))
