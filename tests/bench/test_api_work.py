"""The engine at work by the API: looked at where it is worked out, begun where it is not, in the form that its description says."""

from __future__ import annotations

import json
from typing import Any

import jsonschema
import pytest

from blockwright.acts.roles import Role
from blockwright.bench.api.urls import api
from blockwright.bench.work import held, running
from blockwright.report.work.as_json import FORMAT
from blockwright.running.work.result import Work

from ..report.work_sample import sample_work
from .shop_hands import browser, hire
from .test_api import ROOT, Program, program, refused
from .test_api_shop import bearer, open_api
from .test_work_page import Hand, hand, keep, kept, until

__all__ = ["hand", "kept", "program"]
JSON = "application/json"


def begin(program: Program, **headers: str) -> Any:
    return program.client.post(program.at("/work"), "{}", content_type=JSON, headers=headers)


def described() -> dict[str, Any]:
    return json.loads(json.dumps(api.get_openapi_schema(path_prefix="/api/v1/")))


def test_what_is_not_worked_out_is_absent_and_nothing_is_begun(
    program: Program, kept: dict[str, Work], hand: Hand
) -> None:
    said = refused(program.get("/work"), 404)
    assert "not worked out for its readings as they stand" in said["detail"]
    assert hand.begun == 0


def test_it_is_begun_asked_after_and_given(program: Program, kept: dict[str, Work], hand: Hand) -> None:
    answer = begin(program)
    assert (answer.status_code, answer["Retry-After"]) == (202, "5")
    assert answer.json() == {"being": "The engine at work"}
    until(lambda: (state := running.runner.state(program.book.pk)) is not None and state.percent == 42)
    meanwhile = program.get("/work")
    assert "42 %" in refused(meanwhile, 404)["detail"]
    assert meanwhile["Retry-After"] == "5"
    assert begin(program).status_code == 202
    assert hand.begun == 1
    keep(kept, program.book)
    hand.go(done=True)
    until(lambda: running.runner.state(program.book.pk) is None)
    told = program.get("/work").json()
    assert told["format"] == FORMAT
    assert told["headline"] == sample_work().headline


def test_why_it_failed_is_said(program: Program, kept: dict[str, Work], hand: Hand) -> None:
    begin(program)
    until(lambda: hand.begun)
    hand.go(problems=["the firing order is not given. Write it."])
    until(lambda: (state := running.runner.state(program.book.pk)) is not None and not state.under_way)
    assert (
        "The last try failed: the firing order is not given. Write it." in refused(program.get("/work"), 404)["detail"]
    )


@pytest.mark.parametrize("draws", [True, False], ids=["drawn", "plain"])
def test_the_answer_holds_to_its_description(program: Program, kept: dict[str, Work], draws: bool) -> None:
    keep(kept, program.book, sample_work(draws=draws))
    told, document = program.get("/work").json(), described()
    form = {"$ref": "#/components/schemas/Work", "components": document["components"]}
    jsonschema.validate(told, form)
    for spoil in (lambda: told.pop("fits"), lambda: told.update(samples="many"), lambda: told.update(format="another")):
        before = dict(told)
        spoil()
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate(told, form)
        told.clear()
        told.update(before)
    example = document["paths"]["/api/v1/engines/{engine}/work"]["get"]["responses"]["200"]["content"][JSON]["example"]
    assert set(example) <= set(told)
    assert set(example["fits"][0]) <= set(told["fits"][0])


def test_an_act_makes_it_absent_again(program: Program, kept: dict[str, Work]) -> None:
    keep(kept, program.book)
    assert program.get("/work").status_code == 200
    reading = {"part": "B1", "feature": "bore", "at": "cylinder 1", "spot": "top thrust", "value": "-9", "unit": "um", "gauge": "BG1",
               "setting": "S1", "sitting": "bores 1"}  # fmt: skip
    assert program.act("reading taken", reading).status_code == 201
    refused(program.get("/work"), 404)


def test_a_story_has_its_part_at_work(program: Program, kept: dict[str, Work]) -> None:
    at = "/fits/top%20end%20gap/cylinder%202"
    assert program.get(at).json()["at_work"] is None
    held.forget()
    keep(kept, program.book)
    told = program.get(at).json()["at_work"]
    assert [each["standing"] for each in told["hot"]] == ["undecided"]


def test_only_json_begins_it(program: Program, kept: dict[str, Work], hand: Hand) -> None:
    """What a form of another page can send begins nothing."""
    for kind in ("application/x-www-form-urlencoded", "text/plain", "multipart/form-data; boundary=x"):
        refused(program.client.post(program.at("/work"), "x=1", content_type=kind), 415)
    assert hand.begun == 0


def test_who_may_begin_it(settings: Any, program: Program, kept: dict[str, Work]) -> None:
    open_api(settings)
    at = f"{ROOT}/engines/{program.book.slug}/work"
    for role, status in ((Role.VIEWER, 403), (Role.MEASURER, 202), (Role.BUILDER, 202)):
        token = bearer(hire(f"The {role}", book=program.book, role=role))
        headers = {"Authorization": f"Bearer {token}"}
        answer = browser().post(at, "{}", content_type=JSON, headers=headers)
        assert answer.status_code == status, role
    refused(browser().post(at, "{}", content_type=JSON), 401)
    stranger = {"Authorization": f"Bearer {bearer(hire('The stranger'))}"}
    refused(browser().post(at, "{}", content_type=JSON, headers=stranger), 404)
