"""The time zone of the machine, by name, so that times are told as the clock on the wall tells them."""

from __future__ import annotations

import os
import zoneinfo
from collections.abc import Iterator
from pathlib import Path

LINK, NOTE = Path("/etc/localtime"), Path("/etc/timezone")
FOLDER = "zoneinfo/"


def local_zone() -> str:
    """The name of the zone (`Europe/Berlin`) as the environment or the system has it; UTC where neither says."""
    return next((name for name in _named() if _known(name)), "UTC")


def _named() -> Iterator[str]:
    yield os.environ.get("TZ", "").removeprefix(":")
    try:
        yield LINK.resolve().as_posix().partition(FOLDER)[2]
        yield NOTE.read_text(encoding="ascii").strip()
    except (OSError, ValueError):
        return


def _known(name: str) -> bool:
    try:
        return bool(name) and bool(zoneinfo.ZoneInfo(name))
    except (KeyError, OSError, ValueError):
        return False
