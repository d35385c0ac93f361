"""The OpenAPI document: what the endpoints' signatures do not say. Acts by kind, the published schema of an assessment, refusals, marks."""

from __future__ import annotations

import json
from typing import Any

from ninja import NinjaAPI
from ninja.openapi.schema import OpenAPISchema
from ninja.operation import Operation

from blockwright.bench.api.act_forms import act_forms
from blockwright.bench.api.refusing import SORTS
from blockwright.bench.api.shapes import Refused
from blockwright.bench.api.work_forms import work_forms
from blockwright.bench.problems import PROBLEM_JSON
from blockwright.report.export.schema import schema_text

COMPONENTS = "#/components/schemas/"
OPEN = "open"
"""Tag of what is answered to anybody."""
REFUSALS = {"get": (401, 403, 404, 422, 429, 503), "post": (400, 401, 403, 404, 409, 413, 415, 422, 429, 503)}
CONDITION = {
    "name": "If-None-Match",
    "in": "header",
    "required": False,
    "schema": {"type": "string"},
    "description": "The ETag of what you have; answered with 304 where nothing has happened at the engine.",
}


class Described(NinjaAPI):
    """An API whose document is completed."""

    def get_openapi_schema(self, **words: Any) -> OpenAPISchema:
        """The document."""
        return completed(super().get_openapi_schema(**words))

    def get_openapi_operation_id(self, operation: Operation) -> str:
        """The name of its function, by which programs made from the document call it."""
        return operation.view_func.__name__


def completed(document: OpenAPISchema) -> OpenAPISchema:
    """The document with all that is not said by a signature."""
    components = document["components"]
    components["schemas"].update(act_forms())
    components["schemas"].update(assessment_forms())
    components["schemas"].update(work_forms(COMPONENTS))
    components["schemas"].update(_refused_form())
    components["responses"] = {f"Refused{status}": _refused(status) for status in SORTS}
    for path in document["paths"].values():
        for method, operation in path.items():
            _complete(method, operation)
    return document


def json_of(name: str, words: str) -> dict[str, Any]:
    """A response of a form among the components."""
    return {"description": words, "content": {"application/json": {"schema": {"$ref": f"{COMPONENTS}{name}"}}}}


def assessment_forms() -> dict[str, Any]:
    """The published schema as components: `Assessment`, and each of its parts as `Assessment.fit` and so on."""
    published = json.loads(schema_text().replace('"#/$defs/', f'"{COMPONENTS}Assessment.'))
    parts = {f"Assessment.{name}": part for name, part in published.pop("$defs").items()}
    published.pop("$schema")
    return {"Assessment": published, **parts, "Assessment.story": _story(parts["Assessment.fit"])}


def _story(fit: dict[str, Any]) -> dict[str, Any]:
    """A fit with its budget, as `blockwright explain --json` gives it."""
    number, text = {"type": "number"}, {"type": "string"}
    flags = {"type": "boolean"}
    share = {"cause": text, "owner": text, "u": number, "dof": {"type": ["number", "null"]}, "flat": flags}
    source = {"text": text, "decides": flags}
    at_work = {
        "type": ["object", "null"],
        "description": "What the engine at work makes of it, where that is worked out.",
    }
    more = {"formula": text, "budget": _rows(share), "sources": _rows(source), "settle": text, "at_work": at_work}
    more["formulas"] = {"type": "array", "items": text}
    return {**fit, "required": [*fit["required"], *more], "properties": {**fit["properties"], **more}}


def _rows(fields: dict[str, Any]) -> dict[str, Any]:
    return {"type": "array", "items": {"type": "object", "properties": fields, "required": list(fields)}}


def _refused_form() -> dict[str, Any]:
    form = Refused.model_json_schema(ref_template=f"{COMPONENTS}{{model}}")
    return {**form.pop("$defs"), "Refused": form}


def _refused(status: int) -> dict[str, Any]:
    return {
        "description": SORTS[status].means,
        "content": {PROBLEM_JSON: {"schema": {"$ref": f"{COMPONENTS}Refused"}}},
    }


def _complete(method: str, operation: dict[str, Any]) -> None:
    """Refusals everywhere; a token, which local mode does without; If-None-Match where it is heeded."""
    responses = operation["responses"]
    statuses = (404, 422) if OPEN in operation.get("tags", ()) else REFUSALS[method]
    for status in (*statuses, 405, 500):
        responses.setdefault(status, {"$ref": f"#/components/responses/Refused{status}"})
    if operation.get("security"):
        operation["security"].append({})
    if 304 in responses:
        operation.setdefault("parameters", []).append(CONDITION)
