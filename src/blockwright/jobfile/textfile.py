"""Reading a file that a person saved: found, readable, not too large, and text. One problem in plain words where it is not."""

from __future__ import annotations

from pathlib import Path

from blockwright.problems import BlockwrightError, Place, Problem

MOST_BYTES = 20_000_000
UTF16 = (b"\xff\xfe", b"\xfe\xff")


def read_text(path: Path, most_bytes: int = MOST_BYTES) -> str:
    """The file's text, without byte-order mark, line ends as they are. Raises BlockwrightError with one problem."""
    place = Place(path.name)
    try:
        size = path.stat().st_size
        if size > most_bytes:
            raise _trouble("file-large", f"the file has {size / 1e6:.0f} MB; at most {most_bytes / 1e6:.0f} MB are read.",
                           "Is it the right file?", place)  # fmt: skip
        data = path.read_bytes()
    except FileNotFoundError:
        raise _trouble("file-missing", f"there is no file {path.name} in {path.parent}.",
                       "Give the folder of a job, or make one with 'blockwright new'.", place) from None  # fmt: skip
    except (IsADirectoryError, NotADirectoryError):
        raise _trouble(
            "file-kind", "a file was wanted here, not a folder.", "Give the folder of a job.", place
        ) from None
    except PermissionError:
        raise _trouble(
            "file-permission", "the file may not be read.", "Ask for permission to read it.", place
        ) from None
    except OSError as fault:
        raise _trouble("file-unreadable", f"the file cannot be read ({fault.strerror}).", "Try again.", place) from None
    return _decode(data, place)


def _decode(data: bytes, place: Place) -> str:
    if data.startswith(UTF16):
        raise _trouble("file-encoding", "the file is saved as UTF-16.", "Save it as UTF-8.", place)
    if b"\x00" in data:
        raise _trouble("file-binary", "this is no text file.", "Is it the right file?", place)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = data.count(b"\n", 0, fault.start) + 1
        raise _trouble(
            "file-encoding", "a character here is not UTF-8.", "Save the file as UTF-8 (in the spreadsheet: CSV UTF-8).",
            Place(place.file, line),
        ) from None  # fmt: skip


def _trouble(code: str, what: str, mend: str, place: Place) -> BlockwrightError:
    return BlockwrightError(Problem(code, what, mend, place))
