"""The headers that every answer bears.

A page loads nothing but from this server, runs no script that stands in it, sends its forms nowhere else and is
framed by nobody. An answer that sets a header itself keeps it (a photo is shut in more tightly, a picture may be
kept). In shop mode the browser is told to come back by HTTPS only, for a month: on this name alone, so that other
things in the shop are left as they are.

`Referrer-Policy: same-origin` and not `no-referrer`: under the latter browsers send `Origin: null` with our own
forms, and the check of where a form came from would have to let `null` in.
"""

from __future__ import annotations

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse

Answer = Callable[[HttpRequest], HttpResponse]

LOADS = {
    "default-src": "'none'",
    "script-src": "'self'",
    "style-src": "'self'",
    "img-src": "'self' data: blob:",
    "connect-src": "'self'",
    "font-src": "'self'",
    "manifest-src": "'self'",
    "worker-src": "'self'",
    "form-action": "'self'",
    "frame-ancestors": "'none'",
    "base-uri": "'none'",
}
"""What a page may load and do, by kind (Content Security Policy level 3)."""

CLOSED = (
    "accelerometer",
    "camera",
    "display-capture",
    "geolocation",
    "gyroscope",
    "magnetometer",
    "microphone",
    "midi",
    "payment",
    "usb",
)
"""What no page of ours asks a tablet for."""

A_MONTH_S = 31 * 24 * 3600
ALWAYS = {
    "Content-Security-Policy": "; ".join(f"{kind} {sources}" for kind, sources in LOADS.items()),
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Permissions-Policy": ", ".join([*(f"{each}=()" for each in CLOSED), "screen-wake-lock=(self)"]),
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}
SHOP_ONLY = {"Strict-Transport-Security": f"max-age={A_MONTH_S}"}


class Headers:
    """Puts the headers on every answer; the outermost of the layers, so that no answer passes without."""

    def __init__(self, answer: Answer) -> None:
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer, with the headers."""
        response = self.answer(request)
        for name, value in (ALWAYS | (SHOP_ONLY if settings.SHOP else {})).items():
            response.headers.setdefault(name, value)
        return response
