"""What was done about a finding outside its limits: rework, concession, or nothing yet."""

from __future__ import annotations

from typing import Any

import pytest

from qa.assess.finding import Finding
from qa.assess.nonconformities import NonconformityState, cases
from qa.trade.conformity import Verdict
from tests.factories import RecordBuilder
from tests.unit.assess.sound_job import equipped, findings, only

CLOSED = "completion.nonconformities_closed"
ABOUT_MIX_1 = {"check": "mix.dose", "area": "main", "subject": "mix-1"}


def overdosed(**about: Any) -> RecordBuilder:
    """A mix with twice its catalyst, and a nonconformity raised about it."""
    builder = equipped()
    builder.add("mix", at="09:00", kg=5, catalyst_ml=300)
    builder.add("nonconformity", at="09:30", **about)
    return builder


def decide(builder: RecordBuilder, decision: str, **fields: Any) -> None:
    builder.add("disposition", decision=decision, **fields)


def close(builder: RecordBuilder, *, evidence: bool = True) -> None:
    ids = [builder.add("examination", bay="r1b1")] if evidence else []
    builder.add("closure", entries=ids)


def dose(builder: RecordBuilder, subject: str = "mix-1") -> Finding:
    return only(builder, "mix.dose", subject=subject)


def state(builder: RecordBuilder) -> NonconformityState:
    (case,) = cases(builder.job())
    return case.state


def test_rework_closed_with_evidence_puts_right() -> None:
    builder = overdosed(**ABOUT_MIX_1)
    assert dose(builder).is_open
    decide(builder, "rework")
    assert dose(builder).is_open
    close(builder)
    found = dose(builder)
    assert (found.verdict, found.put_right, found.conceded) == (Verdict.OUTSIDE, True, False)
    assert found.plain.endswith("It was put right and checked again.")
    assert state(builder) is NonconformityState.PUT_RIGHT


def test_rework_closed_without_evidence_puts_nothing_right() -> None:
    builder = overdosed(**ABOUT_MIX_1)
    decide(builder, "rework")
    close(builder, evidence=False)
    assert dose(builder).is_open
    assert state(builder) is NonconformityState.CLOSED


def test_concession_accepts_what_stays_outside() -> None:
    builder = overdosed(**ABOUT_MIX_1)
    decide(builder, "concession")
    found = dose(builder)
    assert (found.verdict, found.put_right, found.conceded) == (Verdict.OUTSIDE, False, True)
    assert found.plain.endswith("The supervisor accepted it in writing.")


def test_concession_by_an_installer_is_none() -> None:
    builder = overdosed(**ABOUT_MIX_1)
    decide(builder, "concession", by="ines")
    assert dose(builder).is_open
    assert state(builder) is NonconformityState.OPEN


def test_last_decision_is_the_one_that_holds() -> None:
    builder = overdosed(**ABOUT_MIX_1)
    decide(builder, "concession")
    decide(builder, "rework")
    assert dose(builder).is_open
    assert state(builder) is NonconformityState.OPEN


def test_rejected_work_stays_outside() -> None:
    builder = overdosed(**ABOUT_MIX_1)
    decide(builder, "reject")
    close(builder)
    assert dose(builder).is_open
    assert state(builder) is NonconformityState.REJECTED


@pytest.mark.parametrize("about", [{}, {"area": "main"}])
def test_nonconformity_that_names_nothing_excuses_nothing(about: dict[str, str]) -> None:
    builder = overdosed(**about)
    decide(builder, "concession")
    assert dose(builder).is_open


@pytest.mark.parametrize(
    ("about", "conceded"),
    [
        ({"check": "mix.dose"}, True),
        ({"subject": "mix-1"}, True),
        ({"check": "mix.dose", "area": "main"}, True),
        ({"check": "mix.stir_before"}, False),
        ({"check": "mix.dose", "subject": "mix-2"}, False),
        ({"check": "mix.dose", "bay": "r1b1"}, False),
        ({"check": "mix.dose", "stage": "topcoat"}, False),
    ],
)
def test_nonconformity_covers_what_it_names(about: dict[str, Any], conceded: bool) -> None:
    builder = overdosed(**about)
    decide(builder, "concession")
    assert dose(builder).conceded is conceded


def test_concession_does_not_cover_a_later_failure() -> None:
    builder = overdosed(check="mix.dose", area="main")
    decide(builder, "concession", at="10:00")
    builder.add("mix", at="11:00", kg=5, catalyst_ml=300)
    assert dose(builder).conceded
    assert dose(builder, "mix-2").is_open


def test_concession_lapses_where_more_was_used_after_it() -> None:
    builder = equipped()
    builder.add("usage", at="09:00", used=50)
    builder.add("nonconformity", at="09:30", check="laminate.consumption")
    decide(builder, "concession", at="10:00")
    assert only(builder, "laminate.consumption").conceded
    builder.add("usage", at="11:00", used=20)
    assert only(builder, "laminate.consumption").is_open


def test_concession_of_one_rain_covers_no_second_one() -> None:
    builder = equipped()
    builder.add("mix", at="09:00")
    builder.add("conditions", at="09:10", area="main", rain=True)
    builder.add("nonconformity", at="09:30", check="conditions.dry")
    decide(builder, "concession", at="10:00")
    builder.add("conditions", at="10:30", area="main", rain=False)
    assert only(builder, "conditions.dry", stage="laminate").conceded
    builder.add("conditions", at="11:00", area="main", rain=True)
    assert only(builder, "conditions.dry", stage="laminate").is_open


def test_late_release_may_be_conceded_before_it_comes() -> None:
    builder = equipped()
    builder.add("measurement", at="08:00", stage="trims", check="trims.overlap", unit="mm")
    builder.add("nonconformity", at="08:30", stage="deck", check="stage.released")
    decide(builder, "concession", at="09:00")
    builder.add("sign_off", at="10:00", decision="released")
    assert only(builder, "stage.released", stage="deck").conceded


def test_missing_photo_stays_conceded_when_others_come() -> None:
    builder = equipped()
    builder.add("photo", at="08:00", stage="survey")
    builder.add("sign_off", at="08:20", stage="survey")
    builder.add("nonconformity", at="08:30", stage="survey", check="stage.photos")
    decide(builder, "concession", at="09:00")
    assert only(builder, "stage.photos", stage="survey").conceded
    builder.add("photo", at="10:00", stage="deck")
    assert only(builder, "stage.photos", stage="survey").conceded


def test_what_is_within_needs_no_concession() -> None:
    builder = equipped()
    builder.add("mix", at="09:00")
    builder.add("nonconformity", check="mix.dose")
    decide(builder, "concession")
    assert not dose(builder).conceded


def test_bay_may_be_named_alone() -> None:
    builder = equipped()
    builder.add("examination", at="09:00", bay="r2b3", pinholes=2)
    builder.add("nonconformity", bay="r2b3")
    decide(builder, "concession")
    assert all(f.conceded for f in findings(builder, "laminate.pinholes", bay="r2b3"))


@pytest.mark.parametrize(
    ("decision", "closed", "still_open"),
    # 0 open, or conceded in writing: ISO 9001:2015, clause 8.7.
    [
        (None, False, 1),
        ("rework", False, 1),
        ("rework", True, 0),
        ("concession", False, 0),
        ("reject", False, 1),
        (None, True, 0),
    ],
)
def test_open_nonconformities_are_counted(
    decision: str | None, closed: bool, still_open: int
) -> None:
    builder = overdosed(**ABOUT_MIX_1)
    if decision:
        decide(builder, decision)
    if closed:
        close(builder)
    found = only(builder, CLOSED)
    assert found.value == still_open
    assert found.verdict is (Verdict.OUTSIDE if still_open else Verdict.WITHIN)
    assert ("Open: number 1." in found.exact) == bool(still_open)


def test_job_without_nonconformities_is_within() -> None:
    found = only(equipped(), CLOSED)
    assert (found.value, found.verdict, found.entries) == (0, Verdict.WITHIN, ())
