"""Server time of a job's page at two thousand entries, right after an entry has been added."""

from __future__ import annotations

import statistics
import tempfile
import time
from collections.abc import Iterable
from pathlib import Path

from qa import create_app
from qa.services.access import Actor, Role
from qa.services.installation import open_installation
from qa.services.taking_in import take_job_in
from qa.settings import Settings
from qa.store.tables import FirmRow
from qa.web.frame import SignIn, use_sign_in
from tests.bench.assess import written
from tests.bench.ledger import BODIES, START, append
from tests.bench.line import BenchLine

ENTRIES = 2_000
ROUNDS = 15
ACTOR = Actor(firm_id="firm", person_id="person", key="ines", name="Ines", roles=frozenset(Role))


ANEW, BEFORE = "judged anew", "judged before"
PAGES = {"page": "/jobs/{job}", "page at the desk": "/desk/jobs/{job}"}
LIMITS_MS = {
    ("page", ANEW): 100.0,
    ("page", BEFORE): 100.0,
    # With every stage told and every chart drawn, once for each state of the record.
    ("page at the desk", ANEW): 500.0,
    ("page at the desk", BEFORE): 100.0,
}


def run() -> Iterable[BenchLine]:
    """Each page with its assessment made anew, and the same page once more."""
    with tempfile.TemporaryDirectory() as folder:
        settings = Settings(instance=Path(folder) / "instance")
        installation = open_installation(settings)
        with installation.store.writing() as session:
            session.add(FirmRow(id="firm", name="Invented firm", created_at=START))
        source = written(Path(folder) / "job", ENTRIES)
        job = take_job_in(installation, firm_id="firm", folder=source, now=START)
        app = create_app(settings, installation=installation)
        use_sign_in(app, SignIn(recognise=lambda: ACTOR, ask=lambda held: ("", 401)))
        client = app.test_client()
        times: dict[tuple[str, str], list[float]] = {}
        for number in range(ROUNDS * len(PAGES)):
            page, address = list(PAGES.items())[number % len(PAGES)]
            append(installation, job, *BODIES[0], number, actor=ACTOR)
            for when in (ANEW, BEFORE):
                took = _milliseconds(client, address.format(job=job))
                times.setdefault((page, when), []).append(took)
    for (page, when), taken in times.items():
        figure, limit_ms = statistics.median(taken), LIMITS_MS[page, when]
        yield BenchLine(
            name=f"server time of the {page} of a job of {ENTRIES} entries, {when}",
            figure=figure,
            unit="ms",
            reference=limit_ms,
            ratio=figure / limit_ms,
            bound=1.0,
        )


def _milliseconds(client: object, path: str) -> float:
    began = time.perf_counter()
    answer = client.get(path)  # type: ignore[attr-defined]
    elapsed = time.perf_counter() - began
    assert answer.status_code == 200, answer.status
    return elapsed * 1000
