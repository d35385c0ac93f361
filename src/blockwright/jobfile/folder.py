"""The job folder: read in one pass with every problem listed, from the disk or from texts that are at hand.

Files: `job.toml`, `gauges.toml`, `readings.csv`, `passes.csv`, `record.csv`, `route.csv`. The first three must be there.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Protocol

from blockwright.engine.filing import Pass
from blockwright.engine.job import FORMAT, GAUGE_FORMAT, GaugeSheet, Job, JobSheet
from blockwright.engine.rules import Record
from blockwright.engine.steps import Signing
from blockwright.jobfile import passes_csv, readings_csv, record_csv, route_csv
from blockwright.jobfile.checks_gauges import gauge_problems, mark_problems
from blockwright.jobfile.checks_readings import reading_problems
from blockwright.jobfile.checks_record import record_problems
from blockwright.jobfile.checks_route import step_problems
from blockwright.jobfile.checks_sheet import engine_problems, part_problems, sheet_problems
from blockwright.jobfile.known import Known
from blockwright.jobfile.table import Form, Row, read_table, unfit_cells
from blockwright.jobfile.textfile import BYTE_ORDER_MARK, MOST_BYTES, check_size, missing, read_bytes, text_of
from blockwright.jobfile.toml_read import MOST_BYTES as MOST_TOML_BYTES
from blockwright.jobfile.toml_read import read_toml
from blockwright.problems import BlockwrightError, Place, Problem

JOB_FILE, GAUGE_FILE = "job.toml", "gauges.toml"
FILES = (JOB_FILE, GAUGE_FILE, readings_csv.FILE, passes_csv.FILE, record_csv.FILE, route_csv.FILE)
MOST_TOLD = 200
MOST_FOUND = 2000
LONGEST_TOLD = 800


@dataclass(frozen=True)
class JobFolder:
    """A job as read: where it lies, the job, the text of each file, how its tables are laid out, and files with a byte-order mark.

    The texts are without that mark.
    """

    path: Path
    job: Job
    texts: Mapping[str, str]
    forms: Mapping[str, Form]
    marked: frozenset[str] = frozenset()


class _Files(Protocol):
    """Where the files of a job are read from."""

    def __contains__(self, file: str) -> bool:
        """Whether there is such a file."""

    def data(self, file: str, most_bytes: int) -> bytes:
        """What it holds. Raises BlockwrightError with one problem."""


@dataclass(frozen=True)
class _OnDisk:
    """The files of a folder."""

    path: Path

    def __contains__(self, file: str) -> bool:
        return os.path.lexists(self.path / file)

    def data(self, file: str, most_bytes: int) -> bytes:
        return read_bytes(self.path / file, most_bytes)


@dataclass(frozen=True)
class _AtHand:
    """Files that are at hand as texts."""

    path: Path
    texts: Mapping[str, str]

    def __contains__(self, file: str) -> bool:
        return file in self.texts

    def data(self, file: str, most_bytes: int) -> bytes:
        if file not in self.texts:
            raise missing(self.path / file)
        data = self.texts[file].encode(errors="surrogatepass")
        check_size(file, len(data), most_bytes)
        return data


def _printable(text: str) -> str:
    """The text without signs that do not print, cut where it is long."""
    if text.isprintable() and len(text) <= LONGEST_TOLD:
        return text
    cut = text if len(text) <= LONGEST_TOLD else f"{text[:LONGEST_TOLD]}…"
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in cut)


class _Enough(Exception):  # noqa: N818 - not an error: so much is wrong that the rest need not be looked at
    """More problems than anybody would read."""


class _Problems(list[Problem]):
    """A list that ends the reading when it is long, so that no input takes long to refuse."""

    def append(self, problem: Problem, /) -> None:
        super().append(replace(problem, what=_printable(problem.what), mend=_printable(problem.mend)))
        if len(self) > MOST_FOUND:
            raise _Enough

    def extend(self, problems: Iterable[Problem], /) -> None:
        for problem in problems:
            self.append(problem)


@dataclass
class _Reading:
    """A folder on its way to a job."""

    files: _Files
    problems: _Problems = field(default_factory=_Problems)
    texts: dict[str, str] = field(default_factory=dict)
    forms: dict[str, Form] = field(default_factory=dict)
    marked: set[str] = field(default_factory=set)

    def job(self) -> Job:
        """The job, as far as it can be read; every fault goes to the problems."""
        sheet, sheet_at = read_toml(JOB_FILE, self._text(JOB_FILE, MOST_TOML_BYTES), JobSheet, FORMAT, self.problems)
        gauges, gauges_at = read_toml(
            GAUGE_FILE, self._text(GAUGE_FILE, MOST_TOML_BYTES), GaugeSheet, GAUGE_FORMAT, self.problems
        )
        job = Job(sheet, gauges)
        engine_problems(job, sheet_at)
        part_problems(job, sheet_at)
        mark_problems(gauges, gauges_at)
        known = Known(job, sheet_at, gauges_at)
        sheet_problems(known)
        gauge_problems(known, gauges_at)
        rows = self._table(readings_csv.FILE, readings_csv.COLUMNS, readings_csv.REQUIRED)
        reads = readings_csv.readings_from(rows, known.gauges.whole(), self.problems)
        self.problems.extend(reading_problems(known, reads))
        entries = self._passes(known)
        records = self._records(known)
        job = Job(sheet, gauges, tuple(read.reading for read in reads), records, entries, self._signings())
        if not self.problems:
            step_problems(job, sheet_at)
        return job

    def _passes(self, known: Known) -> tuple[Pass, ...]:
        rows = self._table_if_there(passes_csv.FILE, passes_csv.COLUMNS, passes_csv.REQUIRED)
        found = passes_csv.passes_from(rows, known.gauges.whole(), self.problems)
        gaps = [each.read for each in found]
        self.problems.extend(passes_csv.in_columns(list(reading_problems(known, gaps))))
        return tuple(each.entry for each in found)

    def _records(self, known: Known) -> tuple[Record, ...]:
        rows = self._table_if_there(record_csv.FILE, record_csv.COLUMNS, record_csv.REQUIRED)
        records = record_csv.records_from(rows, self.problems)
        self.problems.extend(record_problems(known, records))
        return records

    def _signings(self) -> tuple[Signing, ...]:
        rows = self._table_if_there(route_csv.FILE, route_csv.COLUMNS, route_csv.REQUIRED)
        return route_csv.signings_from(rows, self.problems)

    def _table_if_there(self, file: str, columns: tuple[str, ...], required: tuple[str, ...]) -> tuple[Row, ...]:
        return self._table(file, columns, required) if file in self.files else ()

    def _table(self, file: str, columns: tuple[str, ...], required: tuple[str, ...]) -> tuple[Row, ...]:
        text = self._text(file)
        if text is None:
            return ()
        rows, form = read_table(text, file, columns, required, self.problems)
        if form is not None:
            self.forms[file] = form
        for row in rows:
            self.problems.extend(unfit_cells(row, file))
        return rows

    def _text(self, file: str, most_bytes: int = MOST_BYTES) -> str | None:
        """The text of a file; `None`, and a problem put down, where it cannot be read."""
        try:
            data = self.files.data(file, most_bytes)
            self.texts[file] = text_of(data, file)
        except BlockwrightError as error:
            self.problems.extend(error.problems)
            return None
        if data.startswith(BYTE_ORDER_MARK):
            self.marked.add(file)
        return self.texts[file]


def read_folder(path: Path) -> JobFolder:
    """Read a job folder. Raises BlockwrightError with all problems of all files, in the order of files and lines."""
    _check_is_folder(path)
    return _read(path, _OnDisk(path))


def read_texts(name: str, texts: Mapping[str, str]) -> JobFolder:
    """Read a job from the texts of its files, by file name; a text may begin with a byte-order mark. Raises as `read_folder`."""
    path = Path(name)
    return _read(path, _AtHand(path, texts))


def texts_of_folder(path: Path) -> dict[str, str]:
    """The texts of the files of a job folder as `read_texts` takes them: not read as a job, byte-order marks kept.

    Raises BlockwrightError with one problem a file that is no text.
    """
    _check_is_folder(path)
    reading = _Reading(_OnDisk(path))
    for file in FILES:
        if file in reading.files:
            reading._text(file)
    if reading.problems:
        raise BlockwrightError(reading.problems)
    return marked_texts(reading.texts, reading.marked)


def marked_texts(texts: Mapping[str, str], marked: Iterable[str]) -> dict[str, str]:
    """Texts of files, each that bore a byte-order mark with it."""
    mark = BYTE_ORDER_MARK.decode()
    return {file: (mark + text if file in marked else text) for file, text in texts.items()}


def _read(path: Path, files: _Files) -> JobFolder:
    reading = _Reading(files)
    try:
        job = reading.job()
    except _Enough:
        raise BlockwrightError(_told(reading.problems)) from None
    if reading.problems:
        raise BlockwrightError(_told(reading.problems))
    return JobFolder(path, job, reading.texts, reading.forms, frozenset(reading.marked))


def _check_is_folder(path: Path) -> None:
    mend = "Give the folder of a job, or make one with 'blockwright new'."
    try:
        if path.is_dir():
            return
        what = f"{path} is a file, not a folder." if path.exists() else f"there is no folder {path}."
    except OSError as fault:
        what = f"the folder cannot be looked into: {fault.strerror or 'the disk does not say why'}."
    raise BlockwrightError(Problem("folder-missing", what, mend, Place(path.name or str(path))))


def _told(problems: list[Problem]) -> list[Problem]:
    """The problems in the order of files and lines; beyond two hundred they are only counted."""
    order = {file: index for index, file in enumerate(FILES)}
    ordered = sorted(problems, key=lambda problem: (order.get(problem.place.file, len(order)), problem.place.line))
    more = ordered[MOST_TOLD:]
    if len(more) < 2:
        return ordered
    count = f"more than {MOST_FOUND - MOST_TOLD}" if len(problems) > MOST_FOUND else f"{len(more)}"
    return [
        *ordered[:MOST_TOLD],
        Problem("more", f"{count} more problems follow.", "Mend these first.", Place(more[0].place.file)),
    ]
