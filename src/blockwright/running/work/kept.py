"""Results kept in the user's cache folder, each under a digest of everything that it rests on: whatever changes, the old one no longer answers.

Kept as JSON of the records, readable by anyone; a file that is damaged or of another version is as good as none.
"""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
import types
import typing
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import asdict, fields, is_dataclass
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any, cast

from blockwright.engine.job import Job
from blockwright.physics.compiled import cache_folder
from blockwright.running.work.result import Work

VERSION = 1
"""Of the models behind a result; raised with any change that moves its numbers."""
TABLES = (
    "at_work.toml",
    "heat_paths.toml",
    "alloys.toml",
    "oils.toml",
    "gases.toml",
    "temperatures.toml",
    "iso286.toml",
)
MOST_KEPT = 200


def digest_of(job: Job) -> str:
    """Digest of a job, of the tables of materials, and of the version of the models.

    Where a value stood in its file is no part of it. Sets are put in order first: Python lists them differently in every run.
    """
    parts = [f"version {VERSION}", _written(job), *_tables()]
    return hashlib.sha256("\n".join(parts).encode("utf-8", "surrogatepass")).hexdigest()


def kept(job: Job) -> Work | None:
    """The result kept for exactly this job, if there is one; how many draws it has is in it."""
    folder = _folder()
    if folder is None:
        return None
    digest = digest_of(job)
    try:
        text = (folder / f"{digest}.json").read_text(encoding="utf-8")
        found = cast(Work, _made(Work, json.loads(text)))
    except (OSError, ValueError, KeyError, TypeError):
        return None
    return found if found.digest == digest else None


def keep(work: Work) -> None:
    """Keep a result; where nothing can be written it is not kept. One on a builder's own pressure is never kept: it has no digest."""
    folder = _folder()
    if folder is None or not work.digest:
        return
    with suppress(OSError):
        handle, beside = tempfile.mkstemp(dir=folder, suffix=".part")
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            json.dump(asdict(work), file)
        Path(beside).replace(folder / f"{work.digest}.json")
        _forget_oldest(folder)


def as_plain(work: Work) -> dict[str, Any]:
    """A result as plain data, for JSON."""
    return asdict(work)


def _folder() -> Path | None:
    under = cache_folder()
    if under is None:
        return None
    folder = under / "work"
    try:
        folder.mkdir(exist_ok=True)
    except OSError:
        return None
    return folder


def _forget_oldest(folder: Path) -> None:
    listed = sorted(folder.glob("*.json"), key=lambda each: each.stat().st_mtime)
    for old in listed[:-MOST_KEPT]:
        old.unlink(missing_ok=True)


def _written(value: Any) -> str:
    """A record as text that is the same whenever the record is."""
    if is_dataclass(value) and not isinstance(value, type):
        inside = [f"{each.name}={_written(getattr(value, each.name))}" for each in fields(value) if each.compare]
    elif isinstance(value, Mapping):
        inside = [f"{_written(key)}:{_written(held)}" for key, held in value.items()]
    elif isinstance(value, tuple | list):
        inside = [_written(each) for each in value]
    elif isinstance(value, frozenset | set):
        inside = sorted(_written(each) for each in value)
    else:
        return repr(value)
    return f"{type(value).__name__}({','.join(inside)})"


@cache
def _tables() -> tuple[str, ...]:
    return tuple(resources.files("blockwright.materials").joinpath(name).read_text(encoding="utf-8") for name in TABLES)


def _made(kind: Any, value: Any) -> Any:
    """A record, tuple or plain value of a declared type out of what JSON gave. Raises TypeError or KeyError where they do not fit."""
    origin, inside = typing.get_origin(kind), typing.get_args(kind)
    if is_dataclass(kind) and isinstance(kind, type):
        hints = _hints(kind)
        return kind(**{field.name: _made(hints[field.name], value[field.name]) for field in fields(kind)})
    if origin is tuple:
        if not isinstance(value, list):
            raise TypeError("a list was kept as something else")
        kinds = [inside[0]] * len(value) if len(inside) == 2 and inside[1] is Ellipsis else list(inside)
        return tuple(_made(each, item) for each, item in zip(kinds, value, strict=True))
    if origin in (types.UnionType, typing.Union):
        return None if value is None else _made(next(each for each in inside if each is not type(None)), value)
    if kind is float and isinstance(value, int | float):
        return float(value)
    if not isinstance(value, kind):
        raise TypeError("a value was kept as something else")
    return value


@cache
def _hints(kind: type) -> dict[str, Any]:
    return typing.get_type_hints(kind)
