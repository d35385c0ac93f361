"""Reading a file that a person saved: found, readable, not too large, and text. One problem in plain words where it is not."""

from __future__ import annotations

import stat
from pathlib import Path

from blockwright.problems import BlockwrightError, Place, Problem, printable

MOST_BYTES = 5_000_000
"""Some fifty thousand readings; a large job has some hundreds."""
UTF16 = (b"\xff\xfe", b"\xfe\xff")
BYTE_ORDER_MARK = b"\xef\xbb\xbf"


def read_text(path: Path, most_bytes: int = MOST_BYTES) -> str:
    """The file's text, without byte-order mark, line ends as they are. Raises BlockwrightError with one problem."""
    return text_of(read_bytes(path, most_bytes), path.name)


def read_bytes(path: Path, most_bytes: int = MOST_BYTES) -> bytes:
    """What the file holds, at most `most_bytes`. Raises BlockwrightError with one problem."""
    try:
        found = path.stat()
        if not stat.S_ISREG(found.st_mode):
            folder = "a folder" if stat.S_ISDIR(found.st_mode) else "no ordinary file"
            raise _trouble(
                "file-kind", f"this is {folder}; a file is wanted.", "Move it away, or give another name.", path
            )
        check_size(path.name, found.st_size, most_bytes)
        return path.read_bytes()
    except FileNotFoundError:
        raise missing(path) from None
    except PermissionError:
        raise _trouble(
            "file-permission", "this user may not read the file.", "Give yourself the right to read it.", path
        ) from None
    except OSError as fault:
        what = f"the file cannot be read: {fault.strerror or 'the disk does not say why'}."
        raise _trouble("file-unreadable", what, "Is the disk there and sound?", path) from None


def check_size(file: str, size: int, most_bytes: int) -> None:
    """Raises BlockwrightError where a file of so many bytes is too large."""
    if size > most_bytes:
        what = f"the file has {size / 1e6:.1f} MB; at most {most_bytes / 1e6:.0f} MB are read."
        raise _trouble("file-large", what, "Is it the right file?", Path(file))


def missing(path: Path) -> BlockwrightError:
    """That there is no such file, to be raised."""
    folder = "this folder" if path.parent == Path() else printable(str(path.parent))
    what = f"there is no file {printable(path.name)} in {folder}."
    return _trouble("file-missing", what, "Is it the right folder? 'blockwright new' makes one.", path)


def text_of(data: bytes, file: str) -> str:
    """The text in the bytes of a file. Raises BlockwrightError with one problem."""
    if data.startswith(UTF16):
        raise _trouble("file-encoding", "the file is saved as UTF-16.", AS_UTF8, Path(file))
    if b"\x00" in data:
        raise _trouble("file-binary", "this is no text file.", "Is it the right file?", Path(file))
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = data.count(b"\n", 0, fault.start) + 1
        raise _trouble("file-encoding", "a letter or sign here is not in UTF-8.", AS_UTF8, Path(file), line) from None


AS_UTF8 = "Save the file as UTF-8; in a spreadsheet choose CSV UTF-8."


def _trouble(code: str, what: str, mend: str, path: Path, line: int = 0) -> BlockwrightError:
    return BlockwrightError(Problem(code, what, mend, Place(path.name, line)))
