"""What an erasure takes with it beyond the record: packs, links, messages, other processes."""

from __future__ import annotations

from dataclasses import replace

import pytest

from qa.errors import NotFoundError
from qa.packs.source import PackSource
from qa.record.schema import Withheld
from qa.services import desk, pack_making
from qa.services.access import Actor, Role
from qa.services.delivery import work_all
from qa.services.erasing import erase
from qa.services.linking import Face, OpenLink, links_of, make_link, open_link
from qa.services.messages import messages_of, write_message
from qa.services.open_jobs import OpenJobs
from qa.services.pack_making import ask_for_pack, pack_of, pack_path, packs_of
from qa.services.packing import PackKind
from qa.services.reading import read_job
from qa.services.rebuilding import rebuild
from qa.services.shared_reading import newest_handover_pack
from qa.services.soundness import look_through
from qa.trade.vocabulary import Stage
from tests.house import House, add_person
from tests.roof_job import RoofJob

NAME = "Wilhelmina Neverheardof"


@pytest.fixture
def job(house: House, monkeypatch: pytest.MonkeyPatch) -> RoofJob:
    """A job whose packs are a few bytes that say the client's name, and take no time."""

    def a_pack(kind: PackKind, source: PackSource, **_: object) -> bytes:
        return f"%PDF- {kind} {source.job.opening.body.client.name}".encode()

    monkeypatch.setattr(pack_making, "render_pack", a_pack)
    crew = [
        {"person": "ines", "name": "Ines Invented", "role": "installer"},
        {"person": "omar", "name": "Omar Invented", "role": "supervisor"},
        {"person": "ona", "name": "Ona Invented", "role": "office"},
    ]
    return RoofJob.started(house, client={"name": NAME}, crew=crew)


@pytest.fixture
def ona(house: House) -> Actor:
    return add_person(house.installation, "firm-1", "ona", Role.OFFICE)


def made_pack(job: RoofJob, ona: Actor) -> int:
    installation = job.house.installation
    number = ask_for_pack(installation, ona, job.id, PackKind.HANDOVER, now=job.clock)
    work_all(installation, now=job.clock)
    return number


def erase_the_name(job: RoofJob, ona: Actor) -> None:
    installation = job.house.installation
    first = read_job(installation, ona, job.id).record.entries[0].id
    erase(
        installation, ona, job.id,
        disclosures=[(first, "/client/name")], photos=[], reason="Asked for.",
        entry_id=installation.new_id(), now=job.clock,
    )  # fmt: skip


def link_of(job: RoofJob, recipient: str) -> OpenLink:
    installation, omar = job.house.installation, job.house.omar
    made = make_link(
        installation, omar, job.id, face=Face.HOMEOWNER, recipient=recipient, now=job.clock
    )
    token = made.address.split("/")[-2]
    return open_link(installation, Face.HOMEOWNER, token, address="192.0.2.7", now=job.clock)


def test_pack_from_before_is_gone_and_its_digest_stays(job: RoofJob, ona: Actor) -> None:
    installation = job.house.installation
    number = made_pack(job, ona)
    path, before = pack_path(installation, ona, job.id, number), packs_of(installation, ona, job.id)
    assert NAME in path.read_text()
    erase_the_name(job, ona)
    work_all(installation, now=job.clock)
    assert not path.exists()
    assert packs_of(installation, ona, job.id) == tuple(
        replace(one, is_erased=True) for one in before
    )
    with pytest.raises(NotFoundError, match="before something was erased"):
        pack_path(installation, ona, job.id, number)


def test_link_gives_out_no_pack_from_before(job: RoofJob, ona: Actor) -> None:
    installation, link = job.house.installation, link_of(job, "Somebody")
    made_pack(job, ona)
    assert newest_handover_pack(installation, link) is not None
    erase_the_name(job, ona)
    assert newest_handover_pack(installation, link) is None
    number = made_pack(job, ona)
    newest = newest_handover_pack(installation, link)
    assert newest is not None
    assert newest.number == number == 2
    assert NAME not in pack_path(installation, ona, job.id, number).read_text()


def test_erasure_makes_a_complete_job_wait_for_its_pack_again(job: RoofJob, ona: Actor) -> None:
    installation, omar = job.house.installation, job.house.omar
    job.add("area")
    for stage in Stage:
        job.add("sign_off", stage=stage.value, decision="complete", statement="Done.")
        job.add("sign_off", by=omar, stage=stage.value, decision="released", statement="Yes.")
    made_pack(job, ona)
    assert desk.packs_due(installation, omar) == ()
    erase_the_name(job, ona)
    assert [one.job.id for one in desk.packs_due(installation, omar)] == [job.id]
    assert rebuild(installation).changed == ()


def test_pack_that_an_erasure_overtakes_is_never_given_out(
    job: RoofJob, ona: Actor, monkeypatch: pytest.MonkeyPatch
) -> None:
    installation, slow = job.house.installation, pack_making.render_pack

    def overtaken(kind: PackKind, source: PackSource, **named: object) -> bytes:
        content = slow(kind, source, **named)  # type: ignore[arg-type]
        monkeypatch.setattr(pack_making, "render_pack", slow)
        erase_the_name(job, ona)
        return content

    monkeypatch.setattr(pack_making, "render_pack", overtaken)
    number = made_pack(job, ona)
    assert "while this pack was being made" in str(pack_of(installation, ona, job.id, number).fault)
    assert list(installation.papers.digests()) == []


def test_installation_is_sound_without_what_was_erased(job: RoofJob, ona: Actor) -> None:
    installation = job.house.installation
    made_pack(job, ona)
    erase_the_name(job, ona)
    work_all(installation, now=job.clock)
    found = look_through(
        installation.store, photographs=installation.originals, packs=installation.papers
    )
    assert (found.papers, found.faults) == (0, ())


def test_recipients_and_messages_let_go_of_the_name(job: RoofJob, ona: Actor) -> None:
    installation = job.house.installation
    link = link_of(job, f"Ms {NAME}")
    write_message(installation, link, f"A stain.\n{NAME}, 100 %_ sure", now=job.clock)
    erase_the_name(job, ona)
    (kept,) = links_of(installation, job.house.omar, job.id)
    assert kept.recipient == "Ms (erased)"
    (told,) = messages_of(installation, ona, read_job(installation, ona, job.id))
    assert told.text == "A stain.\n(erased), 100 %_ sure"


def test_links_of_other_jobs_keep_theirs(job: RoofJob, ona: Actor) -> None:
    other = RoofJob.started(job.house, job="J-2026-015", client={"name": NAME})
    link_of(other, NAME)
    erase_the_name(job, ona)
    (kept,) = links_of(job.house.installation, job.house.omar, other.id)
    assert kept.recipient == NAME


def test_another_process_lets_go_of_it_too(job: RoofJob, ona: Actor) -> None:
    """Two memories over one database, as two processes have them."""
    here = job.house.installation
    there = replace(here, open_jobs=OpenJobs())
    assert read_job(there, ona, job.id).job.opening.body.client.name == NAME
    erase_the_name(job, ona)
    job.add("note")
    read = read_job(there, ona, job.id)
    assert isinstance(read.job.opening.body.client.name, Withheld)
    assert read.job.head == read_job(here, ona, job.id).job.head
