from __future__ import annotations

import io
import shutil
from datetime import timedelta

import pytest

from qa.errors import NotAllowedError, NotFoundError
from qa.packs.source import PackSource
from qa.record.registry import Kind
from qa.services import pack_making
from qa.services.delivery import work_all
from qa.services.loading import Progress
from qa.services.originals import hand_in
from qa.services.pack_making import ask_for_pack, pack_of, pack_path, packs_of
from qa.services.packing import PackKind
from qa.services.recording import Draft, record
from qa.services.starting import start_job
from qa.store import outbox
from tests.examples import minimal
from tests.house import NOON, House, jpeg


@pytest.fixture
def job_id(house: House) -> str:
    """A job of the first firm with one photograph."""
    job_id = start_job(
        house.installation,
        house.ines,
        minimal("job"),
        entry_id=house.installation.new_id(),
        at=NOON,
        now=NOON,
    )
    photo = hand_in(house.installation, house.ines, io.BytesIO(jpeg(1)), name="1.jpg", now=NOON)
    _record(house, job_id, Kind.PHOTO, {"stage": "deck"}, photo.sha256)
    return job_id


@pytest.fixture
def press(monkeypatch: pytest.MonkeyPatch) -> None:
    """A press that does not lay out, for what is not about the PDF itself."""

    def render(kind: PackKind, source: PackSource, *, progress: Progress) -> bytes:
        for done in (1, 2, 3):
            progress(f"{kind} pack, a step", done, 3)
        return f"%PDF-{kind}-{source.assessment.head}".encode()

    monkeypatch.setattr(pack_making, "render_pack", render)


def _record(
    house: House, job_id: str, kind: Kind, body: dict[str, object], original: str | None = None
) -> None:
    draft = Draft(id=house.installation.new_id(), kind=kind, at=NOON, body=body, original=original)
    record(house.installation, house.ines, job_id, [draft], now=NOON)


def _ask(house: House, job_id: str, kind: PackKind = PackKind.HANDOVER) -> int:
    return ask_for_pack(house.installation, house.omar, job_id, kind, now=NOON)


def test_a_pack_is_made_and_kept_with_what_it_shows(house: House, job_id: str) -> None:
    number = _ask(house, job_id)
    waiting = pack_of(house.installation, house.omar, job_id, number)
    assert (waiting.number, waiting.step, waiting.is_on_its_way) == (1, "waiting", True)
    work_all(house.installation, now=NOON)
    (pack,) = packs_of(house.installation, house.ines, job_id)
    assert pack.is_made
    assert (pack.kind, pack.asked_by, pack.entries) == ("handover", "Omar", 2)
    assert (pack.program or "").startswith("Laidtrue ")
    pdf = pack_path(house.installation, house.omar, job_id, number).read_bytes()
    assert pdf.startswith(b"%PDF-")
    assert (pack.bytes, pack.made_at) == (len(pdf), NOON)
    assert [each.path for each in house.installation.papers.damaged()] == []


def test_the_same_pack_is_made_once(house: House, job_id: str, press: None) -> None:
    assert _ask(house, job_id) == _ask(house, job_id) == 1
    work_all(house.installation, now=NOON)
    assert _ask(house, job_id) == 1
    assert _ask(house, job_id, PackKind.WARRANTY) == 2
    _record(house, job_id, Kind.NOTE, {"text": "swept"})
    assert _ask(house, job_id) == 3


def test_packs_are_numbered_newest_first(house: House, job_id: str) -> None:
    _ask(house, job_id)
    _ask(house, job_id, PackKind.WARRANTY)
    numbers = [pack.number for pack in packs_of(house.installation, house.omar, job_id)]
    assert numbers == [2, 1]


def test_progress_is_kept_while_a_pack_is_made(
    house: House, job_id: str, press: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    steps = []
    real = pack_making.papers.note_step

    def watched(session: object, pack: str, step: str, done: int, of: int) -> None:
        real(session, pack, step, done, of)
        steps.append((step, done, of))

    monkeypatch.setattr(pack_making.papers, "note_step", watched)
    _ask(house, job_id)
    work_all(house.installation, now=NOON)
    assert steps == [
        ("reading the record", 1, 1),
        *[("handover pack, a step", done, 3) for done in (1, 2, 3)],
    ]


def test_a_fault_is_told_in_a_sentence_and_the_pack_asked_for_again(
    house: House, job_id: str, press: None
) -> None:
    (sha256,) = house.installation.originals.digests()
    path = house.installation.originals.path(sha256)
    path.write_bytes(b"no photograph any more")
    _ask(house, job_id)
    work_all(house.installation, now=NOON)
    pack = pack_of(house.installation, house.omar, job_id, 1)
    assert not pack.is_made
    assert "none of the" in (pack.fault or "") or "photo" in (pack.fault or "")
    path.write_bytes(jpeg(1))
    assert _ask(house, job_id) == 2
    work_all(house.installation, now=NOON)
    assert pack_of(house.installation, house.omar, job_id, 2).is_made


def test_a_pack_that_never_succeeds_says_so(house: House, job_id: str) -> None:
    shutil.rmtree(house.installation.settings.originals)
    _ask(house, job_id)
    now = NOON
    for _ in range(outbox.MOST_ATTEMPTS):
        work_all(house.installation, now=now)
        now += timedelta(days=1)
    pack = pack_of(house.installation, house.omar, job_id, 1)
    assert "is missing" in (pack.fault or "")
    assert (pack.fault or "").endswith("Ask for the pack again.")


def test_packs_of_another_firm_are_not_there(house: House, job_id: str, press: None) -> None:
    number = _ask(house, job_id)
    work_all(house.installation, now=NOON)
    rival = house.rival
    for ask in (
        lambda: packs_of(house.installation, rival, job_id),
        lambda: pack_of(house.installation, rival, job_id, number),
        lambda: pack_path(house.installation, rival, job_id, number),
        lambda: ask_for_pack(house.installation, rival, job_id, PackKind.HANDOVER, now=NOON),
    ):
        with pytest.raises(NotFoundError):
            ask()


def test_a_pack_that_is_not_made_has_no_file(house: House, job_id: str) -> None:
    with pytest.raises(NotFoundError, match="not made yet"):
        pack_path(house.installation, house.omar, job_id, _ask(house, job_id))
    with pytest.raises(NotFoundError, match="no pack 9"):
        pack_path(house.installation, house.omar, job_id, 9)


def test_installers_read_packs_and_ask_for_none(house: House, job_id: str) -> None:
    with pytest.raises(NotAllowedError):
        ask_for_pack(house.installation, house.ines, job_id, PackKind.HANDOVER, now=NOON)
    assert packs_of(house.installation, house.ines, job_id) == ()
