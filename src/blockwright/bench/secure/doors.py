"""By which name the bench may be asked for, from where, and from which pages.

In local mode nobody logs in: whatever reaches the bench may do all. Three things must therefore not reach it. Another
machine: only loopback addresses are answered. A web page elsewhere that has its own name point to this machine (DNS
rebinding): the name asked for must be one of ours. A web page elsewhere that sends a form or a script's request here:
browsers say where a request came from (Fetch Metadata, Origin), and only our own pages may act, or fetch; a link from
elsewhere may open a page, which shows nothing to who wrote the link. Django's own token against forged forms stands
behind that.

Another program on this machine serves pages of the same *site* (a site has no port) but not the same *origin*: it is
elsewhere, too.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.http.request import split_domain_port, validate_host

Answer = Callable[[HttpRequest], HttpResponse]
READS = ("GET", "HEAD")
OURS = ("same-origin", "none")
"""Sent by our own page; or by nobody's: typed, a bookmark, a code that was scanned."""

WRONG_NAME = "The bench is not called that. Open it by the address that was shown when it was started."
NOT_HERE = "This bench answers its own machine only. To reach it from a tablet, start it with --shop."
ELSEWHERE = "This came from another page than the bench's own, and was not done. Open the bench and do it there."


class Door:
    """Lets in what asks by the right name, from the right machine and from our own pages."""

    def __init__(self, answer: Answer) -> None:
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer, or refuse."""
        if not named_rightly(request):
            return _refused(WRONG_NAME, 400)
        if not settings.SHOP and not from_this_machine(request):
            return _refused(NOT_HERE, 403)
        if not from_our_pages(request):
            return _refused(ELSEWHERE, 403)
        return self.answer(request)


def named_rightly(request: HttpRequest) -> bool:
    """Whether the name that was asked for is one of this bench's."""
    host, _port = split_domain_port(request.META.get("HTTP_HOST", "") or request.META.get("SERVER_NAME", ""))
    return bool(host) and validate_host(host, settings.ALLOWED_HOSTS)


def from_this_machine(request: HttpRequest) -> bool:
    """Whether the request came over the loopback."""
    try:
        return ipaddress.ip_address(request.META.get("REMOTE_ADDR", "")).is_loopback
    except ValueError:
        return False


def from_our_pages(request: HttpRequest) -> bool:
    """Whether our own page sent it, or somebody typed it; from elsewhere, only opening a page is let in."""
    site = request.headers.get("Sec-Fetch-Site")
    if request.method in READS:
        return site is None or site in OURS or _opens_a_page(request)
    origin = request.headers.get("Origin")
    same = origin is None or origin == f"{request.scheme}://{request.META.get('HTTP_HOST', '')}"
    return same and (site is None or site in OURS)


def _opens_a_page(request: HttpRequest) -> bool:
    return request.headers.get("Sec-Fetch-Mode") == "navigate" and request.headers.get("Sec-Fetch-Dest") == "document"


def _refused(words: str, status: int) -> HttpResponse:
    return HttpResponse(f"{words}\n", status=status, content_type="text/plain; charset=utf-8")
