"""The chapter on what came between and what was changed: it gathers the sections."""

from __future__ import annotations

from dataclasses import dataclass

from qa.packs.source import PackSource
from qa.packs.warranty.changes import CorrectionStory, LateEntry, corrections, late_entries
from qa.packs.warranty.citing import Citing
from qa.packs.warranty.course import (
    CaseStory,
    Decision,
    Event,
    decisions,
    interruptions,
    nonconformities,
    notes,
)

SECTIONS = (
    ("events-interruptions", "Interruptions"),
    ("events-nonconformities", "Nonconformities"),
    ("events-decisions", "Sign-offs and releases"),
    ("events-corrections", "Corrections and withdrawals"),
    ("events-late", "Late entries"),
    ("events-notes", "Notes and what came after"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Events:
    """What the chapter shows.

    Attributes:
        is_sealed: whether arrivals are known at all.
    """

    interruptions: tuple[Event, ...]
    nonconformities: tuple[CaseStory, ...]
    decisions: tuple[Decision, ...]
    corrections: tuple[CorrectionStory, ...]
    late: tuple[LateEntry, ...]
    notes: tuple[Event, ...]
    is_sealed: bool


def events(source: PackSource, citing: Citing) -> Events:
    """What happened beside the work, and what was changed afterwards."""
    return Events(
        interruptions=interruptions(source, citing),
        nonconformities=nonconformities(source, citing),
        decisions=decisions(source, citing),
        corrections=corrections(source, citing),
        late=late_entries(source, citing),
        notes=notes(source, citing),
        is_sealed=source.record.is_sealed,
    )
