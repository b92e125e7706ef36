"""The demonstration job without its pictures: sealed with invented facts of the photo files."""

from __future__ import annotations

from functools import cache

from qa.assess.assessment import assess
from qa.assess.finding import Assessment
from qa.demo.diary import Script
from qa.demo.ledger import take_in
from qa.demo.script import demo_script
from qa.record.folder import disclosure_text, record_text
from qa.record.job import Job, fold
from qa.record.reading import Record, read_record
from qa.specification.loader import built_in
from tests.factories import photo_file


@cache
def script() -> Script:
    return demo_script()


@cache
def record() -> Record:
    return sealed(script())


@cache
def job() -> Job:
    """The job as it reads back from its text."""
    kept = record()
    return fold(read_record(record_text(kept.entries), disclosure_text(kept.disclosures)))


@cache
def assessment() -> Assessment:
    return assess(job(), built_in("general-grp/1"))


def sealed(written: Script) -> Record:
    return take_in(written.entries, {name: photo_file(name) for name, _ in written.pictures})
