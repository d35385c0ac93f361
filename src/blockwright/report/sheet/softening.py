"""Long words made to break: a mark of sixty letters must not run out of its column."""

from __future__ import annotations

import re
from dataclasses import fields, is_dataclass, replace
from typing import Any

MAY_BREAK = "\N{ZERO WIDTH SPACE}"
LONG, NARROW = 16, 9
"""Words of so many letters fit on any line, or in the narrow columns; longer ones may break."""
STEP = 5
IN_NARROW = ("mark", "marks", "piston", "rings", "gauge", "master", "maker", "batch", "alloy", "kind")
"""Fields that stand in narrow columns."""
AS_THEY_ARE = ("picture", "digest", "standing", "state", "first_day", "last_day")
"""Fields that are no text to read: names of pictures, fingerprints, dates."""


def soft(text: str, longest: int = LONG) -> str:
    """The text with places to break in words longer than `longest`.

    >>> soft("rod side, throw 3")
    'rod side, throw 3'
    >>> soft("A" * 30).count(MAY_BREAK)
    5
    """
    return re.sub(rf"[^ \t\n{MAY_BREAK}]{{{longest + 1},}}", _broken, text)


def _broken(found: re.Match[str]) -> str:
    word = found[0]
    return MAY_BREAK.join(word[start : start + STEP] for start in range(0, len(word), STEP))


def softened(value: Any, longest: int = LONG) -> Any:
    """A record with every text in it softened, however deep; fields named in `AS_THEY_ARE` stay."""
    if isinstance(value, str):
        return soft(value, longest)
    if isinstance(value, tuple):
        return tuple(softened(each, longest) for each in value)
    if is_dataclass(value) and not isinstance(value, type):
        kept = [item.name for item in fields(value) if item.name not in AS_THEY_ARE]
        return replace(value, **{name: softened(getattr(value, name), _room(name, longest)) for name in kept})
    return value


def _room(name: str, longest: int) -> int:
    return NARROW if name in IN_NARROW else longest


def shortened(text: str, longest: int) -> str:
    """The text for a line that must not wrap, cut where it is long."""
    return text if len(text) <= longest else f"{text[: longest - 1].rstrip()}…"
