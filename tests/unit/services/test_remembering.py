"""What was used last: this person's own, else the last of the job."""

from __future__ import annotations

from qa.services.remembering import last_recorded
from tests.factories import RecordBuilder


def test_last_is_that_of_the_same_person() -> None:
    builder = RecordBuilder.equipped()
    builder.add("mix", at="08:00", by="ines", kg=3)
    builder.add("mix", at="08:30", by="mara", kg=5)
    last = last_recorded(builder.job().mixes, "ines")
    assert last is not None
    assert last.body.kg == 3


def test_last_of_anybody_serves_a_newcomer() -> None:
    builder = RecordBuilder.equipped()
    builder.add("mix", at="08:30", by="mara", kg=5)
    builder.add("mix", at="08:00", by="mara", kg=3)
    last = last_recorded(builder.job().mixes, "ines")
    assert last is not None
    assert last.body.kg == 5


def test_nothing_is_remembered_from_nothing() -> None:
    assert last_recorded(RecordBuilder.equipped().job().mixes, "ines") is None
