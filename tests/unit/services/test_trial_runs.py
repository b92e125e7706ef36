"""A trial run over a firm's jobs: in the background, in stretches, moving nothing."""

from __future__ import annotations

import hashlib
from datetime import datetime, timedelta

import pytest

from qa.errors import NotAllowedError
from qa.services import trial_runs
from qa.services.delivery import work_all, work_once
from qa.services.reading import read_job
from qa.services.trial_runs import TrialRun, ask_for_trial, trial_of, tried_jobs
from qa.specification.loader import built_in_path
from qa.store import specification_trials as store
from tests.house import NOON, House
from tests.roof_job import RoofJob
from tests.specifications import firm_file, with_limit

STRICTER = with_limit(firm_file(), "check.deck.moisture", "upper", "12")
LATER = NOON + timedelta(minutes=1)


def begun(house: House, number: int) -> RoofJob:
    job = RoofJob.started(house, job=f"J-{number}")
    job.add("area")
    job.add("measurement", check="deck.moisture", stage="deck", unit="%", value=15)
    return job


def ask(house: House, content: bytes = STRICTER, now: datetime = NOON) -> None:
    ask_for_trial(house.installation, house.omar, content, now=now)


def run_of(house: House, content: bytes = STRICTER) -> TrialRun:
    run = trial_of(house.installation, house.omar, content)
    assert run is not None
    return run


def test_whole_answer_comes_in_stretches(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(trial_runs, "A_STRETCH", 2)
    jobs = [begun(house, number) for number in range(3)]
    ask(house)
    assert run_of(house).kept.is_under_way
    work_all(house.installation, now=NOON)
    assert (run_of(house).kept.jobs_done, run_of(house).kept.jobs_of) == (2, 3)
    work_all(house.installation, now=LATER)
    run = run_of(house)
    assert (run.kept.jobs_done, run.kept.touched, run.kept.findings) == (3, 3, 3)
    assert run.turns == (("within limits", "outside limits", 3),)
    assert run.kept.finished_at == LATER
    found = tried_jobs(house.installation, house.omar, run, skip=0, most=9)
    assert {one.id for one in found} == {job.id for job in jobs}
    (change,) = found[0].changes
    assert (change.check, change.stage) == ("deck.moisture", "deck")


def test_same_limits_touch_no_job(house: House) -> None:
    begun(house, 1)
    ask(house, built_in_path("general-grp/1").read_bytes())
    work_all(house.installation, now=NOON)
    kept = run_of(house, built_in_path("general-grp/1").read_bytes()).kept
    assert (kept.jobs_done, kept.touched, kept.finished_at) == (1, 0, NOON)


def test_firm_without_jobs_has_its_answer(house: House) -> None:
    ask(house)
    work_all(house.installation, now=NOON)
    assert run_of(house).kept.finished_at == NOON


def test_job_stays_judged_by_what_it_pins(house: House) -> None:
    job = begun(house, 1)
    before = read_job(house.installation, house.ines, job.id)
    ask(house)
    work_all(house.installation, now=NOON)
    house.installation.open_jobs.forget(job.id)
    after = read_job(house.installation, house.ines, job.id)
    assert (after.assessment, after.specification) == (before.assessment, before.specification)


def test_asked_twice_it_goes_on_and_ended_it_begins_anew(house: House) -> None:
    begun(house, 1)
    ask(house)
    first = run_of(house).kept.id
    ask(house)
    assert run_of(house).kept.id == first
    work_all(house.installation, now=NOON)
    ask(house, now=LATER)
    assert run_of(house).kept.id != first
    assert run_of(house).kept.jobs_done == 0
    work_all(house.installation, now=LATER)
    assert run_of(house).kept.findings == 1


def test_another_firm_sees_nothing_of_it(house: House) -> None:
    begun(house, 1)
    ask(house)
    work_all(house.installation, now=NOON)
    assert trial_of(house.installation, house.rival, STRICTER) is None
    assert tried_jobs(house.installation, house.rival, run_of(house), skip=0, most=9) == ()


def test_job_that_it_cannot_judge_is_told_with_the_fault(house: House) -> None:
    begun(house, 1)
    observed = STRICTER.replace(
        b'[check.survey.back_fall]\nstages = ["survey"]\nform = "either"',
        b'[check.survey.back_fall]\nstages = ["survey"]\nform = "measured"',
    )
    observed = observed.replace(b'expects = "no"\nbasis', b"basis", 1)
    head, mark, rest = observed.partition(b'plain = "The area that drains away from the outlet"\n')
    lines = rest.split(b"\n")
    measured = head + mark + b"\n".join(lines[2:])
    job = RoofJob.started(house, job="J-2")
    job.add("area")
    job.add("observation", check="survey.back_fall", stage="survey", result="no")
    ask(house, measured)
    work_all(house.installation, now=NOON)
    found = tried_jobs(house.installation, house.omar, run_of(house, measured), skip=0, most=9)
    assert [one.reference for one in found if one.fault] == ["J-2"]


def test_run_that_is_given_up_says_so(house: House) -> None:
    ask(house)
    with house.installation.store.writing() as session:
        trial_runs.give_up_trial(session, run_of(house).kept.id, "The disk is full.")
    assert run_of(house).kept.fault == "The disk is full. Ask for the trial run again."
    ask(house)
    assert run_of(house).kept.is_under_way


def test_late_worker_of_a_run_begun_anew_changes_nothing(house: House) -> None:
    begun(house, 1)
    ask(house)
    old = run_of(house).kept.id
    work_once(house.installation, now=NOON)
    ask(house, now=LATER)
    late = trial_runs.try_next_jobs(house.installation, old, LATER)
    with house.installation.store.writing() as session:
        late(session)
        sha256 = hashlib.sha256(STRICTER).hexdigest()
        kept = store.trial_of(session, firm_id="firm-1", sha256=sha256)
    assert kept is not None
    assert kept.jobs_done == 0


def test_installer_asks_for_none(house: House) -> None:
    with pytest.raises(NotAllowedError):
        ask_for_trial(house.installation, house.ines, STRICTER, now=NOON)
