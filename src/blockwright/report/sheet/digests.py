"""Fingerprints of a job's files: written into a sheet, read back out of it, and held against the files as they are now.

A fingerprint is the SHA-256 of a file's bytes, as any tool computes it; the job's is the SHA-256 over the lines `NAME=FINGERPRINT` of its files,
in order of name, each ended by a line feed. They stand in the PDF's keywords, which an archival PDF keeps in plain text. They tell whether the sheet
belongs to the data; they are no signature, since whoever changes both can make a new sheet.
"""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Mapping
from dataclasses import dataclass
from html import unescape
from pathlib import Path

from blockwright.jobfile.folder import FILES
from blockwright.problems import BlockwrightError, Place, Problem

FORMAT = "blockwright build sheet 1"
WHOLE = "job"
MOST_BYTES = 200_000_000
_KEYWORDS = re.compile(rb"<pdf:Keywords>([^<]*)</pdf:Keywords>")


@dataclass(frozen=True)
class Digests:
    """Fingerprint by name of file, and that of the whole job."""

    files: Mapping[str, str]

    @property
    def whole(self) -> str:
        """The job's fingerprint."""
        lines = "".join(f"{name}={digest}\n" for name, digest in sorted(self.files.items()))
        return hashlib.sha256(lines.encode()).hexdigest()

    @property
    def keywords(self) -> tuple[str, ...]:
        """What is written into the PDF."""
        return FORMAT, f"{WHOLE}={self.whole}", *(f"{name}={digest}" for name, digest in sorted(self.files.items()))


def digests_of(folder: Path) -> Digests:
    """Fingerprints of the files of a job folder that are there. Raises BlockwrightError where one cannot be read."""
    found = {}
    for name in FILES:
        path = folder / name
        if os.path.lexists(path):
            found[name] = hashlib.sha256(_bytes(path)).hexdigest()
    return Digests(found)


def digests_of_texts(texts: Mapping[str, str]) -> Digests:
    """Fingerprints of the files of a job that lies in no folder, as the folder would have them."""
    return Digests({name: hashlib.sha256(texts[name].encode()).hexdigest() for name in FILES if name in texts})


def digests_in(sheet: Path) -> Digests:
    """Fingerprints that the file of a sheet carries. Raises BlockwrightError where it is no build sheet of ours."""
    if not sheet.exists():
        raise BlockwrightError(Problem("sheet-missing", f"there is no file {sheet}.", "Name the PDF of a build sheet."))
    return digests_from(_bytes(sheet), str(sheet))


def digests_from(raw: bytes, named: str = "the file") -> Digests:
    """Fingerprints in the bytes of a sheet. Raises BlockwrightError where they are no build sheet of ours, or do not agree with each other."""
    found = _KEYWORDS.findall(raw) if raw.startswith(b"%PDF-") else []
    words = unescape(found[-1].decode("utf-8", errors="replace")).split(", ") if found else []
    if FORMAT not in words:
        what = f"{named} is no build sheet of blockwright."
        raise BlockwrightError(Problem("sheet-foreign", what, "Make one with 'blockwright sheet JOB --to FILE.pdf'."))
    pairs = dict(word.partition("=")[::2] for word in words if "=" in word)
    carried = Digests({name: digest for name, digest in pairs.items() if name != WHOLE})
    if carried.whole != pairs.get(WHOLE):
        what = f"the fingerprints in {named} do not agree with each other: the PDF was changed after it was made."
        raise BlockwrightError(Problem("sheet-damaged", what, "Make the sheet again."))
    return carried


def changes(carried: Digests, now: Digests) -> tuple[str, ...]:
    """What became of each file since the sheet was made, in words; empty where nothing did."""
    told = []
    for name in sorted(carried.files.keys() | now.files.keys()):
        before, after = carried.files.get(name), now.files.get(name)
        if after is None:
            told.append(f"{name} is gone")
        elif before is None:
            told.append(f"{name} is new")
        elif before != after:
            told.append(f"{name} was changed")
    return tuple(told)


def _bytes(path: Path) -> bytes:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise BlockwrightError(Problem("too-large", f"{path} is too large to be read.", "Name another file."))
        return path.read_bytes()
    except OSError as fault:
        what = f"it cannot be read: {fault.strerror or 'the disk does not say why'}."
        raise BlockwrightError(
            Problem("file-unreadable", what, "Check its name and rights.", Place(str(path)))
        ) from None
