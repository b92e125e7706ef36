from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from sqlalchemy.orm import Session

from qa.services import delivery
from qa.services.delivery import Work, enqueue, tidy, work_all, work_once
from qa.services.installation import Installation
from qa.store import outbox
from qa.store.tables import FirmRow
from tests.house import NOON, House

Deed = Callable[[], None]


class Scribe:
    """Work that adds a firm, so that each effect can be counted in the database.

    Attributes:
        before: what else happens in the slow part, one deed for each attempt.
        given_up: what was said in the end.
    """

    def __init__(self, *before: Deed) -> None:
        self.before = list(before)
        self.given_up: list[str] = []
        self.effects = 0

    def do(
        self, installation: Installation, subject: str, now: datetime
    ) -> Callable[[Session], None]:
        if self.before:
            self.before.pop(0)()
        self.effects += 1
        number = self.effects

        def effect(session: Session) -> None:
            session.add(FirmRow(id=f"{subject}-{number}", name=subject, created_at=now))

        return effect

    def give_up(self, session: Session, subject: str, fault: str) -> None:
        self.given_up.append(f"{subject}: {fault}")


@pytest.fixture
def scribe(monkeypatch: pytest.MonkeyPatch) -> Scribe:
    scribe = Scribe()
    work = {"scribe": Work(do=scribe.do, give_up=scribe.give_up)}
    monkeypatch.setattr(delivery, "WORK", work)
    return scribe


def _order(house: House, subject: str = "note") -> None:
    with house.installation.store.writing() as session:
        enqueue(session, "scribe", subject, NOON)


def _written(house: House) -> list[str]:
    with house.installation.store.reading() as session:
        rows = session.query(FirmRow).filter(FirmRow.name == "note")
        return sorted(row.id for row in rows)


def _task(house: House) -> outbox.Task:
    with house.installation.store.reading() as session:
        (task,) = outbox.tasks(session)
    return task


def _fail() -> None:
    raise OSError(28, "No space left on device")


def test_a_task_takes_effect_and_is_done(house: House, scribe: Scribe) -> None:
    _order(house)
    assert work_once(house.installation, now=NOON)
    assert not work_once(house.installation, now=NOON)
    assert _written(house) == ["note-1"]
    assert _task(house).done_at == NOON


def test_a_failed_task_leaves_its_fault_and_is_tried_later(house: House, scribe: Scribe) -> None:
    scribe.before = [_fail]
    _order(house)
    assert work_all(house.installation, now=NOON) == 1
    assert "No space left on device" in (_task(house).last_fault or "")
    assert _written(house) == []
    assert not work_once(house.installation, now=NOON + timedelta(seconds=29))
    assert work_once(house.installation, now=NOON + timedelta(seconds=30))
    assert _written(house) == ["note-1"]


def test_an_effect_that_fails_leaves_the_task_open(
    house: House, scribe: Scribe, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(installation: Installation, subject: str, now: datetime) -> object:
        def effect(session: Session) -> None:
            session.add(FirmRow(id="note-half", name="note", created_at=now))
            session.flush()
            _fail()

        return effect

    monkeypatch.setattr(delivery, "WORK", {"scribe": Work(do=broken)})
    _order(house)
    work_all(house.installation, now=NOON)
    assert _written(house) == []
    assert _task(house).done_at is None


def test_a_task_that_always_fails_is_given_up_in_words(house: House, scribe: Scribe) -> None:
    scribe.before = [_fail] * outbox.MOST_ATTEMPTS
    _order(house)
    now = NOON
    for _ in range(outbox.MOST_ATTEMPTS):
        assert work_all(house.installation, now=now) == 1
        now += timedelta(days=1)
    assert not work_once(house.installation, now=now)
    assert len(scribe.given_up) == 1
    assert "No space left on device" in scribe.given_up[0]
    assert _task(house).gave_up_at == now - timedelta(days=1)


def test_a_task_that_kills_its_worker_is_given_up(house: House, scribe: Scribe) -> None:
    _order(house)
    now = NOON
    for _ in range(outbox.MOST_ATTEMPTS):
        with house.installation.store.writing() as session:
            assert outbox.take(session, now) is not None
        now += outbox.LEASE
    assert work_once(house.installation, now=now)
    assert scribe.given_up == [f"note: {outbox.WORKER_STOPPED}"]
    assert _written(house) == []


def test_a_killed_workers_task_takes_effect_once(house: House, scribe: Scribe) -> None:
    class Killed(BaseException):
        pass

    def kill() -> None:
        raise Killed

    scribe.before = [kill]
    _order(house)
    with pytest.raises(Killed):
        work_once(house.installation, now=NOON)
    assert not work_once(house.installation, now=NOON + outbox.LEASE - timedelta(seconds=1))
    assert work_once(house.installation, now=NOON + outbox.LEASE)
    assert _written(house) == ["note-1"]


def test_a_worker_thought_dead_takes_no_second_effect(house: House, scribe: Scribe) -> None:
    late = NOON + outbox.LEASE

    def meanwhile() -> None:
        assert work_once(house.installation, now=late)

    scribe.before = [meanwhile]
    _order(house)
    assert work_once(house.installation, now=NOON)
    assert scribe.effects == 2
    assert _written(house) == ["note-1"]
    assert _task(house).done_at == late


def test_a_task_that_no_program_knows_waits_for_one(house: House) -> None:
    with house.installation.store.writing() as session:
        enqueue(session, "from the future", "x", NOON)
    assert work_all(house.installation, now=NOON) == 1
    assert "No program knows" in (_task(house).last_fault or "")


def test_tidying_forgets_what_was_done_long_ago(house: House, scribe: Scribe) -> None:
    _order(house)
    work_all(house.installation, now=NOON)
    tidy(house.installation, now=NOON + outbox.KEPT + timedelta(seconds=1))
    with house.installation.store.reading() as session:
        assert outbox.tasks(session) == ()
