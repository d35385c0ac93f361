"""How long a browser may keep a static file: type for a year, everything else until it asks whether it has changed."""

from __future__ import annotations

from wsgiref.headers import Headers

KEEP = "public, max-age=31536000, immutable"


def add(headers: Headers, path: str, url: str) -> None:
    """Called by whitenoise for each file that it finds."""
    if url.startswith("/static/fonts/"):
        headers["Cache-Control"] = KEEP
