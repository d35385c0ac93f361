"""Photos of a job: kept under `attachments`, each by a digest of what is in it, so that one that was altered or lost is noticed.

A photo is called by the first sixteen signs of the SHA-256 digest of its bytes, and by what it is: `0123456789abcdef.jpg`. Beside that the
signature keeps the name that it came with: `0123456789abcdef.jpg from clips.jpg`. A file that is there is never written over.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import tempfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from blockwright.engine.steps import Signing
from blockwright.problems import BlockwrightError, Place, Problem, excerpt

FOLDER = "attachments"
DIGITS = 16
MOST_BYTES = 25_000_000
BEGINNINGS: Mapping[str, bytes] = {"png": b"\x89PNG\r\n\x1a\n", "jpg": b"\xff\xd8\xff"}
"""How the bytes of a picture begin: PNG (ISO/IEC 15948) and JPEG (ISO/IEC 10918-1: start of image, then a marker)."""
KEPT = re.compile(rf"([0-9a-f]{{{DIGITS}}})\.(png|jpg)")
FROM = " from "
ALTERED = "is not the one that was signed: it was altered"


@dataclass(frozen=True)
class Photo:
    """A photo on its way into a job: its bytes, the name it is kept by, and the name it came with."""

    data: bytes
    name: str
    original: str

    @property
    def words(self) -> str:
        """As a signature calls it."""
        return f"{self.name}{FROM}{self.original}"


def photo_from(job: Path, named: str) -> Photo:
    """The photo that was named: as it stands, in the job's folder, or among its attachments. Raises BlockwrightError where it is none."""
    found = next((path for home in (Path(), job, job / FOLDER) if (path := home / named).is_file()), None)
    if found is None:
        raise _fault(named, "there is no such file.", "Give the path of the photo, from where you are.")
    try:
        with found.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as fault:
        raise _fault(named, f"it cannot be read: {fault.strerror or 'the disk does not say why'}.", "") from None
    kind = next((kind for kind, beginning in BEGINNINGS.items() if data.startswith(beginning)), None)
    if kind is None:
        what = "it is empty." if not data else "it is no PNG or JPEG picture, whatever its name says."
        raise _fault(named, what, "Take the photo as PNG or JPEG.")
    if len(data) > MOST_BYTES:
        raise _fault(
            named, f"it is larger than {MOST_BYTES // 1_000_000} MB.", "Make it smaller: a clip can be seen at 2 MB."
        )
    return Photo(data, f"{_digest(data)}.{kind}", " ".join(found.name.split()))


def keep(job: Path, photos: Iterable[Photo]) -> None:
    """Put photos among the attachments of a job. Raises BlockwrightError where the disk refuses, or another file has the name."""
    for photo in photos:
        target = job / FOLDER / photo.name
        try:
            target.parent.mkdir(exist_ok=True)
            if not os.path.lexists(target):
                _write(target, photo.data)
            elif target.read_bytes() != photo.data:
                raise _fault(
                    f"{FOLDER}/{photo.name}", "it was altered since it was kept.", "Put the photo back as it was."
                )
        except OSError as fault:
            what = f"it cannot be kept: {fault.strerror or 'the disk does not say why'}."
            raise _fault(
                photo.original, what, "Nothing was signed. Make room, or give yourself the right to write there."
            ) from None


def lost_photos(job: Path, signings: Iterable[Signing]) -> Mapping[str, str]:
    """Photos of the signatures that are missing or altered, as the signatures call them, each with what became of it."""
    return {photo: words for photo in _named(signings) if (words := _lost(job, photo))}


def lost_among(digests: Mapping[str, str], signings: Iterable[Signing]) -> Mapping[str, str]:
    """As `lost_photos`, of a job that lies in no folder: `digests` are the SHA-256 digests of its attachments by their names."""
    return {photo: words for photo in _named(signings) if (words := _lost_from(digests, photo))}


def _named(signings: Iterable[Signing]) -> dict[str, None]:
    return dict.fromkeys(photo for signing in signings for photo in signing.given.photos if photo.strip())


def _lost_from(digests: Mapping[str, str], photo: str) -> str:
    name, called = _called(photo)
    digest, kept = digests.get(name), KEPT.fullmatch(name)
    if digest is None:
        return f"{called} is missing from {FOLDER}"
    return f"{called} {ALTERED}" if kept is not None and not digest.startswith(kept[1]) else ""


def _called(photo: str) -> tuple[str, str]:
    """The name of a photo, and how it is told of."""
    name, _, original = photo.partition(FROM)
    return name, f"photo {excerpt(name)}" + (f" ({excerpt(original)})" if original else "")


def _lost(job: Path, photo: str) -> str:
    name, called = _called(photo)
    kept = KEPT.fullmatch(name)
    homes = (job / FOLDER,) if kept else (job / FOLDER, job)
    found = next((path for home in homes if (path := home / name).is_file()), None)
    if found is None:
        return f"{called} is missing from {FOLDER}"
    if kept is None:
        return ""
    try:
        with found.open("rb") as file:
            same = _digest(file.read(MOST_BYTES + 1)) == kept[1]
    except OSError:
        return f"{called} cannot be read"
    return "" if same else f"{called} {ALTERED}"


def _write(target: Path, data: bytes) -> None:
    """The whole file under its name, or nothing."""
    handle, part = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(part).chmod(0o644)
        Path(part).replace(target)
    finally:
        with contextlib.suppress(OSError):
            Path(part).unlink()


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()[:DIGITS]


def _fault(named: str, what: str, mend: str) -> BlockwrightError:
    return BlockwrightError(Problem("sign-photo", f"photo '{excerpt(named)}': {what}", mend, Place(FOLDER)))
