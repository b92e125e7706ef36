"""The real worker in its threads: woken at once, and ended cleanly."""

from __future__ import annotations

import io
import pickle
import sqlite3
import threading
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest
from sqlalchemy.orm import Session

from qa.services import delivery
from qa.services.background import Background
from qa.services.delivery import Work, enqueue
from qa.services.installation import Installation
from qa.services.waking import hear, open_queue, wake
from tests.house import NOON, House, open_house

LONGEST_S = 30


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    house = open_house(tmp_path / "instance")
    yield house
    house.installation.store.engine.dispose()


class Bell:
    """Work that rings once it has taken effect."""

    def __init__(self) -> None:
        self.rung = threading.Event()
        self.times = 0

    def do(
        self, installation: Installation, subject: str, now: datetime
    ) -> Callable[[Session], None]:
        def ring(session: Session) -> None:
            self.times += 1
            self.rung.set()

        return ring


@pytest.fixture
def bell(monkeypatch: pytest.MonkeyPatch) -> Bell:
    bell = Bell()
    monkeypatch.setattr(delivery, "WORK", {"bell": Work(do=bell.do)})
    return bell


def _order(house: House) -> None:
    with house.installation.store.writing() as session:
        enqueue(session, "bell", "tower", NOON)


def test_a_worker_is_woken_by_the_hint(house: House, bell: Bell) -> None:
    background = Background(house.installation, lambda: NOON, keeps_time=False)
    background.start()
    _order(house)
    wake(house.installation)
    assert bell.rung.wait(LONGEST_S)
    background.stop()
    assert bell.times == 1


def test_a_lost_hint_costs_one_look(house: House, bell: Bell) -> None:
    _order(house)  # nobody was woken
    background = Background(house.installation, lambda: NOON)
    background.start()
    assert bell.rung.wait(LONGEST_S)
    background.stop()
    assert bell.times == 1


def test_two_workers_take_effect_once(house: House, bell: Bell) -> None:
    workers = [Background(house.installation, lambda: NOON, keeps_time=False) for _ in range(2)]
    for worker in workers:
        worker.start()
    _order(house)
    for _ in range(4):
        wake(house.installation)
    assert bell.rung.wait(LONGEST_S)
    for worker in workers:
        worker.stop()
    assert bell.times == 1


def test_a_forged_hint_runs_nothing(house: House) -> None:
    wake(house.installation)  # makes the file
    ran: list[str] = []
    path = house.installation.settings.instance / "waking.db"
    forged = io.BytesIO()
    pickle.dump({"not": "signed"}, forged)
    connection = sqlite3.connect(path)
    with connection:
        connection.execute("DELETE FROM task")
        connection.execute(
            "INSERT INTO task (queue, data) VALUES ('laidtrue', ?)", (forged.getvalue(),)
        )
    connection.close()
    queue = open_queue(house.installation)
    hear(queue, lambda: ran.append("ran"))
    with pytest.raises(ValueError, match=r"mismatch|not found"):
        queue.dequeue()
    queue.storage.close()
    assert ran == []


def test_a_hint_that_cannot_be_left_troubles_nobody(house: House) -> None:
    (house.installation.settings.instance / "waking.db").mkdir()
    wake(house.installation)
