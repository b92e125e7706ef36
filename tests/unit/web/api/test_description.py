"""The description of the interface: valid OpenAPI 3.1, whole, and true to the record's format."""

from __future__ import annotations

import re
from typing import Any

import pytest
from flask import Flask
from jsonschema import Draft202012Validator
from openapi_spec_validator import OpenAPIV31SpecValidator
from werkzeug.routing import Rule

from qa.record.describing import body_schema
from qa.record.registry import BODIES, Kind
from qa.web.api.description import description
from tests.examples import full, minimal

OF_THE_LEDGER = {"bytes", "media_type"}


def routes(app: Flask) -> set[tuple[str, str]]:
    found = set()
    for rule in app.url_map.iter_rules():
        if rule.endpoint.startswith("api."):
            for method in (rule.methods or set()) - {"OPTIONS"}:
                found.add((described(rule), method.lower()))
    return found


def described(rule: Rule) -> str:
    return re.sub(r"<(?:[^<>:]*:)?(\w+)>", r"{\1}", rule.rule.removeprefix("/api/v1"))


def operations() -> set[tuple[str, str]]:
    return {(path, method) for path, item in description()["paths"].items() for method in item}


def test_description_is_valid() -> None:
    OpenAPIV31SpecValidator(description()).validate()


def test_every_route_is_described_and_nothing_else(app: Flask) -> None:
    # Whoever may GET may HEAD; only the protocol of uploads says more of it.
    implied = {(path, "head") for path, method in routes(app) if method == "get"}
    assert routes(app) - implied <= operations()
    assert operations() <= routes(app)


def test_description_is_served_to_anyone(app: Flask) -> None:
    answer = app.test_client().get("/api/v1/openapi.json")
    assert (answer.status_code, answer.json) == (200, description())


def without_the_ledgers(kind: str, body: dict[str, Any]) -> dict[str, Any]:
    left_out = OF_THE_LEDGER if kind == "photo" else set()
    return {name: value for name, value in body.items() if name not in left_out}


@pytest.mark.parametrize("kind", [kind.value for kind in BODIES])
@pytest.mark.parametrize("example", [full, minimal])
def test_schema_takes_what_the_format_takes(kind: str, example: Any) -> None:
    schema = Draft202012Validator(body_schema(Kind(kind)))
    schema.validate(without_the_ledgers(kind, example(kind)))


@pytest.mark.parametrize(
    ("kind", "change"),
    [
        ("mix", {"kg": 0}),
        ("mix", {"kg": 5001}),
        ("mix", {"kg": "3"}),
        ("mix", {"colour": "grey"}),
        ("conditions", {"stage": "paint"}),
        ("conditions", {"humidity_pct": 101}),
        ("examination", {"bay": "row 2"}),
        ("area", {"outline_m": [[0, 0], [1, 0]]}),
        ("job", {"crew": []}),
    ],
)
def test_schema_refuses_what_the_format_refuses(kind: str, change: dict[str, Any]) -> None:
    schema = Draft202012Validator(body_schema(Kind(kind)))
    assert not schema.is_valid(minimal(kind) | change)


@pytest.mark.parametrize("kind", [kind.value for kind in BODIES])
def test_schema_asks_for_what_the_format_asks_for(kind: str) -> None:
    schema = Draft202012Validator(body_schema(Kind(kind)))
    for name in body_schema(Kind(kind))["required"]:
        left = {other: value for other, value in minimal(kind).items() if other != name}
        assert not schema.is_valid(left), name
