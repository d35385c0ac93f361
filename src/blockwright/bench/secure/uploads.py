"""Photos that are sent in: known by what they hold, cleaned of what they tell besides the picture, handed out so that they can do nothing.

A photo from a telephone says where and when it was taken and by which device, and some carry a film or a second
picture behind the first. A photo on a build sheet goes to a customer. So a photo is taken apart by its format's own
rules (JPEG: ISO/IEC 10918-1, annex B; PNG: ISO/IEC 15948) and put together again from the pieces that make the
picture: pixels, colours, size, and which way is up. The pixels are not touched. No picture library is loaded at the
bench: decoding what a stranger sent is where their faults lie, and keeping the bytes needs none.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass

from django.http import HttpResponse

from blockwright.jobfile.attachments import BEGINNINGS
from blockwright.problems import BlockwrightError, Place, Problem

MOST_BYTES = 16_000_000
MOST_PIXELS = 120_000_000
MEDIA = {"png": "image/png", "jpg": "image/jpeg"}
PLACE = Place(field="photo")

PNG_KEPT = frozenset(
    {b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"sBIT", b"pHYs"}
)
SOI, EOI, SOS, APP0, APP1, APP2, APP14, COM = 0xD8, 0xD9, 0xDA, 0xE0, 0xE1, 0xE2, 0xEE, 0xFE
FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
RESTARTS = range(0xD0, 0xD8)
APPS = range(0xE0, 0xF0)
ORIENTATION = 0x0112
SHUT_IN = "default-src 'none'; img-src 'self'; style-src 'none'; frame-ancestors 'none'; sandbox"


@dataclass(frozen=True)
class Clean:
    """A photo that tells its picture and no more: `png` or `jpg`, and its bytes."""

    kind: str
    content: bytes


def cleaned(content: bytes) -> Clean:
    """The photo without what it tells besides the picture. Raises BlockwrightError (`photo`) for what is none, is broken or too large."""
    if len(content) > MOST_BYTES:
        raise _refused(f"the photo is larger than {MOST_BYTES // 1_000_000} MB.", "Take it with fewer pixels.")
    kind = next((name for name, beginning in BEGINNINGS.items() if content.startswith(beginning)), "")
    if not kind:
        raise _refused("this is no PNG or JPEG picture, whatever its name says.", "Take the photo as JPEG.")
    try:
        made = b"".join(_png(content) if kind == "png" else _jpeg(content))
    except (struct.error, IndexError, ValueError):
        raise _refused("the photo is broken, or cut off.", "Take or send it again.") from None
    return Clean(kind, made)


def photo_answer(kind: str, content: bytes, name: str) -> HttpResponse:
    """A photo as it is handed out: its kind is said and not guessed, and as a page of its own it can run, load and frame nothing. `name` is ours."""
    headers = {
        "Content-Disposition": f'inline; filename="{name}"',
        "Content-Security-Policy": SHUT_IN,
        "X-Content-Type-Options": "nosniff",
        "Cross-Origin-Resource-Policy": "same-origin",
        "Cache-Control": "private, max-age=31536000, immutable",
    }
    return HttpResponse(content, content_type=MEDIA[kind], headers=headers)


def _png(content: bytes) -> Iterator[bytes]:
    """The chunks that make the picture, each as it was; what lies behind the end is left out."""
    yield content[:8]
    at, first, pixels = 8, True, False
    while True:
        (length,) = struct.unpack_from(">I", content, at)
        chunk = content[at : at + length + 12]
        kind, data = chunk[4:8], chunk[8:-4]
        if (
            len(chunk) != length + 12
            or zlib.crc32(chunk[4:-4]) != struct.unpack(">I", chunk[-4:])[0]
            or first != (kind == b"IHDR")
        ):
            raise ValueError
        if first:
            _check_size(*struct.unpack_from(">II", data))
        pixels |= kind == b"IDAT"
        if kind in PNG_KEPT:
            yield chunk
        if kind == b"IEND":
            break
        at, first = at + len(chunk), False
    if not pixels:
        raise ValueError


def _jpeg(content: bytes) -> Iterator[bytes]:
    """The segments that make the picture; which way is up is written anew, in a segment that holds nothing else."""
    segments = list(_segments(content))
    if not any(marker in FRAMES for marker, _ in segments) or not any(marker == SOS for marker, _ in segments):
        raise ValueError
    yield bytes((0xFF, SOI))
    yield from (_jfif(data) for marker, data in segments if marker == APP0 and data.startswith(b"JFIF\0"))
    up = next(
        (_orientation(data[6:]) for marker, data in segments if marker == APP1 and data.startswith(b"Exif\0\0")), 1
    )
    if up != 1:
        yield _segment(APP1, b"Exif\0\0" + struct.pack(">2sHIHHHIHHI", b"MM", 42, 8, 1, ORIENTATION, 3, 1, up, 0, 0))
    for marker, data in segments:
        if _makes_the_picture(marker, data):
            yield data if marker == SOS else _segment(marker, data)
    yield bytes((0xFF, EOI))


def _makes_the_picture(marker: int, data: bytes) -> bool:
    if marker == APP2:
        return data.startswith(b"ICC_PROFILE\0")
    if marker == APP14:
        return data.startswith(b"Adobe")
    return marker != COM and marker not in APPS


def _segments(content: bytes) -> Iterator[tuple[int, bytes]]:
    """Marker and data of each segment up to the end of the image; a scan with its marker, header and coded pixels in one piece."""
    at = 2
    while True:
        if content[at] != 0xFF:
            raise ValueError
        while content[at + 1] == 0xFF:
            at += 1
        marker = content[at + 1]
        if marker == EOI:
            return
        (length,) = struct.unpack_from(">H", content, at + 2)
        end = at + 2 + length
        if length < 2 or end > len(content) or marker in RESTARTS:
            raise ValueError
        data = content[at + 4 : end]
        if marker in FRAMES:
            height, width = struct.unpack_from(">HH", data, 1)
            _check_size(width, height)
        if marker == SOS:
            end = _end_of_scan(content, end)
            data = content[at:end]
        yield marker, data
        at = end


def _end_of_scan(content: bytes, at: int) -> int:
    """Where the next marker stands that is neither a stuffed byte nor a restart."""
    while True:
        at = content.index(b"\xff", at)
        if content[at + 1] not in (0x00, 0xFF, *RESTARTS):
            return at
        at += 1 if content[at + 1] == 0xFF else 2


def _segment(marker: int, data: bytes) -> bytes:
    return struct.pack(">BBH", 0xFF, marker, len(data) + 2) + data


def _jfif(data: bytes) -> bytes:
    """Version and density, without the small picture that may follow."""
    return _segment(APP0, data[:12].ljust(12, b"\0") + b"\0\0")


def _orientation(tiff: bytes) -> int:
    """Which way is up, 1 to 8 (Exif 2.32, tag 274); 1 where it is not said or cannot be read."""
    try:
        order = {b"II": "<", b"MM": ">"}[tiff[:2]]
        (start,) = struct.unpack_from(f"{order}I", tiff, 4)
        (count,) = struct.unpack_from(f"{order}H", tiff, start)
        entries = (struct.unpack_from(f"{order}HHIH", tiff, start + 2 + 12 * each) for each in range(min(count, 200)))
        found = next((value for tag, kind, _, value in entries if tag == ORIENTATION and kind == 3), 1)
    except (KeyError, struct.error):
        return 1
    return found if found in range(1, 9) else 1


def _check_size(width: int, height: int) -> None:
    """Raises BlockwrightError where a picture unfolds to more than a tablet can hold, ValueError where it has no size."""
    if width * height > MOST_PIXELS:
        raise _refused(f"the photo has {width} by {height} pixels.", "Take it with fewer.")
    if not width or not height:
        raise ValueError


def _refused(what: str, mend: str) -> BlockwrightError:
    return BlockwrightError(Problem("photo", what, mend, PLACE))
