"""Lists, search and batch trace of a firm with five thousand jobs, to one with five hundred."""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from itertools import islice
from pathlib import Path

from flask.testing import FlaskClient
from sqlalchemy import Connection

from qa import create_app
from qa.record.reading import Record
from qa.services.access import Actor, Role
from qa.services.finding_words import words_in
from qa.services.installation import Installation, open_installation
from qa.services.reading import read_any_job
from qa.services.summarising import summary_of
from qa.services.taking_in import take_job_in
from qa.settings import Settings
from qa.store import ledger, summaries
from qa.store.batches import batch_key
from qa.store.summary_lines import FindingLine, LotLine, ReleaseLine, Summary, WordLine
from qa.store.tables import FirmRow
from qa.web.frame import SignIn, use_sign_in
from tests.bench.assess import written
from tests.bench.ledger import START
from tests.bench.line import BenchLine

FEW, MANY = 500, 5_000
ENTRIES = 100
ROUNDS = 21
AT_ONCE = 100
"""Jobs in one transaction."""
SHARING = 20
"""Jobs that hold the same batch."""
ACTOR = Actor(firm_id="firm", person_id="person", key="omar", name="Omar", roles=frozenset(Role))
LISTS = ("/", "/desk", "/desk/releases", "/desk/findings", "/desk/late", "/desk/packs",
         "/desk/batches", "/desk/drift")  # fmt: skip
AUDIT = "/desk/audit?since=2020-01-01"
"""No list: it draws a sample from all complete jobs, so it grows with them."""
LIST_MS, TRACE_MS, SEARCH_MS = 50.0, 100.0, 150.0
SEARCHES = ("lane", "invented roof", "b 00142", "R-2", "ines lane 12")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """The job of which all others are copies but for what lists show."""

    record: Record
    summary: Summary


def run() -> Iterable[BenchLine]:
    """Every figure; the jobs are made first, which takes a few minutes."""
    with tempfile.TemporaryDirectory() as folder:
        few, many = (_served(Path(folder) / str(jobs), jobs) for jobs in (FEW, MANY))
        for path in LISTS:
            of_few, of_many = _medians_ms((few, many), path)
            yield _bounded(f"list {path} of {MANY} jobs", of_many, LIST_MS)
            yield BenchLine(
                name=f"list {path} of {MANY} jobs, to {FEW}",
                figure=of_many,
                unit="ms",
                reference=of_few,
                ratio=of_many / of_few,
                bound=1.3,
            )
        (drawn,) = _medians_ms((many,), AUDIT)
        yield _bounded(f"audit drawn from the complete ones of {MANY} jobs", drawn, LIST_MS)
        (traced,) = _medians_ms((many,), "/desk/batches/R-2")
        yield _bounded(f"trace of a batch in {SHARING} jobs of {MANY}", traced, TRACE_MS)
        for text in SEARCHES:
            (found,) = _medians_ms((many,), f"/desk/search?q={text}")
            yield _bounded(f"search for “{text}” among {MANY} jobs", found, SEARCH_MS)


def _bounded(name: str, figure: float, limit: float) -> BenchLine:
    return BenchLine(
        name=name, figure=figure, unit="ms", reference=limit, ratio=figure / limit, bound=1.0
    )


def _served(folder: Path, jobs: int) -> FlaskClient:
    """A browser at the site of a firm with so many jobs."""
    settings = Settings(instance=folder)
    installation = open_installation(settings)
    with installation.store.writing() as session:
        session.add(FirmRow(id="firm", name="Invented firm", created_at=START))
    fill(installation, folder, jobs)
    app = create_app(settings, installation=installation)
    use_sign_in(app, SignIn(recognise=lambda: ACTOR, ask=lambda held: ("", 401)))
    return app.test_client()


def fill(installation: Installation, folder: Path, jobs: int) -> None:
    """Makes jobs through the store, each with a whole record and its summary."""
    pattern = _pattern(installation, folder)
    numbers = iter(range(1, jobs))
    began = time.perf_counter()
    while some := list(islice(numbers, AT_ONCE)):
        with installation.store.adding() as database:
            for number in some:
                _add(database, pattern, number)
    sys.stderr.write(f"{jobs} jobs made in {time.perf_counter() - began:.0f} s\n")


def _pattern(installation: Installation, folder: Path) -> Pattern:
    source = written(folder / "job", ENTRIES)
    job = take_job_in(installation, firm_id="firm", folder=source, now=START)
    read = read_any_job(installation, firm_id="firm", job_id=job)
    return Pattern(record=read.record, summary=summary_of(read.record, read.specification))


def _add(database: Connection, pattern: Pattern, number: int) -> None:
    """One job: its own reference, address, batches, times; the entries are those of the pattern."""
    job_id, shift = f"job-{number}", timedelta(minutes=number)
    opening = pattern.summary.job
    line = replace(
        opening,
        reference=f"B-{number:05}",
        last_received_at=opening.last_received_at + shift,
        complete=number % 4 == 0,
    )
    address = f"{number} Lane {number % 50}"
    summary = replace(
        pattern.summary,
        job=line,
        findings=tuple(_findings(number, shift)),
        lots=tuple(_lots(pattern.summary.lots, number)),
        releases=_releases(number, shift),
        words=tuple(
            WordLine(word=word)
            for word in sorted(
                {*words_in(f"{line.reference} {line.title} {address} Ines Invented")}
            )
        ),
    )
    disclosures = tuple(
        replace(d, value=address) if d.field == opening.address_field else d
        for d in pattern.record.disclosures
    )
    summaries.open_job_row(
        database, job_id=job_id, firm_id="firm", opening_id=job_id, line=summary.job
    )
    ledger.append(database, job_id=job_id, entries=pattern.record.entries, disclosures=disclosures)
    summaries.put_whole(database, job_id=job_id, firm_id="firm", summary=summary)


def _lots(lots: Iterable[LotLine], number: int) -> Iterator[LotLine]:
    """Batches of which some jobs in a row hold the same ones."""
    for lot in lots:
        batch = f"{lot.lot[0].upper()}-{number // SHARING}"
        yield replace(lot, batch_number=batch, batch_key=batch_key(batch))


def _findings(number: int, shift: timedelta) -> Iterator[FindingLine]:
    """Two things outside in every third job, and something late in every fourth."""
    kinds = [("deck.moisture", False), ("mix.dose", False)] if number % 3 == 0 else []
    kinds += [("record.timely", True)] if number % 4 == 0 else []
    for check, late in kinds:
        yield FindingLine(
            check=check, stage="laminate", area="area-0", bay="", subject="mix-1", entry_id=None,
            exact=f"{check}: 40; limit 18 at most; outside limits.", late=late,
            noted_at=START + shift,
        )  # fmt: skip


def _releases(number: int, shift: timedelta) -> tuple[ReleaseLine, ...]:
    if number % 5:
        return ()
    return (ReleaseLine(stage="deck", signed_at=START + shift, signed_by="ines"),)


def _medians_ms(clients: Sequence[FlaskClient], path: str) -> list[float]:
    """Of some rounds in turn, after one that warms up."""
    times: list[list[float]] = [[] for _ in clients]
    for _ in range(ROUNDS + 1):
        for client, of_client in zip(clients, times, strict=True):
            began = time.perf_counter()
            answer = client.get(path)
            of_client.append(time.perf_counter() - began)
            assert answer.status_code == 200, (path, answer.status)
    return [statistics.median(of_client[1:]) * 1000 for of_client in times]
