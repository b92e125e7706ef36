"""Making the demonstration: its folder, its assessment and its packs."""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path

from qa.demo.drawing import draw_all
from qa.demo.in_site import put_in_site
from qa.demo.ledger import take_in
from qa.demo.made_folder import is_whole, mark_of, recipe
from qa.demo.script import demo_script
from qa.demo.telling import told
from qa.errors import UsageError
from qa.record.folder import write_folder
from qa.services.loading import Progress
from qa.services.packing import PackKind, pack_source, write_pack
from qa.settings import Settings


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoMade:
    """What was made, and what to tell of it.

    Attributes:
        folder: the job folder.
        packs: the PDFs, in the order of `PackKind`.
        text: for the terminal.
    """

    folder: Path
    packs: tuple[Path, ...]
    text: str


def make_demo(settings: Settings, *, now: datetime, progress: Progress | None = None) -> DemoMade:
    """Makes the demonstration: job, packs, and both in the site; a folder that is whole is kept.

    Args:
        settings: says where.
        now: the time at which the site takes the job in.
        progress: told what is being done and how far it is.

    Raises:
        UsageError: the place cannot be written to, or holds a folder that is not the demo's.
        StoreError: the site's database or folders cannot be used.
    """
    folder = settings.demo / "job"
    make_folder(folder, progress=progress)
    source = pack_source(folder, renditions=settings.renditions, progress=progress)
    packs = tuple(settings.demo / f"{kind}.pdf" for kind in PackKind)
    for kind, out in zip(PackKind, packs, strict=True):
        write_pack(kind, source, out, progress=progress)
    site = put_in_site(settings, folder, now=now)
    return DemoMade(folder=folder, packs=packs, text=told(source.assessment, folder, packs, site))


def make_folder(folder: Path, *, progress: Progress | None = None) -> bool:
    """Makes the demonstration's job folder where it is not there whole; answers whether it did.

    Args:
        folder: the folder; its mark lies beside it.
        progress: as `make_demo`.

    Raises:
        UsageError: as `make_demo`.
    """
    mark, made_by = folder.with_name(f"{folder.name}.sha256"), recipe()
    if is_whole(folder, mark, made_by):
        return False
    if folder.exists() and not mark.exists():
        raise UsageError(
            f"{folder} is there and was not made by this command; move it away and try again. "
            "Nothing was written."
        )
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".making-", dir=folder.parent) as place:
            made = _make(Path(place), progress)
            _put(made, folder, mark, mark_of(made, made_by))
    except OSError as error:
        raise UsageError(
            f"{folder.parent} cannot be written to: {error.strerror}: "
            f"{error.filename or folder.parent}; make room there, or name another instance folder."
        ) from error
    return True


def _make(place: Path, progress: Progress | None) -> Path:
    """Draws, seals and writes the folder inside `place`."""
    script = demo_script()
    drawn = partial(progress, "drawing the pictures") if progress else None
    facts = draw_all(place, progress=drawn)
    record = take_in(script.entries, facts)
    made = place / "job"
    write_folder(record, [(name, place / name) for name in facts], made)
    return made


def _put(made: Path, folder: Path, mark: Path, content: str) -> None:
    """Puts a new folder in an older one's place, its mark first."""
    new_mark = made.with_name("mark")
    new_mark.write_text(content, encoding="utf-8")
    new_mark.replace(mark)
    if folder.exists():
        folder.rename(made.with_name("old"))
        shutil.rmtree(made.with_name("old"))
    made.rename(folder)
