"""How entries are written down and how they arrive."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from qa.demo.calendar import MAIN_DAY, NELL, moment
from qa.demo.diary import Diary
from qa.demo.examining import bays_of
from qa.demo.opening import ROOFS
from qa.record.kinds.papers import Note
from qa.record.registry import Kind
from qa.specification.loader import built_in
from qa.trade.bays import lay_out_bays
from tests.unit.demo import told_job


def test_entries_of_one_minute_keep_their_order() -> None:
    diary = Diary()
    diary.day = date(2026, 5, 8)
    for number in range(8):
        diary.write("09:00", NELL, Note(text=f"Note {number}"))
    times = [entry.at for entry in diary.script().entries]
    assert times == sorted(set(times))


def test_nobody_writes_nine_entries_a_minute() -> None:
    diary = Diary()
    for number in range(8):
        diary.write("09:00", NELL, Note(text=f"Note {number}"))
    with pytest.raises(ValueError, match="too many entries at 09:00"):
        diary.write("09:00", NELL, Note(text="Note 8"))


def test_ids_are_of_version_7_and_tell_the_time() -> None:
    for entry in told_job.record().entries:
        first, second, third, fourth, _ = entry.id.split("-")
        assert (third[0], fourth[0]) == ("7", "8")
        assert int(first + second, 16) == round(entry.at.timestamp() * 1000)


def test_entries_arrive_after_they_were_written() -> None:
    entries = told_job.record().entries
    assert all(entry.received_at > entry.at for entry in entries)
    arrivals = [entry.received_at for entry in entries]
    assert arrivals == sorted(arrivals)


def test_each_device_sends_in_the_order_of_the_work() -> None:
    for device in ("phone-nell", "phone-tam", "tablet-orla"):
        sent = [e for e in told_job.record().entries if e.device == device]
        in_time = [e.at for e in sent if e.received_at - e.at < timedelta(hours=3)]
        assert in_time
        assert in_time == sorted(in_time)


def test_without_signal_entries_wait_for_it() -> None:
    waited = [
        entry
        for entry in told_job.record().entries
        if entry.by == NELL and moment(MAIN_DAY, "12:34") <= entry.at < moment(MAIN_DAY, "14:36")
    ]
    assert len(waited) >= 3
    assert all(
        moment(MAIN_DAY, "14:36") <= e.received_at < moment(MAIN_DAY, "14:37") for e in waited
    )


def test_correction_arrives_after_what_it_corrects() -> None:
    place = {entry.id: number for number, entry in enumerate(told_job.record().entries)}
    corrections = [e for e in told_job.record().entries if e.kind is Kind.CORRECTION]
    assert all(place[c.body.corrects] < place[c.id] for c in corrections)


def test_bays_follow_the_specification_of_the_job() -> None:
    figures = built_in("general-grp/1").figures
    for roof in ROOFS:
        assert bays_of(roof) == lay_out_bays(
            roof.roof,
            mat_width_m=figures.mat_width_m.value,
            mat_overlap_m=figures.mat_overlap_m.value,
            bay_length_m=figures.bay_length_m.value,
        )
