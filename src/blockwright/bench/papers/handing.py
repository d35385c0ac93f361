"""A file as it is handed out: its kind is said and not guessed, it is saved under a sensible name, and it can do nothing in the page's name."""

from __future__ import annotations

from django.http import HttpResponse

SHUT_IN = "default-src 'none'; frame-ancestors 'none'; sandbox"


def handed(content: bytes, media: str, name: str) -> HttpResponse:
    """The answer with a file in it; `name` is ours, of plain letters and digits."""
    headers = {
        "Content-Disposition": f'attachment; filename="{name}"',
        "Content-Security-Policy": SHUT_IN,
        "X-Content-Type-Options": "nosniff",
        "Cross-Origin-Resource-Policy": "same-origin",
        "Cache-Control": "no-store",
    }
    return HttpResponse(content, content_type=media, headers=headers)
