"""What the service worker keeps on a tablet: every static file that the measuring page is made of, and a mark that changes with any of them."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

from django.contrib.staticfiles import finders

OURS = Path(__file__).parents[1] / "static" / "bench"
FONTS = ("fonts/SourceSansPro-Regular.otf", "fonts/SourceSansPro-Semibold.otf")
HTMX = "django_htmx/htmx-2.min.js"
KEPT = (".js", ".css", ".svg", ".png", ".webmanifest")


def kept_files() -> tuple[str, ...]:
    """Addresses of the files under `/static/`, in order."""
    return tuple(f"/static/{name}" for name, _ in _found())


def mark_of_files() -> str:
    """A mark of what all of them hold; read again only where one was written anew."""
    return _mark(tuple((name, str(path), path.stat().st_mtime_ns) for name, path in _found()))


@lru_cache(maxsize=8)
def _mark(files: tuple[tuple[str, str, int], ...]) -> str:
    digest = hashlib.sha256()
    for name, path, _ in files:
        digest.update(name.encode() + b"\0" + Path(path).read_bytes())
    return digest.hexdigest()[:16]


def _found() -> Iterator[tuple[str, Path]]:
    for path in sorted(OURS.rglob("*")):
        if path.suffix in KEPT and path.name != "sw.js":
            yield f"bench/{path.relative_to(OURS).as_posix()}", path
    for name in (*FONTS, HTMX):
        found = finders.find(name)
        if isinstance(found, str):
            yield name, Path(found)
