"""Rows put into the readings of an open job: what each then takes from its sitting, and what the others of that sitting take from it.

The job that comes out is the one that its files would be read as. A reading that was taken keeps the state and the temperatures that it
had: where a blank cell would now take another, what it had is written into the cell.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from blockwright.engine.features import FEATURES
from blockwright.engine.job import Job
from blockwright.jobfile.checks_readings import gauge_faults, reading_problems
from blockwright.jobfile.inherit import INHERITED, NOT_KNOWN, Stated, filled, meaning
from blockwright.jobfile.known import Known
from blockwright.jobfile.readings_csv import COLUMNS, FILE, MEANT, Read, plain_cells, read_row, row_of
from blockwright.jobfile.table import MOST_ROWS, Row
from blockwright.jobfile.toml_lines import Lines
from blockwright.jobfile.where import Where
from blockwright.metrology.readings import Reading
from blockwright.problems import BlockwrightError, Place, Problem

Cells = Mapping[str, str]
BLANK = dict.fromkeys(COLUMNS, "")


def with_rows(job: Job, rows: Mapping[str, Cells]) -> Job:
    """The job with these rows of its readings, by id, in place of those that were there or at the end. Nothing is checked."""
    return _Put(job, rows).job()


def check_rows(job: Job, rows: Mapping[str, Cells], gauge_too: bool = False) -> Sequence[Read]:
    """These rows as the reader of `readings.csv` takes them. Raises BlockwrightError with all its problems.

    With `gauge_too` a row without a value must name a gauge and a setting that are there, too.
    """
    put = _Put(job, rows)
    put.job()
    known = known_of(job)
    problems = [*put.problems, *reading_problems(known, put.reads)]
    if gauge_too:
        problems += _gauges(known, put.reads)
    if len(put.readings) > MOST_ROWS - 2:
        problems.append(
            Problem(
                "table-large",
                f"the job has {MOST_ROWS - 2} rows of readings; more are not kept.",
                "",
                Place(FILE, 0, "value"),
            )
        )
    if problems:
        raise BlockwrightError(problems)
    return put.reads


def known_of(job: Job) -> Known:
    """What may be relied on of a job without faults."""
    return Known(job, Where("", Lines(""), []), Where("", Lines(""), []))


def free_row_id(job: Job) -> str:
    """A number for the next reading that no other bears."""
    taken = {each.id for each in job.readings}
    return next(name for number in range(len(taken) + 1, 2 * len(taken) + 2) if (name := f"r{number}") not in taken)


def _gauges(known: Known, reads: Sequence[Read]) -> list[Problem]:
    return [
        problem.at(file=FILE, field=column)
        for read in reads
        if not read.reading.text and read.reading.gauge
        for column, problem in gauge_faults(known, read.reading, FEATURES.get(read.reading.feature))
    ]


class _Put:
    """Rows on their way into a job: those that are put, and the others of their sittings."""

    def __init__(self, job: Job, rows: Mapping[str, Cells]) -> None:
        self._job = job
        self.readings: list[Reading | None] = list(job.readings)
        self.problems: list[Problem] = []
        self.reads: list[Read] = []
        index = {reading.id: number for number, reading in enumerate(job.readings)}
        self._put: dict[int, Row] = {}
        sittings = set()
        for mark, cells in rows.items():
            row = Row({**BLANK, **cells}, 0)
            number = index.get(mark, len(self.readings))
            if number == len(self.readings):
                self.readings.append(None)
            before = self.readings[number]
            sittings |= {plain_cells(row.cells)["sitting"], before.sitting if before else ""}
            self._put[number] = row
        self._group = [
            number for number, each in enumerate(self.readings) if number in self._put or (each and each.sitting and each.sitting in sittings)
        ]  # fmt: skip
        self._rows = [self._put.get(number) or _typed(self.readings[number]) for number in self._group]
        self._plain = [plain_cells(row.cells, row.decimal_comma) for row in self._rows]
        self._pinned: set[int] = set()

    def job(self) -> Job:
        """The job with the rows in it."""
        while self._pin():
            pass
        used, ambiguous = filled(self._plain)
        for place, column, problem in ambiguous:
            if self._group[place] in self._put:
                self.problems.append(problem.at(file=FILE, field=column))
        for place, number in enumerate(self._group):
            before = self.readings[number]
            if (
                number in self._put
                or place in self._pinned
                or before is None
                or _takes_other(before, self._rows[place], used[place])
            ):
                self.readings[number] = self._read(place, number, used[place]).reading
        return replace(self._job, readings=tuple(each for each in self.readings if each is not None))

    def _read(self, place: int, number: int, used: Cells) -> Read:
        put = number in self._put
        read = read_row(self._rows[place], used, self._job.gauges, self.problems if put else [])
        if put:
            self.reads.append(read)
        return read

    def _pin(self) -> bool:
        """Write out what a reading had where its blank cell would now take something else; whether there was any."""
        written = False
        for rule in INHERITED:
            stated = Stated(rule, self._plain)
            for place, number in enumerate(self._group):
                reading, cells = self.readings[number], self._plain[place]
                if (
                    number in self._put
                    or reading is None
                    or not reading.taken
                    or cells.get(rule.column)
                    or not rule.wanted_by(cells)
                ):
                    continue
                texts = stated.texts(cells)
                had = _had(reading, rule.column)
                other = {meaning(rule.column, text) for text in texts} != {had} if had is not None else len(texts) > 1
                if other:
                    self._write(place, rule.column, MEANT[rule.column](reading) or NOT_KNOWN)
                    written = True
        return written

    def _write(self, place: int, column: str, text: str) -> None:
        row = self._rows[place]
        self._rows[place] = Row({**row.cells, column: text}, 0, row.decimal_comma)
        self._plain[place][column] = text
        self._pinned.add(place)


def _typed(reading: Reading | None) -> Row:
    assert reading is not None
    return row_of(reading)


HAD = {"state": "state", "part_temp": "part_temp_c", "gauge_temp": "gauge_temp_c", "bore_temp": "bore_temp_c"}


def _had(reading: Reading, column: str) -> Any:
    return getattr(reading, HAD[column])


def _takes_other(reading: Reading, row: Row, used: Cells) -> bool:
    """Whether a row takes something else from its sitting than it did."""
    return any(
        not row.cells.get(column) and meaning(column, used.get(column, "")) != _had(reading, column) for column in HAD
    )
