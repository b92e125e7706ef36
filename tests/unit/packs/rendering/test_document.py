from __future__ import annotations

from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest

from qa.errors import PackError
from qa.packs.rendering import Attachment, Document
from tests.unit.packs.rendering.small import DATED

GOOD = {"html": "<p>", "title": "T", "author": "A", "subject": "S", "dated": DATED}


def attachment(name: str = "record.jsonl", content: bytes = b"{}") -> Attachment:
    return Attachment(
        name=name, content=content, media_type="application/json", description="The record"
    )


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("title", "  ", "title"),
        ("dated", datetime(2026, 5, 14, 9, 30), "UTC"),  # noqa: DTZ001 - the fault itself
        ("dated", datetime(2026, 5, 14, tzinfo=timezone(timedelta(hours=1))), "UTC"),
        ("photos", {"../x": Path("x.jpg")}, "64 hexadecimal"),
        ("attachments", (attachment(), attachment(content=b"[]")), "one name"),
        ("attachments", (attachment(), attachment("b.json")), "same bytes"),
    ],
)
def test_document_refuses_what_it_cannot_print(field: str, value: object, words: str) -> None:
    with pytest.raises(PackError, match=words):
        Document(**(GOOD | {field: value}))  # type: ignore[arg-type]


def test_document_keeps_whole_seconds_only() -> None:
    document = Document(**(GOOD | {"dated": DATED.replace(microsecond=7)}))  # type: ignore[arg-type]
    assert document.dated == DATED


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("name", ""),
        ("name", "../record.jsonl"),
        ("name", "a\\b"),
        ("media_type", "text"),
        ("media_type", "text/html; charset=utf-8"),
        ("relationship", "Friend"),
    ],
)
def test_attachment_refuses_what_no_reader_knows(field: str, value: str) -> None:
    good = {"name": "a.json", "content": b"", "media_type": "application/json", "description": "A"}
    with pytest.raises(PackError):
        Attachment(**(good | {field: value}))  # type: ignore[arg-type]
