"""Batches and instruments of a firm's other jobs: offered once, in force, and to that firm only."""

from __future__ import annotations

from typing import Any

import pytest

from qa.errors import NotAllowedError
from qa.record.registry import Kind
from qa.services.access import Actor, Role
from qa.services.earlier_supplies import earlier_instruments, earlier_lots
from qa.services.recording import Draft, record
from qa.services.starting import start_job
from tests.examples import minimal
from tests.house import NOON, House, add_person


def begin(house: House, actor: Actor, reference: str) -> str:
    """A job of the actor's firm, with nothing in it."""
    crew = [{"person": actor.key, "name": actor.name, "role": "installer"}]
    opening = minimal("job") | {"job": reference, "crew": crew}
    new_id = house.installation.new_id()
    return start_job(house.installation, actor, opening, entry_id=new_id, at=NOON, now=NOON)


def add(house: House, actor: Actor, job: str, kind: str, **fields: Any) -> str:
    """Records an entry and answers its id."""
    body = {k: v for k, v in (minimal(kind) | fields).items() if v is not ...}
    draft = Draft(id=house.installation.new_id(), kind=Kind(kind), at=NOON, body=body)
    return record(house.installation, actor, job, [draft], now=NOON)[0].entry


def batches(house: House, actor: Actor, job: str) -> list[str]:
    return [lot.batch_number for lot in earlier_lots(house.installation, actor, job)]


def test_batches_of_other_jobs_come_latest_first_and_once(house: House) -> None:
    first, second, third = (begin(house, house.ines, f"J-{n}") for n in range(3))
    add(house, house.ines, first, "lot", batch_number="A")
    add(house, house.ines, first, "lot", lot="resin-2", batch_number="B")
    add(house, house.ines, second, "lot", batch_number="A")
    assert sorted(batches(house, house.ines, third)) == ["A", "B"]
    assert batches(house, house.ines, second) == ["B", "A"]


def test_batch_is_offered_under_the_number_that_it_was_put_right_to(house: House) -> None:
    first, second = begin(house, house.ines, "J-1"), begin(house, house.ines, "J-2")
    entry = add(house, house.ines, first, "lot", batch_number="R 2213")
    right = minimal("lot") | {"batch_number": "R 2231", "use_by": "2028-01-31"}
    add(house, house.ines, first, "correction", corrects=entry, reason="Misread.", body=right)
    (lot,) = earlier_lots(house.installation, house.ines, second)
    assert lot.batch_number == "R 2231"
    assert str(lot.use_by) == "2028-01-31"


def test_own_batches_of_the_job_are_not_offered(house: House) -> None:
    job = begin(house, house.ines, "J-1")
    add(house, house.ines, job, "lot")
    assert batches(house, house.ines, job) == []


def test_other_firms_batches_and_instruments_stay_unseen(house: House) -> None:
    theirs, ours = begin(house, house.rival, "J-1"), begin(house, house.ines, "J-1")
    add(house, house.rival, theirs, "lot")
    add(house, house.rival, theirs, "instrument")
    assert batches(house, house.ines, ours) == []
    assert earlier_instruments(house.installation, house.ines, ours) == ()


@pytest.mark.parametrize("batch_number", [None, "A-2"])
def test_corrected_batch_is_not_offered_as_it_was(house: House, batch_number: str | None) -> None:
    first, second = begin(house, house.ines, "J-1"), begin(house, house.ines, "J-2")
    entry = add(house, house.ines, first, "lot", batch_number="A-1")
    body = batch_number and minimal("lot") | {"batch_number": batch_number}
    add(house, house.ines, first, "correction", corrects=entry, reason="Mistyped.", body=body)
    assert "A-1" not in batches(house, house.ines, second)


def test_instrument_is_offered_once_by_name_and_serial(house: House) -> None:
    first, second = begin(house, house.ines, "J-1"), begin(house, house.ines, "J-2")
    for key, serial in (("t1", "T-77"), ("t2", "T-77"), ("t3", "T-78")):
        add(house, house.ines, first, "instrument", instrument=key, serial=serial)
    offered = earlier_instruments(house.installation, house.ines, second)
    assert [one.serial for one in offered] == ["T-78", "T-77"]


def test_who_may_not_record_is_offered_nothing(house: House) -> None:
    job = begin(house, house.ines, "J-1")
    office = add_person(house.installation, "firm-1", "ode", Role.OFFICE)
    with pytest.raises(NotAllowedError):
        earlier_lots(house.installation, office, job)
