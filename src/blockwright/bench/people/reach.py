"""By which address a tablet reaches this shop, and the code to scan for it."""

from __future__ import annotations

import io
import ipaddress
import os

import segno
from django.conf import settings
from django.http import HttpRequest
from django.urls import reverse

from blockwright.bench.secure.names import AT_HOME

PLAIN_PORT = "BLOCKWRIGHT_PLAIN_PORT"
"""Environment: where the plain door listens; blank where there is none, since the shop brings its own certificate."""


def address_of(request: HttpRequest, page: str, code: str = "") -> str:
    """The whole address of a page, as a tablet reaches it; a code stands behind the `#`."""
    host, port = _host(request), request.get_port()
    shown = host if port == "443" else f"{host}:{port}"
    return f"{request.scheme}://{shown}{reverse(page)}{f'#{code}' if code else ''}"


def plain_address() -> str:
    """The address of the plain door; blank where there is none.

    By number: a browser that was once told to come by HTTPS holds to that for names only.
    """
    port = plain_port()
    numbers = [each for each in _others() if _number(each)]
    return f"http://{numbers[0]}:{port}/" if port and numbers else ""


def plain_port() -> str:
    """Where the plain door listens; blank where there is none."""
    return os.environ.get(PLAIN_PORT, "")


def code_picture(text: str) -> str:
    """A code to scan, as SVG: black on white on every ground, with its quiet zone."""
    out = io.BytesIO()
    segno.make(text, error="m", micro=False).save(
        out,
        kind="svg",
        xmldecl=False,
        svgns=False,
        omitsize=True,
        border=4,
        dark="#000",
        light="#fff",
        svgclass="scan",
        lineclass=None,
    )
    return out.getvalue().decode()


def _host(request: HttpRequest) -> str:
    """The name that was asked for; where that is this machine's name for itself, the first by which others know it."""
    asked = request.get_host().rpartition(":")[0] if not request.get_host().endswith("]") else request.get_host()
    asked = asked or request.get_host()
    if asked.strip("[]") not in AT_HOME:
        return asked
    others = _others()
    return next((each for each in others if _number(each)), next(iter(others), asked))


def _others() -> list[str]:
    return [
        each for each in settings.ALLOWED_HOSTS if each.strip("[]") not in AT_HOME and not each.startswith((".", "*"))
    ]


def _number(host: str) -> bool:
    try:
        return bool(ipaddress.ip_address(host.strip("[]")))
    except ValueError:
        return False
