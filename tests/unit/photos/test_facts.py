"""A fact that exists is a valid one."""

from __future__ import annotations

from datetime import datetime

import pytest

from qa.photos.facts import CameraFacts, PhotoFacts

DIGEST = "ab" * 32


def _facts(**changed: object) -> PhotoFacts:
    fields: dict[str, object] = {
        "sha256": DIGEST,
        "bytes": 1,
        "media_type": "image/jpeg",
        "width_px": 1,
        "height_px": 1,
    }
    return PhotoFacts(**(fields | changed))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "changed",
    [
        {"sha256": DIGEST.upper()},
        {"sha256": DIGEST[:-1]},
        {"bytes": 0},
        {"width_px": 0},
        {"height_px": -1},
        {"orientation": 0},
        {"orientation": 9},
    ],
)
def test_impossible_facts_are_refused(changed: dict[str, object]) -> None:
    with pytest.raises(ValueError, match=r"must be|at least one"):
        _facts(**changed)


def test_instant_without_an_offset_is_refused() -> None:
    with pytest.raises(ValueError, match="no offset"):
        CameraFacts(taken_at=datetime(2026, 5, 12))  # noqa: DTZ001  # what must be refused


def test_facts_cannot_be_changed() -> None:
    with pytest.raises(AttributeError):
        _facts().bytes = 2  # type: ignore[misc]
