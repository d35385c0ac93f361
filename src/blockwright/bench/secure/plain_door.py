"""The one thing that the shop hands out without encryption: its authority's certificate, while a tablet is being paired.

A tablet cannot check an encrypted connection before it trusts the authority, so the certificate has to come by
another way. Teaching people to wave a browser's warning through would be worse, so a door of its own, without
encryption, hands out two things: a page that says what to do, and the certificate. It knows no cookie, reads no form,
hands on to nothing, and answers only while the owner has a pairing page open (`is_open`).

Someone who sits in the shop's network at that minute could hand out a certificate of his own. That is why the owner's
screen shows the fingerprint, and why the tablet's is to be compared with it before it is trusted; a certificate is
public, so that nothing is lost by somebody reading it.
"""

from __future__ import annotations

import html
from collections.abc import Callable
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread

FILE = "/blockwright-shop.crt"
CERTIFICATE = "application/x-x509-ca-cert"
CLOSED = "Closed. It opens for ten minutes when the owner of the shop pairs a tablet.\n"
PATIENCE_S = 10
PAGE = """<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>Trust this shop's bench</title>
<h1>Trust this shop's bench</h1>
<p>1. <a href="{file}">Take the shop's certificate</a>.</p>
<p>2. Before you trust it, compare its SHA-256 fingerprint, as your tablet shows it, with the one on the owner's screen. Let him read it out.
What this page says of it proves nothing, so it does not say it. If they differ, stop.</p>
<p>3. Trust it in the tablet's settings: the owner's screen says where.</p>
<p>4. Then scan the second code on the owner's screen.</p>
</html>
"""


class PlainDoor:
    """A small server of its own, in a thread of its own. `is_open` is asked at each request."""

    def __init__(self, address: str, port: int, authority: bytes, is_open: Callable[[], bool]) -> None:
        self._server = ThreadingHTTPServer((address, port), _handler(authority, is_open))
        self._server.daemon_threads = True
        self._thread = Thread(target=self._server.serve_forever, name="plain door", daemon=True)

    @property
    def port(self) -> int:
        """Where it listens."""
        return int(self._server.server_address[1])

    def start(self) -> None:
        """Open it."""
        self._thread.start()

    def stop(self) -> None:
        """Shut it."""
        self._server.shutdown()
        self._server.server_close()


def _handler(authority: bytes, is_open: Callable[[], bool]) -> type[BaseHTTPRequestHandler]:
    """What answers: two addresses, GET and HEAD only, and nothing that was sent is read beyond the first line and the headers."""
    page = PAGE.format(file=html.escape(FILE)).encode()
    things = {"/": ("text/html; charset=utf-8", page), FILE: (CERTIFICATE, authority)}

    class Handler(BaseHTTPRequestHandler):
        timeout = PATIENCE_S
        server_version, sys_version = "bench", ""

        def do_GET(self) -> None:
            if not is_open():
                self._answer(HTTPStatus.FORBIDDEN, "text/plain; charset=utf-8", CLOSED.encode())
            elif self.path in things:
                self._answer(HTTPStatus.OK, *things[self.path])
            else:
                self._answer(HTTPStatus.NOT_FOUND, "text/plain; charset=utf-8", b"Not here.\n")

        do_HEAD = do_GET  # noqa: N815 -- named by the library

        def _answer(self, status: HTTPStatus, kind: str, content: bytes) -> None:
            self.send_response(status)
            for name, value in (
                ("Content-Type", kind),
                ("Content-Length", str(len(content))),
                (
                    "Content-Security-Policy",
                    "default-src 'none'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'",
                ),
                ("X-Content-Type-Options", "nosniff"),
                ("Referrer-Policy", "no-referrer"),
                ("Cache-Control", "no-store"),
                ("Connection", "close"),
            ):
                self.send_header(name, value)
            self.end_headers()
            if self.command != "HEAD":
                self.wfile.write(content)

        def log_message(self, *_: object) -> None:
            """Nothing is written of who asked."""

    return Handler
