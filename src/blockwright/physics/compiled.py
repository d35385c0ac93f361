"""Loops over time that cannot be written as whole arrays, compiled when first used; what was compiled is kept for the next start.

The compiler's library is loaded only by modules that step through time. Compiled loops lie in the user's cache folder; where nothing can be
written there, each start compiles anew.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
from collections.abc import Callable
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Any, TypeVar, cast

from platformdirs import user_cache_path

Loop = TypeVar("Loop", bound=Callable[..., Any])


def cache_folder() -> Path | None:
    """The user's cache folder of this program; None where it cannot be written."""
    folder = user_cache_path("blockwright", appauthor=False)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            return folder
    except OSError:
        return None


def compiled(loop: Loop) -> Loop:
    """The loop compiled, its arithmetic as written (no reordering)."""
    folder = cache_folder()
    if folder is not None:
        os.environ.setdefault("NUMBA_CACHE_DIR", str(_kept_in(folder)))
    import numba  # half a second, which only these modules should pay

    return cast(Loop, numba.njit(cache=folder is not None, error_model="numpy")(loop))


@cache
def _kept_in(folder: Path) -> Path:
    """Where loops compiled from these very sources lie: one may call a function of another file, whose change its own file does not show."""
    sources = sorted(Path(__file__).parent.glob("*.py"))
    digest = hashlib.sha256(b"\n".join(source.read_bytes() for source in sources)).hexdigest()[:16]
    for older in folder.glob("compiled*"):
        if older.name != f"compiled-{digest}":
            with suppress(OSError):
                shutil.rmtree(older)
    return folder / f"compiled-{digest}"
