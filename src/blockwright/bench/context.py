"""What every page knows without asking: who acts, which engine it is about, and how the bench was started."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.http import HttpRequest

from blockwright import __version__


def page(request: HttpRequest) -> dict[str, Any]:
    """`hand`, `book`, `role` (his role at the book, in words), `shop` (whether people log in here), `version`, `here` (the name of the address)."""
    hand, book = getattr(request, "hand", None), getattr(request, "book", None)
    role = hand.role_at(book) if hand is not None and book is not None else None
    here = request.resolver_match.view_name if request.resolver_match else ""
    return {"hand": hand, "book": book, "role": role, "shop": settings.SHOP, "version": __version__, "here": here}
