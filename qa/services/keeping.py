"""Judging jobs of the installation, and making their packs, for whoever keeps it."""

from __future__ import annotations

from pathlib import Path

from qa.assess.finding import Assessment
from qa.packs.source import PackSource
from qa.photos.intake import read_facts
from qa.record.marked import drawn_upon
from qa.services.installation import Installation
from qa.services.loading import Progress
from qa.services.packing import PROGRAM, PackKind, pack_photos, require_writable, write_pack
from qa.services.reading import read_any_job
from qa.services.taking_out import job_of_reference, original_files


def assess_kept_job(installation: Installation, *, firm_id: str, reference: str) -> Assessment:
    """The assessment of a firm's job, by its reference.

    Raises:
        NotFoundError: the firm has no such job.
    """
    job_id = job_of_reference(installation, firm_id=firm_id, reference=reference)
    return read_any_job(installation, firm_id=firm_id, job_id=job_id).assessment


def pack_kept_job(
    installation: Installation,
    kind: PackKind,
    out: Path,
    *,
    firm_id: str,
    reference: str,
    progress: Progress | None = None,
) -> None:
    """Makes one pack of a firm's job, by its reference, and writes it to `out`.

    Raises:
        LaidtrueError: as `qa.services.packing.make_pack`, or the firm has no such job.
    """
    require_writable(out)
    job_id = job_of_reference(installation, firm_id=firm_id, reference=reference)
    read = read_any_job(installation, firm_id=firm_id, job_id=job_id)
    files = original_files(installation, read.record)
    photos = [(path, read_facts(path, name=name), name) for name, path in files]
    source = PackSource(
        record=read.record,
        job=read.job,
        specification=read.specification,
        specification_bytes=read.specification_bytes,
        assessment=read.assessment,
        photos=pack_photos(
            photos,
            renditions=installation.settings.renditions,
            drawn=drawn_upon(read.job),
            progress=progress,
        ),
        program=PROGRAM,
    )
    write_pack(kind, source, out, progress=progress)
