"""Letters for a terminal that has few: what to write for ± and ° where only plain letters can be shown, and never a crash over one.

Imports nothing of ours and nothing heavy: the first thing that every command does is `make_safe`.
"""

from __future__ import annotations

import codecs
import os
import sys
import unicodedata
from io import TextIOWrapper

SPELLED = str.maketrans({
    "±": "+/-", "°": " deg", "×": "x", "·": ".", "┃": "|", "²": "2", "µ": "u", "–": "-", "−": "-", "’": "'", "…": "...", "→": "->",
    "█": "#", "▏": "|",
})  # fmt: skip
AS_WIDE = ((" ± ", "+/-"), ("°C", "C"), ("°F", "F"))
"""Spelled first, so that a table keeps its width."""
UNKNOWN = "?"
HANDLER = "blockwright-spelled"


def plain() -> bool:
    """Whether the output takes plain letters only."""
    encoding = (sys.stdout.encoding or "").lower().replace("-", "")
    return not encoding.startswith("utf") or os.environ.get("TERM") == "dumb"


def spelled(text: str) -> str:
    """The text as the output can show it: as it is, or with its signs spelled out. To be called before a text is set in columns."""
    if not plain():
        return text
    for signs, letters in AS_WIDE:
        text = text.replace(signs, letters)
    return text.translate(SPELLED)


def make_safe() -> None:
    """Let both outputs write what they can of any text, whatever letters the terminal has."""
    codecs.register_error(HANDLER, _replaced)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors=HANDLER)


def _replaced(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(_letter(sign) for sign in error.object[error.start : error.end]), error.end


def _letter(sign: str) -> str:
    """A sign in plain letters: spelled out, without its accent, or a question mark."""
    plainly = unicodedata.normalize("NFKD", sign.translate(SPELLED)).encode("ascii", "ignore").decode()
    return plainly or UNKNOWN
