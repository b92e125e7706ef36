"""No check of the specification without a test that reaches it, in every direction it can take."""

from __future__ import annotations

from pathlib import Path

import pytest

from qa.specification.model import Form
from qa.trade.conformity import Limits
from tests.unit.assess.sound_job import GENERAL, OBSERVED, assessed, equipped, sound_job
from tests.unit.assess.test_limits_of_answers import MEASURED_AT_AN_EDGE, MEASURED_ON_AN_AREA

TABLES = {
    *OBSERVED,
    *(case.check for case in MEASURED_ON_AN_AREA),
    *(check for check, *_ in MEASURED_AT_AN_EDGE),
}
SUBJECTS = (
    "conditions",
    "consumption",
    "cure",
    "dryness",
    "examinations",
    "falls",
    "lateness",
    "limits_of_answers",
    "lot_balance",
    "mixes",
    "nonconformities",
    "photo_requests",
    "stages",
)


@pytest.mark.parametrize("check", sorted(GENERAL.checks))
def test_check_is_in_a_table_or_named_by_a_test(check: str) -> None:
    folder = Path(__file__).parent
    written = "".join(
        (folder / f"test_{subject}.py").read_text(encoding="utf-8") for subject in SUBJECTS
    )
    assert check in TABLES or f'"{check}"' in written


def test_every_limit_of_an_answer_is_in_a_table() -> None:
    limited = {
        check.key
        for check in GENERAL.checks.values()
        if check.form in (Form.MEASURED, Form.EITHER) and check.limits != Limits()
    }
    assert limited <= TABLES
    answered = {c.key for c in GENERAL.checks.values() if c.form in (Form.OBSERVED, Form.EITHER)}
    assert answered == OBSERVED.keys()


def test_sound_job_answers_every_check() -> None:
    asked_only_where_recorded = {"record.timely", "laminate.roller_loads", "laminate.thickness"}
    judged = {found.check for found in assessed(sound_job()).findings}
    assert judged == GENERAL.checks.keys() - asked_only_where_recorded


def test_silent_job_asks_for_every_check() -> None:
    silent = {
        found.check for found in assessed(equipped()).findings if found.verdict == "not_recorded"
    }
    asked = {check.key for check in GENERAL.checks.values() if check.need == "always"}
    assert silent == asked - {"completion.nonconformities_closed"}
