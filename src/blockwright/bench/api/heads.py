"""HEAD is answered under the API's address wherever GET is: as GET would be, without its body (RFC 9110, 9.3.2)."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

from blockwright.bench.api.refusing import ROOT

GET, HEAD = "GET", "HEAD"


class Heads:
    """Around everything that answers under the API's address; the length of what is left out is told."""

    def __init__(self, answer: Callable[[HttpRequest], HttpResponse]) -> None:
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer."""
        if not request.path.startswith(ROOT):
            return self.answer(request)
        head = request.method == HEAD
        if head:
            request.method = GET
        response = self.answer(request)
        _allow_head(response)
        return _without_body(response) if head else response


def _allow_head(response: HttpResponse) -> None:
    """Who may ask by GET is told that he may by HEAD."""
    allowed = {each.strip() for each in response.get("Allow", "").split(",")} - {""}
    if GET in allowed:
        response["Allow"] = ", ".join(sorted(allowed | {HEAD}))


def _without_body(response: HttpResponse) -> HttpResponse:
    if not response.streaming:
        response.headers.setdefault("Content-Length", str(len(response.content)))
        response.content = b""
    return response
