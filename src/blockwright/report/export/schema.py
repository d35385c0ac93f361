"""The published schema of the JSON that `fits --json` and `export` give (JSON Schema, draft 2020-12)."""

from __future__ import annotations

from importlib import resources

FILE = "assessment.schema.json"


def schema_text() -> str:
    """The schema, as text."""
    return resources.files(__package__).joinpath(FILE).read_text(encoding="utf-8")
