from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from qa.errors import ConflictError
from qa.store import outbox
from qa.store.base import Base
from qa.store.engine import open_engine
from qa.store.store import Store

NOON = datetime(2026, 5, 12, 12, 0, tzinfo=UTC)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    engine = open_engine(f"sqlite:///{tmp_path / 'outbox.db'}")
    Base.metadata.create_all(engine)
    yield Store(engine=engine)
    engine.dispose()


def _enqueue(store: Store, subject: str = "photo-1", now: datetime = NOON) -> int:
    with store.writing() as session:
        return outbox.enqueue(session, "renditions", subject, now)


def _take(store: Store, now: datetime) -> outbox.Lease:
    with store.writing() as session:
        lease = outbox.take(session, now)
    assert lease is not None
    return lease


def _nothing_to_take(store: Store, now: datetime) -> bool:
    with store.writing() as session:
        return outbox.take(session, now) is None


def _only_task(store: Store) -> outbox.Task:
    with store.reading() as session:
        (task,) = outbox.tasks(session)
    return task


def test_a_task_lives_and_dies_with_its_transaction(store: Store) -> None:
    def fails() -> None:
        with store.writing() as session:
            outbox.enqueue(session, "renditions", "photo-1", NOON)
            raise RuntimeError

    with pytest.raises(RuntimeError):
        fails()
    assert _nothing_to_take(store, NOON)


def test_a_task_is_leased_to_one_worker(store: Store) -> None:
    task = _enqueue(store)
    lease = _take(store, NOON)
    assert (lease.id, lease.task, lease.subject) == (task, "renditions", "photo-1")
    assert (lease.fence, lease.attempt) == (1, 1)
    assert _nothing_to_take(store, NOON)


def test_tasks_are_taken_in_the_order_of_coming_due(store: Store) -> None:
    late, early = _enqueue(store, "late", NOON), _enqueue(store, "early", NOON - timedelta(hours=1))
    with store.reading() as session:
        assert outbox.due(session, NOON) == (early, late)
        assert outbox.due(session, NOON - timedelta(minutes=1)) == (early,)
    assert [_take(store, NOON).subject for _ in range(2)] == ["early", "late"]


def test_a_killed_workers_task_is_taken_over(store: Store) -> None:
    _enqueue(store)
    _take(store, NOON)
    assert _nothing_to_take(store, NOON + outbox.LEASE - timedelta(seconds=1))
    again = _take(store, NOON + outbox.LEASE)
    assert (again.fence, again.attempt) == (2, 2)


def test_a_stale_lease_can_end_nothing(store: Store) -> None:
    _enqueue(store)
    slow = _take(store, NOON)
    later = NOON + outbox.LEASE
    quick = _take(store, later)
    with store.writing() as session:
        for end in (outbox.put_off, outbox.give_up):
            with pytest.raises(ConflictError, match="taken over"):
                end(session, slow, later, "slow")
        with pytest.raises(ConflictError, match="taken over"):
            outbox.finish(session, slow, later)
    with store.writing() as session:
        outbox.finish(session, quick, later)
    with pytest.raises(ConflictError), store.writing() as session:
        outbox.finish(session, quick, later)
    assert _only_task(store).done_at == later


def test_attempts_come_after_growing_delays(store: Store) -> None:
    _enqueue(store)
    now, waits = NOON, []
    for _ in range(4):
        with store.writing() as session:
            lease = outbox.take(session, now)
            assert lease is not None
            outbox.put_off(session, lease, now, "The disk is full.")
        due = _only_task(store).due_at
        waits.append(due - now)
        assert _nothing_to_take(store, due - timedelta(seconds=1))
        now = due
    assert waits == [timedelta(seconds=each) for each in (30, 120, 480, 1920)]
    assert _only_task(store).last_fault == "The disk is full."


def test_a_worker_killed_each_time_is_given_up(store: Store) -> None:
    _enqueue(store)
    now = NOON
    for attempt in range(1, outbox.MOST_ATTEMPTS + 1):
        assert (_take(store, now).attempt, attempt) == (attempt, attempt)
        now += outbox.LEASE
    last = _take(store, now)
    assert last.given_up
    with store.writing() as session:
        outbox.give_up(session, last, now, outbox.WORKER_STOPPED)
    task = _only_task(store)
    assert (task.gave_up_at, task.last_fault) == (now, outbox.WORKER_STOPPED)
    assert _nothing_to_take(store, now + timedelta(days=365))


def test_done_tasks_are_forgotten_in_time_and_given_up_ones_never(store: Store) -> None:
    _enqueue(store)
    _enqueue(store, "photo-2")
    with store.writing() as session:
        lease = outbox.take(session, NOON)
        assert lease is not None
        outbox.finish(session, lease, NOON)
        lease = outbox.take(session, NOON)
        assert lease is not None
        outbox.give_up(session, lease, NOON, "It cannot be done.")
    with store.writing() as session:
        outbox.forget_done(session, NOON + outbox.KEPT)
        assert len(outbox.tasks(session)) == 2
        outbox.forget_done(session, NOON + outbox.KEPT + timedelta(seconds=1))
    assert _only_task(store).subject == "photo-2"
