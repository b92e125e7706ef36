"""The interface described (OpenAPI 3.1): paths kept by hand, entries read off the format's classes.

`description.json` beside this module is the part that is kept by hand; a test walks the site's own
routes, so that none is missing there and none is described that is not.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any, cast

from flask import Response, jsonify

from qa.record.describing import body_schema, entry_schema
from qa.record.registry import Kind
from qa.services.packing import PackKind
from qa.web.api.routing import blueprint

_BY_HAND = Path(__file__).with_name("description.json")
_NOT_SENT = frozenset({Kind.JOB, Kind.ERASURE})
"""Kinds that a program does not send: a job is begun, and values are erased, by a person."""


@blueprint.get("/openapi.json", endpoint="description")
def send_description() -> Response:
    """The description, for anyone: it tells nothing of anybody's jobs."""
    return jsonify(description())


@cache
def description() -> dict[str, Any]:
    """The whole description."""
    whole = cast("dict[str, Any]", json.loads(_BY_HAND.read_text(encoding="utf-8")))
    kinds = [kind for kind in Kind if kind not in _NOT_SENT]
    references = {kind: f"#/components/schemas/entry_{kind.value}" for kind in kinds}
    whole["components"]["schemas"] |= {
        "pack_kind": {"enum": [kind.value for kind in PackKind]},
        "entry": {
            "oneOf": [{"$ref": reference} for reference in references.values()],
            "discriminator": {
                "propertyName": "kind",
                "mapping": {kind.value: reference for kind, reference in references.items()},
            },
        },
        **{f"entry_{kind.value}": entry_schema(kind) for kind in kinds},
        **{f"body_{kind.value}": body_schema(kind) for kind in kinds},
    }
    return whole
