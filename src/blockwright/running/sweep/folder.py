"""A study's folder: its plan, its parts, each written whole or not at all, and when all are there the table of its rows.

| file | what |
| --- | --- |
| plan.json | the plan, as it was when the study was begun |
| parts/part-00012.json | the rows of one part |
| rows.parquet, or rows.csv without the extra | every case with its row, when the study is done |

A file is written beside its place, put safely on disk and moved there, so that a study that is killed holds no half of anything; what is damaged
all the same is worked out anew.
"""

from __future__ import annotations

import json
import os
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import asdict, fields
from pathlib import Path
from typing import Any

from blockwright.problems import BlockwrightError, Place, Problem
from blockwright.running.sweep.cases import Case
from blockwright.running.sweep.columns import csv_text, parquet_at_hand, parquet_bytes
from blockwright.running.sweep.plan import Part, Plan
from blockwright.running.sweep.rows import Row

PLAN, PARTS, HALF = "plan.json", "parts", ".half"
TABLES = ("rows.parquet", "rows.csv")


class Folder:
    """The folder of one study."""

    def __init__(self, at: Path, plan: Plan) -> None:
        self.at, self.plan, self.mark = at, plan, plan.mark

    def begin(self, *, force: bool = False) -> None:
        """Make the folder, or go on with what is there.

        Raises
        ------
        BlockwrightError
            For a folder that holds something else, or another study, unless that study may be thrown away (`force`).
        """
        held = self._held()
        if held is not None and (differs := self.plan.differs(held)):
            if not force:
                what = f"{self.at} holds a study that differs in {', '.join(differs)}."
                mend = "Name another folder, or say --force to throw its rows away and begin anew."
                raise BlockwrightError(Problem("sweep-other", what, mend, Place(field="into")))
            self._clear()
            held = None
        (self.at / PARTS).mkdir(parents=True, exist_ok=True)
        for left in (*self.at.glob(f"*{HALF}"), *(self.at / PARTS).glob(f"*{HALF}")):
            left.unlink(missing_ok=True)
        if held is None:
            self._write(self.at / PLAN, json.dumps(self.plan.as_plain(), indent=1).encode())

    def rows(self, part: Part) -> tuple[Row, ...] | None:
        """The rows of a part that is done; None for one that is not, or not whole."""
        try:
            held = json.loads(self._path(part).read_text(encoding="utf-8"))
            rows = tuple(_row(each) for each in held["rows"])
        except (OSError, ValueError, KeyError, TypeError):
            return None
        sound = held.get("mark") == self.mark and held.get("first") == part.first and len(rows) == part.end - part.first
        return rows if sound else None

    def keep(self, part: Part, rows: Sequence[Row]) -> None:
        """Write a part."""
        held = {"mark": self.mark, "first": part.first, "rows": [asdict(row) for row in rows]}
        self._write(self._path(part), json.dumps(held).encode())

    def finish(self, pairs: Sequence[tuple[Case, Row]]) -> Path:
        """Write the table of all rows: Parquet where the extra is installed, else CSV."""
        name = TABLES[0] if parquet_at_hand() else TABLES[1]
        to = self.at / name
        self._write(to, parquet_bytes(pairs, self.plan.as_plain()) if name == TABLES[0] else csv_text(pairs).encode())
        return to

    def _path(self, part: Part) -> Path:
        return self.at / PARTS / f"part-{part.number:05d}.json"

    def _held(self) -> dict[str, Any] | None:
        """The plan that lies in the folder; None for a folder that is empty or not there."""
        path = self.at / PLAN
        try:
            held = json.loads(path.read_text(encoding="utf-8"))
            if isinstance(held, dict) and str(held.get("format", "")).startswith("blockwright sweep"):
                return held
        except FileNotFoundError:
            if not self.at.is_dir() or not any(
                each for each in self.at.iterdir() if each.name != PARTS and each.suffix != HALF
            ):
                return None
        except (OSError, ValueError):
            pass
        what = f"{self.at} holds something that is no study."
        raise BlockwrightError(
            Problem("sweep-folder", what, "Name a folder that is empty or not there yet.", Place(field="into"))
        )

    def _clear(self) -> None:
        for each in (*(self.at / PARTS).glob("part-*.json"), *(self.at / name for name in (*TABLES, PLAN))):
            each.unlink(missing_ok=True)

    def _write(self, to: Path, content: bytes) -> None:
        try:
            beside = to.with_name(f"{to.name}.{os.getpid()}{HALF}")
            try:
                with beside.open("wb") as file:
                    file.write(content)
                    file.flush()
                    os.fsync(file.fileno())
                beside.replace(to)
            finally:
                with suppress(OSError):
                    beside.unlink(missing_ok=True)
        except OSError as fault:
            what = f"{to} cannot be written: {fault.strerror or 'the disk does not say why'}."
            raise BlockwrightError(
                Problem("sweep-write", what, "Make room, or name another folder.", Place(field="into"))
            ) from None


def _row(held: dict[str, Any]) -> Row:
    """A row as it was kept; one that lacks a number or has one too many is none."""
    names = {each.name for each in fields(Row)}
    if set(held) != names:
        raise ValueError("a row of another form")
    return Row(**held)
