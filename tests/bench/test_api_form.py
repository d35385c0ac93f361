"""What is drawn at random from the API's own description: no fault of ours, and nothing answered that the description does not say.

The requests are drawn by schemathesis from the OpenAPI document, fit ones and unfit ones, the same in every run. In half of them the engine is the
one that is there; of acts, some bear its own examples.
"""

from collections import Counter
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    allow_header_conformance,
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from blockwright.bench.api.act_examples import EXAMPLES
from blockwright.bench.api.urls import api
from blockwright.bench.wsgi import application
from blockwright.ledger.models import Book
from blockwright.ledger.store import LedgerStore

from ..report.work_sample import sample_work

pytestmark = pytest.mark.slow

CHECKS = [not_a_server_error, status_code_conformance, content_type_conformance, response_schema_conformance,
          response_headers_conformance, allow_header_conformance]  # fmt: skip
DRAWN = 24
DOCUMENT = api.get_openapi_schema(path_prefix="/api/v1/")
OPERATIONS = [(method.upper(), at) for at, methods in DOCUMENT["paths"].items() for method in methods]
FIT, UNFIT = GenerationMode.POSITIVE, GenerationMode.NEGATIVE


def may_be_unfit(method: str, at: str) -> bool:
    """Whether anything can be drawn that does not hold to the description: any text may stand in an address."""
    operation = DOCUMENT["paths"][at][method.lower()]
    asked = any(each["in"] == "query" for each in operation.get("parameters", ()))
    return asked or "application/json" in operation.get("requestBody", {}).get("content", {})


DRAWN_FROM = [(*each, FIT) for each in OPERATIONS] + [(*each, UNFIT) for each in OPERATIONS if may_be_unfit(*each)]
ALWAYS_THE_SAME = settings(
    max_examples=DRAWN, derandomize=True, database=None, deadline=None, phases=(Phase.generate,), suppress_health_check=list(HealthCheck)
)  # fmt: skip


@schemathesis.serializer("application/zip")
def as_it_is(context: Any, value: Any) -> bytes:
    """A zip is sent as it was drawn: hardly ever one."""
    return value if isinstance(value, bytes) else str(value).encode()


def here_app(environ: dict[str, Any], start: Any) -> Any:
    """The bench as it is asked from its own machine, by one who does not unpack what is squeezed."""
    return application({**environ, "REMOTE_ADDR": "127.0.0.1", "HTTP_ACCEPT_ENCODING": "identity"}, start)


@pytest.mark.parametrize(("method", "at", "mode"), DRAWN_FROM)
def test_what_is_drawn_from_the_description(
    harbour: Book, method: str, at: str, mode: GenerationMode, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("blockwright.bench.work.held.kept", lambda job: sample_work())
    operation = schemathesis.openapi.from_wsgi("/api/v1/openapi.json", here_app)[at][method]
    answered: Counter[int] = Counter()

    @ALWAYS_THE_SAME
    @given(case=operation.as_strategy(generation_mode=mode), here=st.booleans(), kind=st.sampled_from(["", *EXAMPLES]))
    def drawn(case: Any, here: bool, kind: str) -> None:
        if here and "engine" in (case.path_parameters or {}):
            case.path_parameters["engine"] = harbour.slug
        if here and kind and at.endswith("/acts"):
            case.body = {"kind": kind, "words": dict(EXAMPLES[kind]), "key": f"drawn-{kind.replace(' ', '-')}"}
        answer = case.call()
        answered[answer.status_code] += 1
        case.validate_response(answer, checks=CHECKS)

    drawn()
    assert answered.total() >= DRAWN // 2
    if mode is FIT and method == "GET" and "{key}" not in at and "{fit}" not in at and "{name}" not in at:
        assert answered[200] > 0


def test_the_book_is_whole_after_it_all(harbour: Book) -> None:
    """Every kind of act in turn, kept or refused, leaves a chain that holds."""
    from django.test import Client

    for number, (kind, words) in enumerate(EXAMPLES.items()):
        said = {"kind": kind, "words": dict(words), "key": f"in-turn-{number:03}"}
        answer = Client().post(f"/api/v1/engines/{harbour.slug}/acts", said, content_type="application/json")
        assert answer.status_code in (201, 422), (kind, answer.content)
    events = LedgerStore(harbour).events()
    assert len(events) > 5
    assert [each.before for each in events[1:]] == [each.digest for each in events[:-1]]
