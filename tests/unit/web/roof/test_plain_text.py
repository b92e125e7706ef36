"""Bodies of every kind typed as text and read back to the same JSON."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from qa.record.registry import BODIES, BODY_READERS, Kind
from qa.record.schema import written
from qa.services.plain_fields import PlainField, Shape, held_at, plain_fields, row_fields
from qa.web.roof.plain_text import read_plain, written_plain
from tests.examples import full, minimal

LONDON = ZoneInfo("Europe/London")
TYPED = [kind for kind in Kind if kind not in (Kind.CORRECTION, Kind.ANNOTATION)]
"""Marks are drawn, on a page of their own."""


@pytest.mark.parametrize("kind", TYPED)
@pytest.mark.parametrize("example", [full, minimal])
def test_typed_value_reads_back_to_itself(
    kind: Kind, example: Callable[[str], dict[str, Any]]
) -> None:
    body = written(BODY_READERS[kind](example(kind)))
    for field in _single_fields(kind, body):
        value = held_at(body, field.path)
        if value is None or field.shape in (Shape.CHOICE, Shape.YES_NO):
            continue
        typed = written_plain(field, value, LONDON)
        assert read_plain(field, typed, LONDON, value) == value, field.name


def _single_fields(kind: Kind, body: dict[str, Any]) -> Iterator[PlainField]:
    for field in plain_fields(BODIES[kind]):
        if field.shape is not Shape.ROWS:
            yield field
            continue
        for row in range(len(held_at(body, field.path) or ())):
            yield from row_fields(field, row)


@pytest.mark.parametrize("kind", TYPED)
def test_every_field_of_a_kind_is_on_the_form(kind: Kind) -> None:
    names = {field.path[0] for field in plain_fields(BODIES[kind])}
    left_out = set(full(kind)) - names
    assert left_out <= {"specification", "file", "sha256", "bytes", "media_type"}


def field_of(kind: Kind, name: str) -> PlainField:
    return next(field for field in plain_fields(BODIES[kind]) if field.name == name)


def test_erased_value_keeps_its_digest() -> None:
    held = {"digest": "0" * 64}
    field = field_of(Kind.JOB, "client_name")
    assert written_plain(field, held, LONDON) == "(erased)"
    assert read_plain(field, "(erased)", LONDON, held) == held
    assert read_plain(field, "(erased)", LONDON, None) == "(erased)"


@pytest.mark.parametrize(
    ("kind", "name", "typed"),
    [
        (Kind.AREA, "outline_m", "0, 0\n1"),
        (Kind.AREA, "outline_m", "0, zero\n1, 1"),
        (Kind.MIX, "kg", "4 kilos"),
        (Kind.MIX, "emptied_at", "half past ten"),
        (Kind.EXAMINATION, "thickness_mm", "2.1; x"),
    ],
)
def test_what_cannot_be_read_is_refused_in_words(kind: Kind, name: str, typed: str) -> None:
    with pytest.raises(ValueError, match=r"\.$"):
        read_plain(field_of(kind, name), typed, LONDON)


def test_time_is_typed_on_the_sites_clock() -> None:
    field = field_of(Kind.MIX, "emptied_at")
    assert written_plain(field, "2026-05-12T08:40:00+00:00", LONDON) == "2026-05-12T09:40"
    assert read_plain(field, "2026-05-12 09:40", LONDON) == "2026-05-12T09:40:00+01:00"
