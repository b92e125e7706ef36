"""The two jobs that are shown: the whole demonstration, and the same on the morning of its work."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from PIL import Image

from qa.demo.calendar import MAIN_DAY, moment
from qa.demo.ledger import take_in as seal_script
from qa.demo.making import make_folder
from qa.demo.script import demo_script
from qa.record.folder import write_folder
from qa.record.kinds.papers import Photo
from qa.record.sealing import PhotoFile
from qa.services.access import Role
from qa.services.carried import folder_specification
from qa.services.loading import load_job
from qa.services.taking_in import take_in
from qa.settings import read_settings
from qa.web import clock
from tests.flow.browser import ServedSite

MORNING = moment(MAIN_DAY, "10:20")
"""Some bays of the main roof are laid, and the rain has not come yet."""


def demo_folder() -> Path:
    """The demonstration's folder, made where it is not there yet."""
    folder = read_settings(os.environ, home=Path.home()).demo / "job"
    make_folder(folder)
    return folder


def put_whole_job(site: ServedSite, folder: Path) -> str:
    """Takes the demonstration in, and answers the job's id."""
    return take_in(site.installation, site.actor(Role.OWNER), folder, now=clock.now())


def put_job_in_hand(site: ServedSite, folder: Path, place: Path) -> str:
    """Takes the demonstration in as it stood in the morning, and answers the job's id.

    Args:
        site: where.
        folder: the demonstration's folder.
        place: an empty folder to write the shorter job into.
    """
    loaded = load_job(folder, named=folder_specification)
    written = [entry for entry in demo_script().entries if entry.at < MORNING]
    files = {name: _file(path) for name, path in loaded.folder.photos}
    record = seal_script([replace(entry, arrives_at=None) for entry in written], files)
    named = {entry.body.file for entry in record.entries if isinstance(entry.body, Photo)}
    photos = [(name, path) for name, path in loaded.folder.photos if name in named]
    write_folder(record, photos, place / "job")
    return take_in(site.installation, site.actor(Role.OWNER), place / "job", now=clock.now())


def put_job_of_small_photos(site: ServedSite, place: Path, *, until: datetime | None = None) -> str:
    """Takes the demonstration in with a small patch for each photo, which takes but a moment.

    Args:
        site: where.
        place: an empty folder to write the job into.
        until: only what was written before; None for the whole.
    """
    written = [
        replace(entry, arrives_at=None)
        for entry in demo_script().entries
        if until is None or entry.at < until
    ]
    names = [entry.body.file for entry in written if isinstance(entry.body, Photo)]
    photos = [(name, _patch(place / f"{number}.jpg", number)) for number, name in enumerate(names)]
    files = {name: _file(path) for name, path in photos}
    write_folder(seal_script(written, files), photos, place / "job")
    return take_in(site.installation, site.actor(Role.OWNER), place / "job", now=clock.now())


def _file(path: Path) -> PhotoFile:
    content = path.read_bytes()
    digest = hashlib.sha256(content).hexdigest()
    return PhotoFile(sha256=digest, bytes=len(content), media_type="image/jpeg")


def _patch(path: Path, number: int) -> Path:
    """A picture of one colour, no two of them the same."""
    colour = (40 + number % 200, 90 + number // 200, 120)
    Image.new("RGB", (64, 48), colour).save(path, "JPEG", quality=95)
    return path


@contextmanager
def clock_at(now: datetime) -> Iterator[None]:
    """Lets the site's clock stand at a time while the block runs."""
    real = clock.now
    clock.now = lambda: now.astimezone(UTC)
    try:
        yield
    finally:
        clock.now = real
