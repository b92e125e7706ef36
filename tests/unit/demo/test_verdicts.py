"""How the demonstration is judged: the faults that its story tells, and no other."""

from __future__ import annotations

from qa.assess.finding import StageStatus
from qa.assess.nonconformities import NonconformityState, cases
from qa.trade.conformity import Verdict
from qa.trade.vocabulary import Stage
from tests.unit.demo import told_job


def _places(findings) -> list[tuple[str, str | None, str | None]]:
    return [(found.check, found.area, found.bay) for found in findings]


def test_what_is_open_is_what_the_story_leaves_open() -> None:
    assert _places(f for f in told_job.assessment().findings if f.is_open) == [
        ("record.timely", "porch", None),
        ("completion.flashings", "main", None),
        ("completion.nonconformities_closed", None, None),
    ]


def test_one_bay_was_put_right() -> None:
    assert _places(f for f in told_job.assessment().findings if f.put_right) == [
        ("laminate.pinholes", "main", "r3b5"),
        ("laminate.wet_out", "main", "r3b5"),
    ]


def test_one_gap_was_conceded() -> None:
    (conceded,) = [f for f in told_job.assessment().findings if f.conceded]
    assert (conceded.check, conceded.area, conceded.value) == ("deck.expansion_gap", "porch", 18)


def test_everything_else_is_recorded_and_within() -> None:
    rest = [f for f in told_job.assessment().findings if f.verdict is not Verdict.OUTSIDE]
    assert {f.verdict for f in rest} == {Verdict.WITHIN}


def test_stages_stand_as_the_story_has_them() -> None:
    stages = told_job.assessment().stages
    assert {outcome.stage: outcome.status for outcome in stages} == {
        Stage.SURVEY: StageStatus.WITHIN,
        Stage.DECK: StageStatus.CONCEDED,
        Stage.TRIMS: StageStatus.OUTSIDE,
        Stage.BANDAGE: StageStatus.WITHIN,
        Stage.LAMINATE: StageStatus.PUT_RIGHT,
        Stage.TOPCOAT: StageStatus.WITHIN,
        Stage.COMPLETION: StageStatus.OUTSIDE,
    }
    released = {outcome.stage for outcome in stages if outcome.released}
    assert released == {Stage.DECK, Stage.BANDAGE, Stage.LAMINATE, Stage.TOPCOAT}


def test_three_faults_end_in_three_ways() -> None:
    assert [case.state for case in cases(told_job.job())] == [
        NonconformityState.CONCEDED,
        NonconformityState.PUT_RIGHT,
        NonconformityState.OPEN,
    ]


def test_one_entry_alone_came_late() -> None:
    (late,) = [
        f
        for f in told_job.assessment().findings
        if f.check == "record.timely" and f.verdict is Verdict.OUTSIDE
    ]
    assert 12 < late.value < 24


def test_cold_morning_keeps_hardly_its_margin() -> None:
    margins = [f.value for f in told_job.assessment().findings if f.check.endswith("dew_margin")]
    assert 3.0 <= min(margins) < 3.2


def test_one_group_of_bays_is_lean_but_within() -> None:
    rates = {
        f.subject: f.value
        for f in told_job.assessment().findings
        if f.check == "laminate.consumption" and f.subject
    }
    assert min(rates, key=rates.get) == "mix-09"
    assert 1.35 < rates["mix-09"] < 1.45


def test_levels_agree_with_the_measured_fall() -> None:
    falls = {
        f.subject: f
        for f in told_job.assessment().findings
        if f.check == "survey.fall" and f.area == "main"
    }
    measured, reckoned = falls[None], falls["levels"]
    assert abs(measured.value - reckoned.value) < reckoned.expanded_uncertainty


def test_dish_before_the_outlet_is_told_and_not_judged() -> None:
    (reckoned,) = [
        f
        for f in told_job.assessment().findings
        if f.check == "survey.back_fall" and f.subject == "levels"
    ]
    assert reckoned.verdict is Verdict.WITHIN
    assert "Cannot drain: 2 mm deep at (5.20, 0.95) m, 0.79 m²" in reckoned.exact
