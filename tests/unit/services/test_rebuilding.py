"""Summaries kept entry by entry, and made again from the entries: always the same rows."""

from __future__ import annotations

import io
import tempfile
from datetime import timedelta
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, given
from hypothesis import settings as hypothesis_settings
from sqlalchemy import update

from qa.errors import NotFoundError, RecordError
from qa.record.registry import Kind
from qa.services.access import Actor, Role
from qa.services.listing import jobs
from qa.services.originals import hand_in
from qa.services.reading import read_job
from qa.services.rebuilding import rebuild
from qa.services.recording import Draft, record
from qa.services.starting import start_job
from qa.store import summaries
from qa.store.tables import JobRow
from tests.factories import RecordBuilder
from tests.house import NOON, House, jpeg, open_house
from tests.roof_job import RoofJob
from tests.strategies import records


def findings(job: RoofJob) -> set[tuple[str, str, str]]:
    with job.house.installation.store.reading() as session:
        lines = summaries.open_findings(session, job_id=job.id)
    return {(line.check, line.area, line.bay) for line in lines}


def test_cold_deck_is_an_open_finding_at_once(house: House) -> None:
    job = RoofJob.equipped(house)
    job.add("conditions", stage="laminate", deck_c=2)
    assert ("conditions.deck_temperature", "", "") in findings(job)
    assert jobs(house.installation, house.ines)[0].outside == len(findings(job))


def test_repaired_bay_is_no_open_finding_any_more(house: House) -> None:
    job = RoofJob.equipped(house)
    job.add("examination", bay="r1b1", wet_out="white_patches", opaque_cm2=20)
    assert ("laminate.wet_out", "main", "r1b1") in findings(job)
    job.add("examination", bay="r1b1", wet_out="transparent", opaque_cm2=0, after_repair=True)
    assert ("laminate.wet_out", "main", "r1b1") not in findings(job)


def test_signed_off_hold_point_waits_until_it_is_released(house: House) -> None:
    job = RoofJob.equipped(house)
    job.add("sign_off", stage="deck", decision="complete", statement="Done.")
    assert jobs(house.installation, house.ines)[0].waiting == 1
    job.add("sign_off", by=house.omar, stage="deck", decision="released", statement="Seen.")
    assert jobs(house.installation, house.ines)[0].waiting == 0


def test_stage_in_hand_moves_with_the_sign_offs(house: House) -> None:
    job = RoofJob.equipped(house)
    job.add("sign_off", stage="survey", decision="complete", statement="Done.")
    assert jobs(house.installation, house.ines)[0].stage == "deck"


def test_rebuilding_a_sound_installation_changes_nothing(house: House) -> None:
    job = RoofJob.equipped(house)
    job.add("mix", lot="resin-1", catalyst_lot="catalyst-1")
    job.add("sign_off", stage="deck", decision="complete", statement="Done.")
    job.add("conditions", stage="laminate", deck_c=2)
    rebuilt = rebuild(house.installation)
    assert (rebuilt.jobs, rebuilt.changed) == (1, ())


def test_rebuilding_mends_a_row_that_was_changed(house: House) -> None:
    job = RoofJob.equipped(house)
    with house.installation.store.writing() as session:
        session.execute(update(JobRow).where(JobRow.id == job.id).values(title="Another"))
    assert rebuild(house.installation).changed == ("J-2026-014",)
    assert jobs(house.installation, house.ines)[0].title == "Garage roof"
    assert rebuild(house.installation).changed == ()


@hypothesis_settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow])
@given(builder=records())
def test_any_record_kept_entry_by_entry_rebuilds_to_the_same_rows(builder: RecordBuilder) -> None:
    with tempfile.TemporaryDirectory() as folder:
        house = open_house(Path(folder))
        kept = _keep(house, builder)
        assert rebuild(house.installation).changed == ()
        (listed,) = jobs(house.installation, house.ines)
        read = read_job(house.installation, house.ines, listed.id)
        assert [entry.id for entry in read.record.entries] == kept
        house.installation.store.engine.dispose()


def _keep(house: House, builder: RecordBuilder) -> list[str]:
    """Every entry of the record through the services, one at a time, by whoever wrote it.

    What the ledger refuses, such as a check that the specification does not know, is left out; the
    answer is the ids of what it took.
    """
    installation = house.installation
    first, *rest = builder.entries
    opening = first["body"] | {"specification": "general-grp/1"}
    who = {key: _actor(house, key) for key in {entry["by"] for entry in builder.entries}}
    job_id = start_job(
        installation, who[first["by"]], opening, entry_id=first["id"], at=NOON, now=NOON
    )
    kept = [first["id"]]
    for number, entry in enumerate(rest):
        now = NOON + timedelta(minutes=number)
        body, original = _with_original(house, entry, number)
        kind = Kind(entry["kind"])
        draft = Draft(id=entry["id"], kind=kind, at=now, body=body, original=original)
        try:
            record(installation, who[entry["by"]], job_id, [draft], now=now)
            kept.append(draft.id)
        except (RecordError, NotFoundError):
            continue
    return kept


def _actor(house: House, key: str) -> Actor:
    return Actor(
        firm_id=house.ines.firm_id,
        person_id=house.ines.person_id,
        key=key,
        name=key,
        roles=frozenset(Role),
    )


def _with_original(
    house: House, entry: dict[str, Any], number: int
) -> tuple[dict[str, Any], str | None]:
    """The body of an entry; a photo's with a real original in the place of the drawn name."""
    body = dict(entry["body"])
    if entry["kind"] != "photo":
        return body, None
    file = hand_in(house.installation, house.ines, io.BytesIO(jpeg(number)), name="p.jpg", now=NOON)
    kept = {k: v for k, v in body.items() if k not in ("file", "sha256", "bytes", "media_type")}
    return kept, file.sha256
