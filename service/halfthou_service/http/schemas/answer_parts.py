"""Parts that the JSON Schemas of answers are made of."""

from __future__ import annotations

from typing import Any

from halfthou_specdb.records import GRADES

Schema = dict[str, Any]
TEXT: Schema = {"type": "string"}
TEXTS: Schema = {"type": "array", "items": TEXT}
FLAG: Schema = {"type": "boolean"}
COUNT: Schema = {"type": "integer", "minimum": 0}
NUMBER: Schema = {"type": "number"}
CHANCE: Schema = {"type": ["number", "null"], "minimum": 0, "maximum": 1}
MAYBE_TEXT: Schema = {"type": ["string", "null"]}
MAYBE_NUMBER: Schema = {"type": ["number", "null"]}
GRADE: Schema = {"type": "string", "enum": list(GRADES)}


def ref(name: str) -> Schema:
    """A reference to a named schema."""
    return {"$ref": f"#/components/schemas/{name}"}


def maybe(name: str) -> Schema:
    """A named schema, or null."""
    return {"oneOf": [ref(name), {"type": "null"}]}


def many(schema: Schema) -> Schema:
    """A list."""
    return {"type": "array", "items": schema}


def one_of(*words: str) -> Schema:
    """One of a few words."""
    return {"type": "string", "enum": list(words)}


def by_name(schema: Schema) -> Schema:
    """An object whose fields all look alike."""
    return {"type": "object", "additionalProperties": schema}


def record(optional: Schema | None = None, **fields: Schema) -> Schema:
    """An object with fields that are always there; answers may gain fields, so more are allowed."""
    return {"type": "object", "properties": fields | (optional or {}), "required": list(fields)}


def listed(name: str) -> Schema:
    """A page of a list."""
    return record({"next": TEXT}, items=many(ref(name)))
