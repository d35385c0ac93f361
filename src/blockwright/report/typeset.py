"""Type set by typst: the one place that calls it. A template and its data go in, an archival, tagged PDF comes out.

Templates are `.typ` files of this package, named from the folder `report` on (`sheet/sheet.typ`); each imports `/house.typ`, which holds the
type, `data` and `picture()`, and the inks of `report.colours`, which come with the data. Only the type of the font package and of typst's own wheel
is used, never that of the machine, so that the same data give the same bytes everywhere. The PDF follows PDF/A-2a (archive) and PDF/UA-1 (for those
who cannot see it).
"""

from __future__ import annotations

import datetime as dt
import json
import re
import unicodedata
from collections.abc import Mapping
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

from blockwright.problems import BlockwrightError, Problem
from blockwright.report.colours import INKS, PAPER

if TYPE_CHECKING:
    import typst

TYPE = "Source Sans Pro"
"""The family all of it is set in."""
STANDARDS: list[Any] = ["a-2a", "ua-1"]
TIMELESS = dt.date(2000, 1, 1)
"""The date put on a PDF whose data bear none."""
ROOT = Path(__file__).parent
MOST_ROUNDS = 20
UNSET = "unset_signs"
"""Where in its data a template finds the signs that no type has, as `U+6F22`."""
_REPLACED = "\N{REPLACEMENT CHARACTER}"
_NOT_SHOWN = re.compile(r"(?:the text|codepoint) `(\"(?:[^\"\\]|\\.)*\")`")
_NOT_SAID = "missing codepoints"
"""Typst's words for a text of which it does not name the sign that is at fault."""
_ESCAPED = re.compile(r"\\u\{([0-9a-fA-F]+)\}")
_KEPT = frozenset("\n\t\u00a0\u00ad\u200b")
"""Signs that do not print, and are set all the same: ends of lines, blanks, places to break."""


def typeset(
    template: str, data: Mapping[str, Any], pictures: Mapping[str, str] = {}, when: dt.date | None = None
) -> bytes:
    """A PDF of a template with its data, byte for byte the same for the same input.

    `data` is anything that JSON can hold (the inks come to it as `inks`); `pictures` are SVG texts by the name that the template asks for;
    `when` is the date of the document. A sign that no type has is set as U+FFFD, and told to the template in `data.unset_signs`.
    Raises BlockwrightError where typst cannot set it, or warns: a type that is missing is a fault, not a matter of taste.
    """
    text = json.dumps(_printing({**data, "inks": INKS}), ensure_ascii=False, allow_nan=False)
    drawn = {f"picture/{name}": _for_print(_printing(svg)) for name, svg in pictures.items()}
    lacking: set[str] = set()
    for _ in range(MOST_ROUNDS):
        given = {**drawn, "data": _without(text, lacking)}
        made, fresh = _set(template, given, when or TIMELESS)
        if made:
            return made
        lacking |= fresh
        drawn = {name: _plainly_without(svg, lacking) for name, svg in drawn.items()}
    raise _refused("too many signs of it are in no type at hand")


def _set(template: str, given: dict[str, str], when: dt.date) -> tuple[bytes, set[str]]:
    """The PDF; or nothing, and the signs that no type has."""
    import typst

    stamp = dt.datetime(when.year, when.month, when.day, tzinfo=dt.UTC)
    try:
        made, warnings = typst.compile_with_warnings(
            ROOT / template, root=ROOT, font_paths=_types(), ignore_system_fonts=True, format="pdf",
            sys_inputs=given, pdf_standards=STANDARDS, timestamp=stamp,
        )  # fmt: skip
    except typst.TypstError as fault:
        told = f"{fault.message}\n{fault.diagnostic}"
        signs = {sign for quoted in _NOT_SHOWN.findall(told) for sign in _unquoted(quoted)}
        if not signs and _NOT_SAID in told:
            signs = {sign for text in given.values() for sign in text if unicodedata.combining(sign)}
        if not signs or _REPLACED in signs:
            raise _refused(fault.diagnostic or fault.message) from None
        return b"", signs
    if warnings:
        raise _refused("; ".join(warning.message for warning in warnings))
    return made, set()


@cache
def _types() -> typst.Fonts:
    import typst

    folder: str = import_module("font_source_sans_pro").font_directory
    found = typst.Fonts(include_system_fonts=False, include_embedded_fonts=True, font_paths=[folder])
    if TYPE not in found.families():
        raise _refused(f"the type {TYPE} is missing from its package")
    return found


def _printing(value: Any) -> Any:
    """The data with every text composed, and without signs that have no shape."""
    if isinstance(value, str):
        composed = unicodedata.normalize("NFC", value)
        if composed.isprintable():
            return composed
        return "".join(sign if sign.isprintable() or sign in _KEPT else _REPLACED for sign in composed)
    if isinstance(value, Mapping):
        return {name: _printing(each) for name, each in value.items()}
    if isinstance(value, list | tuple):
        return [_printing(each) for each in value]
    return value


def _without(text: str, lacking: set[str]) -> str:
    """The data as JSON without the signs that no type has, which are listed in it."""
    if not lacking:
        return text
    listed = [f"U+{ord(sign):04X}" for sign in sorted(lacking)]
    return json.dumps({**json.loads(_plainly_without(text, lacking)), UNSET: listed}, ensure_ascii=False)


def _plainly_without(text: str, lacking: set[str]) -> str:
    return text.translate({ord(sign): _REPLACED for sign in lacking})


def _unquoted(quoted: str) -> str:
    return _ESCAPED.sub(lambda found: chr(int(found[1], 16)), quoted[1:-1])


def _for_print(svg: str) -> str:
    """A picture in the type of the page, on white paper."""
    return svg.replace('font-family="sans-serif"', f'font-family="{TYPE}"').replace(PAPER, "#ffffff")


def _refused(why: str) -> BlockwrightError:
    what = f"the page cannot be set: {' '.join(why.split())}."
    return BlockwrightError(Problem("typeset", what, "Install blockwright anew with what it needs, or report it."))
