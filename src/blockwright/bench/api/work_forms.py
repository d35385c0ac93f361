"""The form of an engine at work as JSON Schema, made from the records that it is told in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import TypeAdapter

from blockwright.report.work.as_json import FORMAT
from blockwright.running.work.result import Work


def work_forms(components: str) -> Mapping[str, Any]:
    """The form of a result as components: `Work`, and each of its records as `Work.HotFit` and so on."""
    form = TypeAdapter(Work).json_schema(ref_template=f"{components}Work.{{model}}", mode="serialization")
    parts = {f"Work.{name}": _open(part) for name, part in form.pop("$defs").items()}
    head = {"format": {"const": FORMAT}, "program": {"type": "string"}}
    form["properties"] = {**head, **form["properties"]}
    form["required"] = [*head, *form.get("required", ())]
    return {"Work": _open(form), **parts}


def _open(form: dict[str, Any]) -> dict[str, Any]:
    """The form with null beside each number: one that is not finite is null in JSON."""
    properties = {name: _or_null(part) for name, part in form.get("properties", {}).items()}
    return {**form, **({"properties": properties} if properties else {})}


def _or_null(part: dict[str, Any]) -> dict[str, Any]:
    if part.get("type") == "number":
        return {**part, "type": ["number", "null"]}
    if part.get("type") == "array" and isinstance(part.get("items"), dict):
        return {**part, "items": _or_null(part["items"])}
    return part
