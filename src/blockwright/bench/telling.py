"""Logs as JSON lines, for a machine to read and without personal data: no names, no addresses, no words that anybody typed.

A request is told by the name of its address, never by its path, which holds what opens a book. A fault is told by its type and where in the program
it lies, never by its message.
"""

from __future__ import annotations

import datetime as dt
import json
import logging
import traceback
from types import TracebackType
from typing import Any

LOGGER = "blockwright.bench"
FIELDS = ("route", "method", "status", "ms")
"""What a line may say besides time, level and what."""
DEEPEST = 6


class Lines(logging.Formatter):
    """Each record as one line of JSON."""

    def format(self, record: logging.LogRecord) -> str:
        """Only what is known to be harmless."""
        at = dt.datetime.fromtimestamp(record.created, dt.UTC).isoformat(timespec="milliseconds")
        ours = record.name.startswith("blockwright")
        said: dict[str, Any] = {"at": at, "level": record.levelname.lower(), "log": record.name}
        said["what"] = record.getMessage() if ours else str(record.msg)
        said |= {name: getattr(record, name) for name in FIELDS if hasattr(record, name)}
        if record.exc_info and record.exc_info[0] is not None:
            said |= {"fault": record.exc_info[0].__name__, "where": where(record.exc_info[2])}
        return json.dumps(said, ensure_ascii=False)


def where(trace: TracebackType | None) -> list[str]:
    """The last places of a trace: file, line and function, without what stood in them."""
    frames = traceback.extract_tb(trace)[-DEEPEST:]
    return [
        f"{frame.filename.rpartition('site-packages/')[2].rpartition('src/')[2]}:{frame.lineno} {frame.name}"
        for frame in frames
    ]


def configured(level: str = "INFO") -> dict[str, Any]:
    """Django's setting LOGGING: our lines to standard error, Django's own line for each request left out."""
    handler = {"class": "logging.StreamHandler", "formatter": "lines"}
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {"lines": {"()": "blockwright.bench.telling.Lines"}},
        "handlers": {"lines": handler, "nowhere": {"class": "logging.NullHandler"}},
        "loggers": {
            "blockwright": {"handlers": ["lines"], "level": level, "propagate": False},
            "django": {"handlers": ["lines"], "level": "WARNING", "propagate": False},
            "django.request": {"handlers": ["nowhere"], "propagate": False},
            "django.security": {"handlers": ["nowhere"], "propagate": False},
        },
    }
