"""What every operation of the API may answer besides what it is for."""

from typing import Any

PROBLEM = {
    "type": "object",
    "description": "A problem document (RFC 9457); `errors` has one entry per field path.",
    "required": ["type", "title", "status", "detail"],
    "properties": {
        "type": {"type": "string"},
        "title": {"type": "string"},
        "status": {"type": "integer"},
        "detail": {"type": "string"},
        "errors": {
            "type": "array",
            "items": {
                "type": "object",
                "required": ["field", "detail"],
                "properties": {"field": {"type": "string"}, "detail": {"type": "string"}},
            },
        },
    },
}


def with_problems(result: dict[str, Any], **_: Any) -> dict[str, Any]:
    """A hook of the schema's generator: refusals look alike everywhere (`studio.web.problems`)."""
    result["components"]["schemas"]["Problem"] = PROBLEM
    refused = {
        "description": "Refused, with the reason and what to do.",
        "content": {
            "application/problem+json": {"schema": {"$ref": "#/components/schemas/Problem"}}
        },
    }
    for item in result["paths"].values():
        for operation in item.values():
            operation["responses"].setdefault("4XX", refused)
    return result
