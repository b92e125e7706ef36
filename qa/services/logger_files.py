"""A logger's CSV file: taken, looked at as often as the layout is changed, saved as readings.

Nothing of it is in the record before it is saved. The ids of its entries follow from the job, the
file and the line, so that the same file twice is once.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO
from uuid import NAMESPACE_OID, uuid5

from qa.assess.frame import frame_of
from qa.errors import NotFoundError
from qa.record.fields import Json
from qa.record.kinds.supplies import Mix
from qa.record.registry import Kind
from qa.record.schema import written as as_json
from qa.services.access import Act, Actor, require
from qa.services.logger_csv import SAMPLE_BYTES, LoggerReading, first_lines, readings
from qa.services.logger_found import LoggerFound, find_in
from qa.services.logger_layout import (
    QUANTITIES,
    CsvLayout,
    Headed,
    find_layout,
    find_separator,
    headed,
    kept_layout,
)
from qa.services.logger_weighings import Weighed, weighings_of
from qa.services.logger_windows import WetWindow, wet_windows
from qa.services.reading import ReadJob
from qa.services.recording import Draft, record
from qa.store.csv_layouts import KeptCsvLayout, keep_layout, layout_of
from qa.store.logger_files import logger_file, put_logger_file
from qa.trade.notation import quantity_text
from qa.trade.vocabulary import Stage

if TYPE_CHECKING:
    from qa.services.installation import Installation

_NOT_THERE = (
    "This file is not here any more: it waits for a day. Choose it again on the job’s page."
)
DEVICE = "a logger, by its file"


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenLoggerFile:
    """A logger's file as it waits.

    Attributes:
        digest: SHA-256 of it.
        encoding: of its text.
        headings: of its columns, by the layout's separator.
        layout: the one that the firm keeps for these headings, or what the file itself tells.
        is_kept: whether the firm keeps it.
    """

    digest: str
    path: Path
    encoding: str
    headings: Headed
    layout: CsvLayout
    is_kept: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggerReceipt:
    """That one line of a file stands in the record.

    Attributes:
        repeated: whether it stood there before.
    """

    entry: str
    repeated: bool


def take_logger_file(
    installation: Installation, actor: Actor, stream: BinaryIO, *, now: datetime
) -> str:
    """Takes a file that is to be looked at, and answers its digest.

    Raises:
        NotAllowedError: the actor's roles do not allow it.
        RecordError: it is empty, no text, or holds no reading.
        StoreError: the disk is full or at fault.
    """
    require(actor, Act.RECORD_WORK)
    lines, _ = first_lines(stream.read(SAMPLE_BYTES))
    find_separator(lines)
    stream.seek(0)
    folder = installation.settings.logger_files
    return put_logger_file(folder, stream, firm_id=actor.firm_id, now=now)


def open_logger_file(
    installation: Installation,
    actor: Actor,
    read: ReadJob,
    digest: str,
    *,
    separator: str | None = None,
) -> OpenLoggerFile:
    """A file that waits, with the layout that is proposed for it.

    Args:
        installation: where.
        actor: who looks.
        read: the job, whose zone is taken for the clock where nothing else is kept.
        digest: of the file.
        separator: that a person chose, or None.

    Raises:
        NotFoundError: the firm has no such file waiting.
    """
    require(actor, Act.RECORD_WORK)
    folder = installation.settings.logger_files
    path = logger_file(folder, digest, firm_id=actor.firm_id)
    if path is None:
        raise NotFoundError(_NOT_THERE)
    with path.open("rb") as file:
        lines, encoding = first_lines(file.read(SAMPLE_BYTES))
    sign = separator or find_separator(lines)
    headings = headed(lines, sign)
    with installation.store.reading() as session:
        text = layout_of(session, headings.fingerprint, firm_id=actor.firm_id)
    kept = None if text is None else kept_layout(text)
    if kept is None or separator not in (None, kept.separator):
        kept = None
        layout = find_layout(lines, sign, clock=str(read.job.time_zone))
    else:
        layout, headings = kept, headed(lines, kept.separator)
    return OpenLoggerFile(
        digest=digest, path=path, encoding=encoding,
        headings=headings, layout=layout, is_kept=kept is not None,
    )  # fmt: skip


def windows_of(read: ReadJob) -> tuple[WetWindow, ...]:
    """The times of the job's wet work."""
    holds_h = read.specification.figures.reading_holds_h.value
    return wet_windows(read.job, holds=timedelta(hours=holds_h))


def look_into(opened: OpenLoggerFile, layout: CsvLayout, read: ReadJob) -> LoggerFound:
    """What a file holds for a job, read by a layout."""
    if layout.time is None:
        return LoggerFound()
    with opened.path.open("rb") as file:
        lines = readings(file, layout, encoding=opened.encoding, after=opened.headings.line)
        frame = frame_of(read.job, read.specification)
        within = timedelta(minutes=layout.weighed_within_min)
        weighings = weighings_of(frame, within=within)
        return find_in(lines, windows_of(read), read.specification, weighings)


def save_readings(
    installation: Installation,
    actor: Actor,
    read: ReadJob,
    opened: OpenLoggerFile,
    layout: CsvLayout,
    found: LoggerFound,
    *,
    area: str | None,
    instruments: Sequence[str],
    weighed: Collection[str] = (),
    now: datetime,
) -> tuple[LoggerReceipt, ...]:
    """Records the readings that were chosen, all or none, and keeps the layout for the next file.

    What a scale weighed puts right the mass of the entries that are named in `weighed`. A line that
    stands in the record stays as it is.

    Raises:
        RecordError, NotAllowedError, ConflictError: as `qa.services.recording.record`.
    """
    require(actor, Act.RECORD_WORK)
    about: dict[str, Json] = {"area": area, "instruments": list(instruments) or None}
    drafts = [_draft(read, opened.digest, stage, reading, about) for stage, reading in found.chosen]
    drafts += [
        _by_scale(read, opened.digest, one, now)
        for one in found.weighings.found
        if one.entry.id in weighed
    ]
    held = {entry.id for entry in read.record.entries}
    new = [draft for draft in drafts if draft.id not in held]
    receipts = record(installation, actor, read.id, new, now=now, device=DEVICE)
    fresh = {receipt.entry for receipt in receipts if not receipt.repeated}
    kept = KeptCsvLayout(
        id=installation.new_id(),
        firm_id=actor.firm_id,
        fingerprint=opened.headings.fingerprint,
        layout=layout.text,
        kept_at=now,
    )
    with installation.store.writing() as session:
        keep_layout(session, kept)
    return tuple(LoggerReceipt(entry=one.id, repeated=one.id not in fresh) for one in drafts)


def _by_scale(read: ReadJob, digest: str, one: Weighed, now: datetime) -> Draft:
    """The correction that puts a mass right, with the line of the file that says so."""
    reading = one.reading
    assert reading is not None
    field_name = "kg" if isinstance(one.entry.body, Mix) else "used"
    local = reading.at.astimezone(read.job.time_zone)
    reason = (
        f"Weighed: {quantity_text(one.mass_kg or 0.0, 'kg')} at {local:%H:%M:%S} on "
        f"{local.day} {local:%B %Y}, line {reading.row} of the scale’s file, SHA-256 {digest}."
    )
    return Draft(
        id=str(uuid5(NAMESPACE_OID, f"{read.id}/{digest}/{reading.row}/{one.entry.id}")),
        kind=Kind.CORRECTION,
        at=now.astimezone(read.job.time_zone).replace(microsecond=0),
        body={
            "corrects": one.entry.id,
            "reason": reason,
            "body": as_json(one.entry.body) | {field_name: one.mass_kg},
        },
        at_is_reckoned=True,
    )


def _draft(
    read: ReadJob, digest: str, stage: Stage, reading: LoggerReading, about: dict[str, Json]
) -> Draft:
    figures: dict[str, Json] = {name: getattr(reading, name) for name in QUANTITIES}
    body: dict[str, Json] = {"stage": stage.value, **about, **figures}
    return Draft(
        id=str(uuid5(NAMESPACE_OID, f"{read.id}/{digest}/{reading.row}")),
        kind=Kind.CONDITIONS,
        at=reading.at.astimezone(read.job.time_zone),
        body={name: value for name, value in body.items() if value is not None},
    )
