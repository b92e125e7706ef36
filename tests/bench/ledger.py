"""Appending an entry through the service, to a bare durable insert into the same file."""

from __future__ import annotations

import sqlite3
import statistics
import tempfile
import time
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from pathlib import Path

from qa.record.registry import Kind
from qa.services.access import Actor, Role
from qa.services.installation import Installation, open_installation
from qa.services.recording import Draft, record
from qa.services.starting import start_job
from qa.settings import Settings
from qa.store.tables import FirmRow
from tests.bench.line import BenchLine

START = datetime(2026, 5, 12, 7, 30, tzinfo=UTC)
WARM_UP, ROUNDS = 200, 800
SHORT, LONG = 1_000, 10_000
PROBES = 200
ACTOR = Actor(firm_id="firm", person_id="person", key="nell", name="Nell", roles=frozenset(Role))
BODIES = (
    (Kind.CONDITIONS, {"stage": "laminate", "air_c": 14.5, "humidity_pct": 62, "deck_c": 13}),
    (
        Kind.MIX,
        {
            "stage": "laminate",
            "area": "main",
            "lot": "resin-1",
            "kg": 5,
            "catalyst_lot": "cat-1",
            "catalyst_ml": 150,
            "deck_c": 13.5,
            "bays": ["r1b1", "r1b2"],
        },
    ),
    (
        Kind.EXAMINATION,
        {
            "area": "main",
            "bay": "r1b1",
            "wet_out": "transparent",
            "pinholes": 0,
            "examined_m2": 1,
        },
    ),
    (
        Kind.MEASUREMENT,
        {"stage": "deck", "check": "deck.moisture", "value": 14, "unit": "%", "area": "main"},
    ),
)


def run() -> Iterable[BenchLine]:
    """Both figures of the ledger."""
    with tempfile.TemporaryDirectory() as folder:
        installation = open_installation(Settings(instance=Path(folder)))
        with installation.store.writing() as session:
            session.add(FirmRow(id="firm", name="Invented firm", created_at=START))
        yield _to_bare_insert(installation, _job(installation, "bench-1"), Path(folder))
        yield _growth(installation, _job(installation, "bench-2"))


def _job(installation: Installation, reference: str) -> str:
    opening = {
        "job": reference,
        "title": "An invented roof",
        "specification": "general-grp/1",
        "time_zone": "Europe/London",
        "firm": {"name": "Invented firm"},
        "client": {"name": "Nobody"},
        "site": {"address": "Nowhere 1"},
        "crew": [{"person": "nell", "name": "Nell", "role": "installer"}],
    }
    identifier = installation.new_id()
    job = start_job(installation, ACTOR, opening, entry_id=identifier, at=START, now=START)
    area = {
        "area": "main",
        "name": "Main roof",
        "outline_m": [[0, 0], [6, 0], [6, 4], [0, 4]],
        "edges": [{"edge": "e1", "kind": "drip_edge", "length_m": 20}],
        "mat_g_per_m2": 450,
    }
    append(installation, job, Kind.AREA, area, 0)
    for lot, material in (("resin-1", "resin"), ("cat-1", "catalyst")):
        bought = {"lot": lot, "material": material, "product": f"general {material}"}
        bought |= {"batch_number": f"B-{lot}", "quantity": 100, "unit": "kg"}
        append(installation, job, Kind.LOT, bought, 1)
    return job


def append(
    installation: Installation,
    job: str,
    kind: Kind,
    body: dict,
    number: int,
    *,
    actor: Actor = ACTOR,
) -> None:
    """Records one entry, a second after the one of the number before."""
    at = START + timedelta(seconds=number)
    body = {**body, "mix": f"mix-{number}"} if kind is Kind.MIX else body
    draft = Draft(id=installation.new_id(), kind=kind, at=at, body=body)
    record(installation, actor, job, [draft], now=at)


def _to_bare_insert(installation: Installation, job: str, folder: Path) -> BenchLine:
    bare = sqlite3.connect(folder / "laidtrue.db", isolation_level=None)
    bare.execute("PRAGMA synchronous=FULL")
    bare.execute("CREATE TABLE bare (number INTEGER PRIMARY KEY, written TEXT)")
    ours, reference = [], []
    for number in range(4, 4 + WARM_UP):
        append(installation, job, *BODIES[number % len(BODIES)], number)
    for number in range(4 + WARM_UP, 4 + WARM_UP + ROUNDS):
        kind, body = BODIES[number % len(BODIES)]
        began = time.perf_counter()
        append(installation, job, kind, body, number)
        ours.append(time.perf_counter() - began)
        began = time.perf_counter()
        bare.execute("INSERT INTO bare (written) VALUES (?)", ("x" * 500,))
        reference.append(time.perf_counter() - began)
    bare.execute("DROP TABLE bare")
    bare.close()
    return BenchLine(
        name="append an entry through the service, to a bare durable insert",
        figure=1 / statistics.median(ours),
        unit="entries/s",
        reference=1 / statistics.median(reference),
        ratio=statistics.median(reference) / statistics.median(ours),
        bound=0.25,
        at_most=False,
    )


def _growth(installation: Installation, job: str) -> BenchLine:
    """Median time of an entry at ten thousand entries, to that at a thousand."""
    medians = {}
    number = 4
    for length in (SHORT, LONG):
        while number < length:
            append(installation, job, *BODIES[number % len(BODIES)], number)
            number += 1
        times = []
        for _ in range(PROBES):
            began = time.perf_counter()
            append(installation, job, *BODIES[number % len(BODIES)], number)
            times.append(time.perf_counter() - began)
            number += 1
        medians[length] = statistics.median(times) * 1000
    return BenchLine(
        name=f"append an entry to a job of {LONG} entries, to one of {SHORT}",
        figure=medians[LONG],
        unit="ms",
        reference=medians[SHORT],
        ratio=medians[LONG] / medians[SHORT],
        bound=1.3,
    )
