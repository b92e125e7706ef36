"""Checks that the assessment reckons, where a person wrote that they do not apply."""

from __future__ import annotations

from typing import Any

import pytest

from qa.trade.conformity import Verdict
from qa.trade.vocabulary import Stage
from tests.factories import RecordBuilder
from tests.unit.assess.sound_job import GENERAL, equipped, findings, only

REASON = "The laminate came ready-made."
RECKONED_ALWAYS = {"completion.nonconformities_closed", "record.timely"}


def waived(check: str, stage: str, **place: Any) -> RecordBuilder:
    builder = equipped()
    builder.add(
        "observation", stage=stage, check=check, result="not_applicable", reason=REASON, **place
    )
    return builder


@pytest.mark.parametrize(
    ("check", "stage"),
    [
        (check.key, stage)
        for check in GENERAL.checks.values()
        for stage in check.stages
        if check.key not in RECKONED_ALWAYS and findings(equipped(), check.key, stage=stage)
    ],
)
def test_any_silent_check_may_not_apply_with_a_reason(check: str, stage: Stage) -> None:
    found = findings(waived(check, stage), check, stage=stage)
    assert found
    assert {f.verdict for f in found} == {Verdict.NOT_APPLICABLE}
    assert all(REASON in f.exact for f in found)


def test_waiver_of_another_stage_or_area_waives_nothing() -> None:
    builder = waived("mix.dose", "bandage")
    assert only(builder, "mix.dose", stage="laminate").verdict is Verdict.NOT_RECORDED
    builder = waived("laminate.bays_examined", "laminate", area="main")
    builder.add("area", area="porch", name="Porch")
    found = only(builder, "laminate.bays_examined", area="porch")
    assert found.verdict is Verdict.NOT_RECORDED


def test_waiver_never_speaks_against_what_was_recorded() -> None:
    builder = waived("mix.dose", "laminate")
    builder.add("mix", catalyst_ml=400)
    assert only(builder, "mix.dose", subject="mix-1").verdict is Verdict.OUTSIDE
