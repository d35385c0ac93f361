"""Files that a command writes: complete or not there at all."""

from __future__ import annotations

import contextlib
from pathlib import Path

from blockwright.problems import BlockwrightError, Problem


def write_whole(to: Path, content: bytes) -> None:
    """Write a file beside its place and move it there when it is complete. Raises BlockwrightError where the disk refuses.

    Whatever interrupts it leaves neither a half of the file nor anything beside it.
    """
    fresh = to.with_name(f".{to.name}.part")
    try:
        fresh.write_bytes(content)
        fresh.replace(to)
    except OSError as fault:
        what = f"{to} cannot be written: {fault.strerror or 'the disk does not say why'}."
        raise BlockwrightError(Problem("file-write", what, "Choose another place.")) from None
    finally:
        with contextlib.suppress(OSError):
            fresh.unlink()
