"""How long a browser may keep a static file: type for a year, everything else until it asks whether it has changed.

An address under `/static/` bears no mark of what it holds, on purpose: the service worker keeps every file under its address, and a page that
is kept on a tablet must find its files there after the bench was renewed, with no network. So only type, which never changes, may be kept
unasked. Everything else is asked for again and answered with 304 and no content where it is the same; where the service worker is at work it is
not asked for at all.
"""

from __future__ import annotations

from wsgiref.headers import Headers

KEEP = "public, max-age=31536000, immutable"


def add(headers: Headers, path: str, url: str) -> None:
    """Called by whitenoise for each file that it finds."""
    if url.startswith("/static/fonts/"):
        headers["Cache-Control"] = KEEP
