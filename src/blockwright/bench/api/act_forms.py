"""The body of an act as JSON Schema, made from `acts.kinds`: each kind's words, what they mean and which must be there."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.text import slugify

from blockwright.acts.kinds import KINDS, Kind, Shape, Word
from blockwright.bench.acting import KEY
from blockwright.bench.api.act_examples import EXAMPLES

TEXT: Mapping[str, Any] = {"type": "string"}
SHAPES: Mapping[Shape, Mapping[str, Any]] = {
    Shape.TEXT: TEXT,
    Shape.COUNT: {"type": "integer", "minimum": 0},
    Shape.YES: {"type": "boolean"},
    Shape.LIST: {"type": "array", "items": TEXT},
    Shape.TABLE: {"type": ["object", "array"]},
    Shape.LONG_TEXTS: {"type": "object", "additionalProperties": TEXT},
}
KEY_EXAMPLE, AT_EXAMPLE = "gauge-reader-7:000412", "2031-05-04T09:30:00+00:00"


def act_name(kind: str) -> str:
    """The name of a kind's form among the document's components."""
    return f"Act.{slugify(kind)}"


def act_forms() -> dict[str, Any]:
    """The form of an act of each kind, and `Act`, which is any of them."""
    forms = {act_name(each.name): _form(each) for each in KINDS.values()}
    refs = {each: f"#/components/schemas/{act_name(each)}" for each in KINDS}
    anything = {
        "description": "One act. The words differ by its kind.",
        "oneOf": [{"$ref": ref} for ref in refs.values()],
        "discriminator": {"propertyName": "kind", "mapping": refs},
    }
    return {**forms, "Act": anything}


def act_examples() -> dict[str, Any]:
    """A whole body for each kind, by name."""
    return {
        slugify(kind): {
            "summary": kind,
            "value": {"kind": kind, "words": dict(EXAMPLES[kind]), "key": KEY_EXAMPLE, "at": AT_EXAMPLE},
        }
        for kind in KINDS
    }


def _form(kind: Kind) -> dict[str, Any]:
    """Beside the kind and its words: the sender's mark, his time, and the PIN of a second pair of eyes, which is not kept."""
    required = [word.name for word in kind.words if word.required]
    words = {
        "type": "object",
        "properties": {word.name: _word(word) for word in kind.words},
        "additionalProperties": False,
        **({"required": required} if required else {}),
    }
    return {
        "title": kind.name,
        "description": f"{kind.doc} For a {kind.role.word} or higher.",
        "type": "object",
        "required": ["kind", "words", "key"],
        "properties": {
            "kind": {"const": kind.name},
            "words": words,
            "key": {
                "type": "string",
                "pattern": f"^{KEY.pattern}$",
                "description": "Your own mark of this act. The same again is answered with what was kept, and kept once.",
            },
            "at": {
                "type": "string",
                "format": "date-time",
                "description": "When it was done, with its zone; the bench's own time where not given.",
            },
            "pin": {"type": "string", "description": "PIN of a second pair of eyes that the words name; never kept."},
        },
    }


def _word(word: Word) -> dict[str, Any]:
    return {**SHAPES[word.shape], "description": word.doc}
