"""What is done around every request: one line in the log, who acts, and what was refused put into words."""

from __future__ import annotations

import logging
from collections.abc import Callable
from time import perf_counter

from django.core.exceptions import PermissionDenied, SuspiciousOperation
from django.db import InterfaceError, OperationalError, connections
from django.http import Http404, HttpRequest, HttpResponse
from django.utils.functional import SimpleLazyObject

from blockwright.bench.access import actor_of
from blockwright.bench.problems import AWAY, refused
from blockwright.bench.telling import LOGGER
from blockwright.ledger.faults import problem_of
from blockwright.problems import BlockwrightError

log = logging.getLogger(LOGGER)
Answer = Callable[[HttpRequest], HttpResponse]
QUIET = ("healthz", "readyz", "news")
"""Addresses that are asked every few seconds: told only where something goes wrong."""
MEGABYTE = 1024 * 1024
MOST_SENT = 72 * MEGABYTE
"""Bytes of one request: a whole job with its photos."""
EXPECTED = (BlockwrightError, Http404, PermissionDenied, SuspiciousOperation)
"""What a page says no to: no fault of the program."""


class Told:
    """One line in the log for each request: the name of its address, the answer, how long it took."""

    def __init__(self, answer: Answer) -> None:
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer, then tell."""
        start = perf_counter()
        response = self.answer(request)
        if response.status_code == AWAY:
            let_go()
        match = request.resolver_match
        route = match.view_name if match else "unknown"
        level = logging.ERROR if response.status_code >= 500 else logging.DEBUG if route in QUIET else logging.INFO
        told = {
            "route": route,
            "method": request.method,
            "status": response.status_code,
            "ms": round(1e3 * (perf_counter() - start), 1),
        }
        log.log(level, "request", extra=told)
        return response

    def process_exception(self, request: HttpRequest, fault: Exception) -> None:
        """Tell a fault of the program, by type and place; Django answers it."""
        if not isinstance(fault, EXPECTED):
            log.error("fault", exc_info=fault)


def let_go() -> None:
    """Close what is open to the ledger: a connection that met a fault of the disk may stay at it when the disk is well again."""
    for each in connections.all(initialized_only=True):
        each.close()


class Limits:
    """Refuses what is larger than anything a page sends, before any of it is read."""

    def __init__(self, answer: Answer) -> None:
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer, or refuse."""
        length = request.META.get("CONTENT_LENGTH") or "0"
        if not length.isdecimal() or int(length) > MOST_SENT:
            return HttpResponse(
                f"At most {MOST_SENT // MEGABYTE} MB can be sent at once.\n", status=413, content_type="text/plain"
            )
        return self.answer(request)


class Hands:
    """Sets `request.hand`, asked for only when somebody looks at it."""

    def __init__(self, answer: Answer) -> None:
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer with the actor known."""
        request.hand = SimpleLazyObject(lambda: actor_of(request))  # type: ignore[attr-defined]
        request.book = None  # type: ignore[attr-defined]
        return self.answer(request)


class Refused:
    """Answers input that cannot be used with every problem in it."""

    def __init__(self, answer: Answer) -> None:
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer."""
        return self.answer(request)

    def process_exception(self, request: HttpRequest, fault: Exception) -> HttpResponse | None:
        """The problems of a BlockwrightError, or what ails the database; nothing for any other fault."""
        if isinstance(fault, OperationalError | InterfaceError):
            fault = BlockwrightError(problem_of(fault, "The ledger does not answer", ""))
        return refused(request, fault) if isinstance(fault, BlockwrightError) else None
