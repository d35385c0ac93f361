"""Writing a job folder: whole files at once, replaced only when complete, and nothing lost that was there.

A file whose content has not changed keeps its bytes. Where `job.toml` or `gauges.toml` did change, only the changed keys are touched: comments,
order and the words typed stay.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from dataclasses import fields
from enum import Enum
from pathlib import Path
from typing import Any

from blockwright.engine.job import Job
from blockwright.jobfile import readings_csv, record_csv
from blockwright.jobfile.folder import GAUGE_FILE, JOB_FILE, JobFolder
from blockwright.jobfile.records import KINDS_BY_NAME
from blockwright.jobfile.table import Form, write_table
from blockwright.problems import BlockwrightError, Problem
from blockwright.quantities import Kind
from blockwright.quantities.declared import Entry, Written, entries_of

BASE_UNIT = {
    Kind.LENGTH: ("mm", 1e-3), Kind.ROUGHNESS: ("um", 1e-6), Kind.TORQUE: ("Nm", 1.0), Kind.MASS: ("kg", 1.0),
    Kind.TEMPERATURE: ("°C", 1.0), Kind.TEMPERATURE_STEP: ("K", 1.0), Kind.SPEED: ("rad/s", 1.0),
    Kind.ANGLE: ("rad", 1.0), Kind.POWER: ("W", 1.0), Kind.PRESSURE_STEP: ("Pa", 1.0), Kind.RATIO: ("", 1.0),
    Kind.EXPANSION: ("1/K", 1.0),
}  # fmt: skip


def folder_texts(job: Job, like: JobFolder | None = None) -> dict[str, str]:
    """The text of every file of a job, in the layout of the folder that it came from if there is one."""
    before = like.texts if like else {}
    forms = like.forms if like else {}
    texts = {
        JOB_FILE: _toml(job.sheet, before.get(JOB_FILE, "")),
        GAUGE_FILE: _toml(job.gauge_sheet, before.get(GAUGE_FILE, "")),
    }
    if like and like.job.readings == job.readings:
        texts[readings_csv.FILE] = before[readings_csv.FILE]
    else:
        rows = [readings_csv.cells_of(reading) for reading in job.readings]
        texts[readings_csv.FILE] = write_table(rows, _wide(forms.get(readings_csv.FILE), readings_csv.PLAIN_FORM, rows))
    if job.records:
        texts[record_csv.FILE] = _records_text(job, like)
    return texts


def write_folder(path: Path, texts: Mapping[str, str]) -> None:
    """Write the files of a job, each one whole or not at all. Raises BlockwrightError where the disk refuses."""
    try:
        path.mkdir(parents=True, exist_ok=True)
        for name, text in texts.items():
            _replace(path / name, text)
    except OSError as fault:
        what = f"{fault.filename or path} cannot be written ({fault.strerror})."
        raise BlockwrightError(
            Problem(
                "file-write", what, "Nothing of the old file was lost. Make room or ask for permission, then try again."
            )
        ) from None


def _replace(path: Path, text: str) -> None:
    data = text.encode()
    if path.exists() and path.read_bytes().removeprefix(b"\xef\xbb\xbf") == data:
        return
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(0o644)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _records_text(job: Job, like: JobFolder | None) -> str:
    if like and record_csv.FILE in like.texts and like.job.records == job.records:
        return like.texts[record_csv.FILE]
    form = like.forms.get(record_csv.FILE) if like else None
    rows = [record_csv.cells_of(record) for record in job.records]
    return write_table(rows, _wide(form, record_csv.FORM, rows))


def _wide(form: Form | None, plain: Form, rows: list[Mapping[str, str]]) -> Form:
    """The old layout, with any column added that now holds something."""
    if form is None:
        return plain
    extra = tuple(name for name in plain.columns if name not in form.columns and any(row.get(name) for row in rows))
    return Form(form.separator, form.newline, (*form.columns, *extra))


def _toml(record: Written, before: str) -> str:
    import tomlkit

    wanted = plain(record)
    if not before:
        return tomlkit.dumps(wanted)
    document = tomlkit.parse(before.replace("\r\n", "\n"))
    if document.unwrap() == wanted:
        return before
    _update(document, wanted)
    return tomlkit.dumps(document)


def _update(table: Any, wanted: Mapping[str, Any]) -> None:
    for key in [key for key in table if key not in wanted]:
        del table[key]
    for key, value in wanted.items():
        old = table.get(key)
        if isinstance(value, Mapping) and isinstance(old, Mapping):
            _update(old, value)
        elif (
            isinstance(value, list)
            and isinstance(old, list)
            and len(value) == len(old)
            and all(isinstance(v, Mapping) for v in value)
        ):
            for inner, new in zip(old, value, strict=True):
                _update(inner, new)
        elif old is None or old != value:
            table[key] = value


def plain(record: Written, around: tuple[Written, ...] = ()) -> dict[str, Any]:
    """A record as a TOML table: the words that were typed where they still hold, else the value; defaults left out."""
    defaults = {item.name: item.default for item in fields(record)}
    table: dict[str, Any] = {}
    for key, (name, declared, required) in entries_of(type(record)).items():
        value = getattr(record, name)
        typed = record.entered.get(key)
        if value is None or (typed is None and not required and (value == defaults[name] or value in ((), {}))):
            continue
        if typed is not None and typed.value == value and not _holds_records(value):
            table[key] = typed.raw
        else:
            table[key] = _plain_value(value, declared, (record, *around))
    return table


def _holds_records(value: Any) -> bool:
    return isinstance(value, Written) or (isinstance(value, tuple) and any(isinstance(item, Written) for item in value))


def _plain_value(value: Any, declared: Entry, around: tuple[Written, ...]) -> Any:
    if isinstance(value, Written):
        return plain(value, around)
    if isinstance(value, tuple):
        return [_plain_value(item, declared, around) for item in value]
    if isinstance(value, Mapping):
        return {key: _quantity_text(item, declared, around) for key, item in value.items()}
    if isinstance(value, float) and (declared.kind or declared.kind_from):
        return _quantity_text(value, declared, around)
    return value.value if isinstance(value, Enum) else value


def _quantity_text(value: float, declared: Entry, around: tuple[Written, ...]) -> str:
    kind = declared.kind or _kind(declared.kind_from, around)
    unit, scale = BASE_UNIT[kind]
    number = repr(float(f"{value / scale:.12g}"))
    return f"{number} {unit}".strip()


def _kind(name: str, around: tuple[Written, ...]) -> Kind:
    said = next(getattr(record, name) for record in around if hasattr(record, name))
    return KINDS_BY_NAME[name](str(said))
