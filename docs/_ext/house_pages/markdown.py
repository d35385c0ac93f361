"""Pieces of Markdown: escaped words, tables, definition lists."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

SIGNS = re.compile(r"([\\`*_{}\[\]<>|#~$])")


def plain(text: str) -> str:
    """Text that Markdown shows as it is."""
    return SIGNS.sub(r"\\\1", text)


def code(text: str) -> str:
    """Text as it is typed in a file; nothing for nothing."""
    return f"`{text.replace('|', '/')}`" if text else ""


def first_large(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """The text as a sentence: a large letter in front, a stop behind."""
    text = first_large(text.strip())
    return text if not text or text[-1] in ".?!:…" else f"{text}."


def table(head: Sequence[str], rows: Iterable[Sequence[str]], kind: str = "") -> str:
    """A table; `kind` is a class for the style sheet."""
    lines = [head, ["---"] * len(head), *rows]
    text = "\n".join("| " + " | ".join(cell.replace("\n", " ") for cell in line) + " |" for line in lines)
    return f":::{{table}}\n:class: {kind}\n\n{text}\n:::\n" if kind else f"{text}\n"


def facts(pairs: Iterable[tuple[str, str]]) -> str:
    """Names with what they mean, one under the other; pairs without a meaning are left out."""
    return "\n\n".join(f"{name}\n: {text}" for name, text in pairs if text) + "\n"
