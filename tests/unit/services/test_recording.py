"""Recording into the ledger: what is kept, what is refused, and what is answered."""

from __future__ import annotations

import io
import threading
from dataclasses import replace

import pytest

from qa.errors import ConflictError, NotAllowedError, NotFoundError, RecordError
from qa.record.chain import chain_fault
from qa.services.originals import hand_in
from qa.services.reading import read_job
from qa.store import ledger
from tests.house import House, jpeg
from tests.roof_job import RoofJob

WRITERS, EACH = 8, 12


def entries(job: RoofJob) -> list[str]:
    """The ids in the record, in order."""
    read = read_job(job.house.installation, job.house.ines, job.id)
    return [entry.id for entry in read.record.entries]


def test_receipt_names_place_and_hash(house: House) -> None:
    job = RoofJob.equipped(house)
    receipt = job.add("conditions", deck_c=13)
    last = read_job(house.installation, house.ines, job.id).record.entries[-1]
    assert (receipt.seq, receipt.hash, receipt.entry) == (last.seq, last.hash, last.id)
    assert receipt.seq == 4
    assert not receipt.repeated


def test_record_read_anew_is_the_same_chain(house: House) -> None:
    job = RoofJob.equipped(house)
    job.add("mix", lot="resin-1", catalyst_lot="catalyst-1")
    warm = read_job(house.installation, house.ines, job.id)
    house.installation.open_jobs.forget(job.id)
    cold = read_job(house.installation, house.ines, job.id)
    assert [e.written for e in cold.record.entries] == [e.written for e in warm.record.entries]
    assert cold.assessment == warm.assessment


def test_entry_outside_its_limits_is_saved_and_told(house: House) -> None:
    receipt = RoofJob.equipped(house).add("conditions", stage="laminate", deck_c=2)
    outside = [found.check for found in receipt.findings if found.verdict == "outside"]
    assert outside == ["conditions.deck_temperature"]


def test_same_entry_twice_answers_the_first_receipt(house: House) -> None:
    job = RoofJob.equipped(house)
    draft = job.draft("conditions", deck_c=13)
    first, again = job.send([draft])[0], job.send([draft])[0]
    assert again.repeated
    assert (again.seq, again.hash, again.received_at) == (first.seq, first.hash, first.received_at)
    assert entries(job).count(draft.id) == 1


def test_same_entry_with_a_reckoned_time_is_no_other_entry(house: House) -> None:
    job = RoofJob.equipped(house)
    draft = replace(job.draft("conditions", deck_c=13), at_is_reckoned=True)
    job.send([draft])
    later = replace(job.draft("conditions", entry_id=draft.id, deck_c=13), at_is_reckoned=True)
    assert job.send([later])[0].repeated


def test_same_id_with_another_content_is_refused_with_both_digests(house: House) -> None:
    job = RoofJob.equipped(house)
    draft = job.draft("conditions", deck_c=13)
    job.send([draft])
    before = entries(job)
    with pytest.raises(ConflictError) as caught:
        job.send([job.draft("conditions", entry_id=draft.id, deck_c=14)])
    assert caught.value.entry == draft.id
    assert caught.value.held
    assert caught.value.sent
    assert caught.value.held != caught.value.sent
    assert entries(job) == before


def test_personal_value_sent_twice_is_the_same_entry(house: House) -> None:
    job = RoofJob.started(house)
    first = entries(job)[0]
    read = read_job(house.installation, house.ines, job.id)
    body = dict(read.record.entries[0].written["body"])
    assert set(body["client"]["name"]) == {"digest"}
    body = {**body, "client": {"name": "Another Client"}, "site": {"address": "2 Invented Lane"}}
    crew = [{**one, "name": "Somebody"} for one in body["crew"]]
    draft = job.draft(
        "correction", corrects=first, reason="Another client.", body={**body, "crew": crew}
    )
    job.send([draft])
    assert job.send([draft])[0].repeated


def test_fault_in_one_entry_keeps_none_of_them(house: House) -> None:
    job = RoofJob.equipped(house)
    before = entries(job)
    good, bad = job.draft("conditions", deck_c=13), job.draft("mix", kg=-3)
    with pytest.raises(RecordError) as caught:
        job.send([good, bad])
    assert [problem.field for problem in caught.value.problems] == ["mix.kg"]
    assert entries(job) == before
    job.send([good])
    assert entries(job) == [*before, good.id]


def test_entry_of_one_outside_the_crew_is_refused(house: House) -> None:
    job = RoofJob.equipped(house)
    stranger = replace(house.ines, key="stranger")
    with pytest.raises(RecordError, match="not of the crew"):
        job.add("conditions", by=stranger, deck_c=13)


def test_unknown_check_is_refused_in_its_field(house: House) -> None:
    with pytest.raises(RecordError) as caught:
        RoofJob.equipped(house).add("observation", check="deck.dri")
    assert caught.value.problems[0].field == "observation.check"


def test_pinned_specification_never_moves(house: House) -> None:
    job = RoofJob.started(house)
    first = entries(job)[0]
    body = read_job(house.installation, house.ines, job.id).record.entries[0].written["body"]
    moved = {**body, "specification": "general-grp/2"}
    with pytest.raises(RecordError, match="keeps general-grp/1"):
        job.add("correction", corrects=first, reason="A newer one.", body=moved)


def test_installer_cannot_release(house: House) -> None:
    job = RoofJob.equipped(house)
    with pytest.raises(NotAllowedError, match="supervisor"):
        job.add("sign_off", stage="deck", decision="released", statement="Released.")
    job.add("sign_off", by=house.omar, stage="deck", decision="released", statement="Released.")


def test_installer_cannot_correct_a_decision(house: House) -> None:
    job = RoofJob.equipped(house)
    released = {"stage": "deck", "decision": "released", "statement": "Released."}
    decision = job.add("sign_off", by=house.omar, **released).entry
    with pytest.raises(NotAllowedError):
        job.add("correction", corrects=decision, reason="No.", body=None)


def test_job_of_another_firm_is_not_there(house: House) -> None:
    job = RoofJob.equipped(house)
    with pytest.raises(NotFoundError):
        job.add("conditions", by=house.rival, deck_c=13)
    with pytest.raises(NotFoundError):
        read_job(house.installation, house.rival, job.id)


def test_photo_entry_carries_the_facts_of_its_original(house: House) -> None:
    job = RoofJob.equipped(house)
    file = hand_in(
        house.installation, house.ines, io.BytesIO(jpeg(1)), name="roof.jpg", now=job.clock
    )
    job.add("photo", stage="laminate", original=file.sha256)
    body = read_job(house.installation, house.ines, job.id).job.photos[0].body
    assert (body.sha256, body.bytes, body.media_type) == (
        file.sha256,
        file.bytes,
        "image/jpeg",
    )


def test_photo_that_has_not_arrived_is_not_recorded(house: House) -> None:
    job = RoofJob.equipped(house)
    with pytest.raises(NotFoundError, match="not arrived"):
        job.add("photo", stage="laminate", original="0" * 64)


def test_photo_of_another_firm_is_not_there(house: House) -> None:
    job = RoofJob.equipped(house)
    file = hand_in(
        house.installation, house.rival, io.BytesIO(jpeg(2)), name="roof.jpg", now=job.clock
    )
    with pytest.raises(NotFoundError):
        job.add("photo", stage="laminate", original=file.sha256)


def test_corrected_caption_keeps_the_photo(house: House) -> None:
    job = RoofJob.equipped(house)
    file = hand_in(
        house.installation, house.ines, io.BytesIO(jpeg(3)), name="roof.jpg", now=job.clock
    )
    photo = job.add("photo", stage="laminate", original=file.sha256).entry
    named = read_job(house.installation, house.ines, job.id).job.photos[0].body.file
    new = {"file": named, "stage": "laminate", "caption": "The north corner."}
    job.add("correction", corrects=photo, reason="Caption added.", body=new)
    body = read_job(house.installation, house.ines, job.id).job.photos[0].body
    assert (body.caption, body.sha256) == ("The north corner.", file.sha256)


def test_many_writers_make_one_chain(house: House) -> None:
    job = RoofJob.equipped(house)
    drafts = [[job.draft("conditions", deck_c=13) for _ in range(EACH)] for _ in range(WRITERS)]
    faults: list[BaseException] = []

    def write(mine: list) -> None:
        try:
            for draft in mine:
                job.send([draft])
        except BaseException as error:  # noqa: BLE001 - handed to the test
            faults.append(error)

    threads = [threading.Thread(target=write, args=(mine,)) for mine in drafts]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not faults
    house.installation.open_jobs.forget(job.id)
    record = read_job(house.installation, house.ines, job.id).record
    assert len(record.entries) == 4 + WRITERS * EACH
    prev = "0" * 64
    for seq, entry in enumerate(record.entries):
        assert chain_fault(entry, seq=seq, prev=prev) is None
        prev = entry.hash or ""


def test_entries_of_another_process_are_taken_up(house: House) -> None:
    job = RoofJob.equipped(house)
    other = replace(house.installation, open_jobs=type(house.installation.open_jobs)())
    elsewhere = RoofJob(house=replace(house, installation=other), id=job.id, clock=job.clock)
    there = elsewhere.add("conditions", deck_c=12)
    here = job.add("conditions", deck_c=13)
    assert (there.seq, here.seq) == (4, 5)
    assert entries(job) == entries(elsewhere)


def test_failed_transaction_leaves_nothing_in_memory(house: House) -> None:
    job = RoofJob.equipped(house)
    before = entries(job)
    broken = replace(house.installation, new_salt=lambda: "not a salt")
    elsewhere = RoofJob(house=replace(house, installation=broken), id=job.id, clock=job.clock)
    body = read_job(house.installation, house.ines, job.id).record.opening
    with pytest.raises(Exception):  # noqa: B017, PT011 - whatever the fault, nothing stays
        elsewhere.add("correction", corrects=before[0], reason="x", body={"title": body.title})
    assert entries(job) == before
    with house.installation.store.reading() as session:
        kept = ledger.find_job(session, firm_id=house.ines.firm_id, job_id=job.id)
    assert kept is not None
    assert kept.entries == len(before)
