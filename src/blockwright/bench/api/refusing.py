"""Every refusal of the API as problem+json (RFC 9457): those of an endpoint, of a layer around it, and a fault of our own."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from http import HTTPStatus
from typing import Any

from django.core.exceptions import PermissionDenied, RequestDataTooBig
from django.db import InterfaceError, OperationalError
from django.http import Http404, HttpRequest, HttpResponse
from ninja import NinjaAPI
from ninja.errors import HttpError, ValidationError

from blockwright.bench.problems import AWAY, PROBLEM_JSON, REFUSED, TRY_AGAIN_S, problem_json
from blockwright.ledger.faults import LEDGER, problem_of
from blockwright.problems import BlockwrightError, Place, Problem, excerpt

ROOT = "/api/"
TYPES_AT = "/api/v1/problems/"
KEPT_HEADERS = ("Allow", "Retry-After", "WWW-Authenticate")
LONGEST_DETAIL = 300
VALUE_MEND = "The description at /api/v1/docs says what is taken."


@dataclass(frozen=True)
class Sort:
    """One sort of refusal: the last word of its address, its title, and what it means."""

    name: str
    title: str
    means: str


SORTS: Mapping[int, Sort] = {
    400: Sort("unreadable", "That cannot be read", "The request is not what HTTP or JSON asks for, or bears a wrong name of the bench."),
    401: Sort("who", "Nobody is known here", "A token is missing, or does not hold."),
    403: Sort("forbidden", "Not yours to do", "The token's hand may not do this at this engine, or the token may only look."),
    404: Sort("absent", "Not here", "There is no such thing, or it belongs to an engine at which the hand has no seat."),
    405: Sort("method", "Not answered here", "The address does not take this method; the header Allow says which it takes."),
    409: Sort("repeated", "The key was used", "The key of this act is that of an earlier act of another kind. Nothing was kept."),
    413: Sort("large", "That is too large", "More was sent than anything at the bench holds. Nothing was kept."),
    415: Sort("content", "Another kind of content is wanted", "The header Content-Type does not name what this address takes."),
    422: Sort("refused", "That cannot be kept", "What was sent can be read and cannot be used; `problems` says why, each with its field."),
    429: Sort("tries", "Too many tries", "Too many tokens from this place did not hold. Retry-After says how many seconds to wait at most."),
    500: Sort("fault", "A fault of our own", "The bench has a fault. What was kept is kept; nothing half done was recorded."),
    503: Sort("away", "Not ready", "The ledger does not answer. Send the same again with the same key."),
}  # fmt: skip


class RefusedError(Exception):
    """A refusal by its status, in words."""

    def __init__(
        self, status: int, detail: str, problems: Iterable[Problem] = (), headers: Mapping[str, str] | None = None
    ) -> None:
        super().__init__(detail)
        self.status, self.detail, self.problems, self.headers = status, detail, tuple(problems), headers or {}


def refusal(
    status: int, detail: str = "", problems: Iterable[Problem] = (), headers: Mapping[str, str] | None = None
) -> HttpResponse:
    """The answer that refuses: {type, title, status, detail, problems}."""
    sort = SORTS.get(status)
    title = sort.title if sort else HTTPStatus(status).phrase
    answer: HttpResponse = problem_json(title, detail or (sort.means if sort else title), problems, status)
    answer.content = b'{"type": "' + type_of(status).encode() + b'", ' + answer.content[1:]
    for name, value in {**({"WWW-Authenticate": "Bearer"} if status == 401 else {}), **(headers or {})}.items():
        answer[name] = value
    return answer


def type_of(status: int) -> str:
    """Where the sort of refusal is explained; `about:blank` where the status says all."""
    sort = SORTS.get(status)
    return f"{TYPES_AT}{sort.name}" if sort else "about:blank"


def handle_in(api: NinjaAPI) -> None:
    """Let the endpoints of an API refuse by raising what the rest of the bench raises. What is not expected is left to Django, which logs it."""
    handlers: tuple[tuple[type[Exception], Callable[[Any], HttpResponse]], ...] = (
        (RefusedError, lambda fault: refusal(fault.status, fault.detail, fault.problems, fault.headers)),
        (BlockwrightError, _unusable),
        (OperationalError, _away),
        (InterfaceError, _away),
        (PermissionDenied, lambda fault: refusal(403, str(fault))),
        (Http404, lambda fault: refusal(404, str(fault))),
        (RequestDataTooBig, lambda fault: refusal(413)),
        (ValidationError, lambda fault: refusal(422, "A word of the address cannot be used.", map(_value, fault.errors))),
        (HttpError, lambda fault: refusal(fault.status_code, str(fault))),
    )  # fmt: skip
    for kind, answer in handlers:
        api.add_exception_handler(kind, _handler(answer))


def _handler(answer: Callable[[Any], HttpResponse]) -> Callable[[HttpRequest, Any], HttpResponse]:
    return lambda request, fault: answer(fault)


def _unusable(fault: BlockwrightError) -> HttpResponse:
    """422; 503 where the ledger is at fault, and what was sent is not."""
    away = any(problem.code == LEDGER for problem in fault.problems)
    headers = {"Retry-After": str(TRY_AGAIN_S)} if away else None
    return refusal(AWAY if away else REFUSED, str(fault), fault.problems, headers)


def _away(fault: Exception) -> HttpResponse:
    return _unusable(BlockwrightError(problem_of(fault, "The ledger does not answer", "")))


def _value(fault: Mapping[str, Any]) -> Problem:
    field = str(fault["loc"][-1])
    return Problem(
        "api-value", f"'{excerpt(field)}' cannot be used: {fault['msg'].lower()}.", VALUE_MEND, Place(field=field)
    )


class Spoken:
    """Around everything: what is refused under the API's address is problem+json whoever refused it; an answer bears its engine's mark."""

    def __init__(self, answer: Callable[[HttpRequest], HttpResponse]) -> None:
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer."""
        response = self.answer(request)
        if not request.path.startswith(ROOT):
            return response
        if response.status_code >= 400 and response.get("Content-Type") != PROBLEM_JSON:
            return _said_again(response)
        mark = getattr(request, "api_mark", "")
        if mark and response.status_code in (200, 304):
            response["ETag"], response["Cache-Control"] = mark, "private, no-cache"
        return response


def _said_again(response: HttpResponse) -> HttpResponse:
    """A page or a line of text that refuses, as a problem; a line that the bench itself wrote is its detail."""
    plain = response.get("Content-Type", "").startswith("text/plain")
    said = response.content.decode(errors="replace").strip() if plain and response.status_code < 500 else ""
    headers = {name: response[name] for name in KEPT_HEADERS if name in response}
    return refusal(response.status_code, said if len(said) <= LONGEST_DETAIL else "", headers=headers)
