"""The assessment as a whole: its JSON, its order, how stages stand, and what never changes it."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from qa.assess.finding import Assessment, StageStatus, assessment_json, assessment_text
from qa.assess.summary import summary_text
from qa.trade.conformity import Verdict
from qa.trade.vocabulary import Stage
from tests.factories import RecordBuilder
from tests.unit.assess.sound_job import GENERAL, assessed, equipped, only, sound_job

FINDING_FIELDS = [
    "check",
    "stage",
    "area",
    "bay",
    "subject",
    "value",
    "unit",
    "expanded_uncertainty",
    "lower",
    "upper",
    "verdict",
    "put_right",
    "conceded",
    "basis",
    "source",
    "entries",
    "photos",
    "plain",
    "exact",
]
"""The names and the order of the open format."""


def as_json(assessment: Assessment) -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads(assessment_text(assessment))
    return loaded


def test_sound_job_is_within_in_every_stage() -> None:
    assessment = assessed(sound_job())
    assert {found.verdict for found in assessment.findings} == {Verdict.WITHIN}
    assert {outcome.status for outcome in assessment.stages} == {StageStatus.WITHIN}


def test_json_has_the_fields_of_the_format() -> None:
    builder = sound_job()
    told = as_json(assessed(builder))
    assert list(told) == [
        "job",
        "specification",
        "specification_sha256",
        "record",
        "stages",
        "findings",
    ]
    assert (told["job"], told["specification"]) == ("J-2026-014", "general-grp/1")
    assert told["specification_sha256"] == GENERAL.sha256
    assert told["record"] == {"entries": len(builder.entries), "head": builder.job().head}
    assert [stage["stage"] for stage in told["stages"]] == [stage.value for stage in Stage]
    assert all(list(stage) == ["stage", "status", "released"] for stage in told["stages"])
    assert all(list(found) == FINDING_FIELDS for found in told["findings"])


def test_json_keeps_to_the_words_of_the_format() -> None:
    builder = sound_job(measured={"deck.moisture": 20}, without={"deck.dry"})
    told = as_json(assessed(builder))
    verdicts = {"within", "outside", "undecided", "not_recorded", "not_applicable"}
    assert {found["verdict"] for found in told["findings"]} <= verdicts
    bases = {"published", "common practice", "project choice"}
    assert {found["basis"] for found in told["findings"]} <= bases
    statuses = {"within", "outside", "put_right", "conceded", "incomplete"}
    assert {stage["status"] for stage in told["stages"]} <= statuses
    assert all(isinstance(stage["released"], bool) for stage in told["stages"])


def test_what_is_not_known_is_null() -> None:
    told = as_json(assessed(equipped()))
    (moist,) = [found for found in told["findings"] if found["check"] == "deck.moisture"]
    for name in ("bay", "subject", "value", "expanded_uncertainty", "lower"):
        assert moist[name] is None
    assert (moist["upper"], moist["unit"], moist["area"]) == (18, "%", "main")
    assert (moist["entries"], moist["photos"], moist["put_right"]) == ([], [], False)


def test_every_finding_has_two_whole_sentences() -> None:
    builder = sound_job(measured={"deck.moisture": 20}, without={"deck.dry"})
    for found in (*assessed(builder).findings, *assessed(equipped()).findings):
        assert found.plain.endswith((".", ")")), found.plain
        assert found.exact.endswith((".", ")")), found.exact
        assert found.source
        assert found.source.rstrip(".").lower()[1:] in found.exact.lower()


def test_findings_stand_in_the_order_of_the_format() -> None:
    builder = sound_job()
    builder.add("area", area="annexe", name="Annexe")
    order = [stage.value for stage in Stage]
    keys = [
        (order.index(f.stage), f.check, f.area or "", f.bay or "", f.subject or "")
        for f in assessed(builder).findings
    ]
    assert keys == sorted(keys)


def test_bays_are_ordered_by_row_and_number() -> None:
    builder = RecordBuilder.opened()
    builder.add("area", outline_m=[[0, 0], [12, 0], [12, 2], [0, 2]])
    for bay in ("r1b10", "r2b1", "r1b2"):
        builder.add("examination", bay=bay)
    found = [f.bay for f in assessed(builder).findings if f.check == "laminate.pinholes"]
    assert found == ["r1b2", "r1b10", "r2b1"]


def test_two_runs_give_the_same_bytes() -> None:
    first, second = (assessment_text(assessed(sound_job())) for _ in range(2))
    assert first == second
    assert json.loads(first) == json.loads(json.dumps(assessment_json(assessed(sound_job()))))


def spoilt(*spoils: str) -> StageStatus:
    """How the deck stands after what is named went wrong."""
    builder = sound_job(
        measured={"deck.moisture": 20} if "outside" in spoils else {},
        without={"deck.dry"} if "silent" in spoils else (),
    )
    deck = {"stage": "deck", "area": "main"}
    if "put_right" in spoils:
        for value in (39, 40):
            builder.add(
                "measurement",
                at="2026-05-12T07:30:00+01:00",
                check="deck.fixing_penetration",
                unit="mm",
                value=value,
                **deck,
            )
    if "conceded" in spoils:
        builder.add(
            "measurement",
            at="2026-05-12T07:30:00+01:00",
            check="deck.offcut_length",
            unit="mm",
            value=1,
            **deck,
        )
        builder.add("nonconformity", check="deck.offcut_length", **deck)
        builder.add("disposition", decision="concession")
    (outcome,) = [o for o in assessed(builder).stages if o.stage is Stage.DECK]
    return outcome.status


@pytest.mark.parametrize(
    ("spoils", "status"),
    [
        ((), StageStatus.WITHIN),
        (("put_right",), StageStatus.PUT_RIGHT),
        (("conceded",), StageStatus.CONCEDED),
        (("conceded", "put_right"), StageStatus.CONCEDED),
        (("silent",), StageStatus.INCOMPLETE),
        (("silent", "conceded", "put_right"), StageStatus.INCOMPLETE),
        (("outside",), StageStatus.OUTSIDE),
        (("outside", "silent", "conceded", "put_right"), StageStatus.OUTSIDE),
    ],
)
def test_what_is_still_outside_weighs_most(spoils: tuple[str, ...], status: StageStatus) -> None:
    assert spoilt(*spoils) is status


def test_released_stages_say_so() -> None:
    released = {o.stage.value for o in assessed(sound_job()).stages if o.released}
    assert released == {"deck", "bandage", "laminate", "topcoat"}


def test_empty_job_is_incomplete_and_never_within() -> None:
    statuses = {o.status for o in assessed(RecordBuilder.opened()).stages}
    assert statuses == {StageStatus.INCOMPLETE}


def test_summary_counts_what_it_lists() -> None:
    text = summary_text(assessed(sound_job(measured={"deck.moisture": 20})))
    assert "deck        outside limits (1)    released" in text
    assert "Outside limits (1)\n  deck.moisture [deck main]: " in text
    assert summary_text(assessed(sound_job())).count("within limits") == len(Stage)


texts = st.text("abc <>&\u202e", min_size=1, max_size=20).filter(lambda text: text.strip())


@given(text=texts, stage=st.sampled_from(list(Stage)), place=st.integers(1, 133))
@settings(max_examples=15)
def test_note_changes_only_what_names_the_record(text: str, stage: Stage, place: int) -> None:
    plain, noted = sound_job(), sound_job()
    noted.add("note", text=text, stage=stage.value, area="main")
    noted.entries.insert(place, noted.entries.pop())
    before, after = as_json(assessed(plain)), as_json(assessed(noted))
    assert after["record"]["entries"] == before["record"]["entries"] + 1
    assert after["record"]["head"] != before["record"]["head"]
    assert before | {"record": None} == after | {"record": None}


@given(st.randoms(use_true_random=False))
@settings(max_examples=15)
def test_order_of_arrival_changes_no_verdict(random: Any) -> None:
    in_order, shuffled = sound_job(), sound_job()
    opening, *rest = shuffled.entries
    for place, entry in enumerate(rest):  # no two of one instant: their order is the record's
        entry["at"] = entry["at"].replace(":00+01:00", f":{place % 60:02}+01:00")
        in_order.entries[place + 1]["at"] = entry["at"]
    random.shuffle(rest)
    shuffled.entries = [opening, *rest]
    before, after = assessed(in_order), assessed(shuffled)
    told = [
        [(f.check, f.subject, f.bay, f.value, f.verdict) for f in a.findings]
        for a in (before, after)
    ]
    assert told[0] == told[1]
    assert before.stages == after.stages


@given(
    st.lists(
        st.tuples(st.sampled_from(["main", "porch"]), st.floats(10, 25)), min_size=1, max_size=8
    ),
    st.data(),
)
@settings(max_examples=30)
def test_removing_a_reading_leaves_other_areas_alone(
    readings: list[tuple[str, float]], data: st.DataObject
) -> None:
    gone = data.draw(st.integers(0, len(readings) - 1))

    def told(kept: list[tuple[str, float]], area: str) -> list[tuple[float | None, Verdict]]:
        builder = equipped()
        builder.add("area", area="porch", name="Porch")
        for where, value in kept:
            builder.add("measurement", value=value, area=where)
        return [
            (f.value, f.verdict)
            for f in assessed(builder).findings
            if f.check == "deck.moisture" and f.area == area
        ]

    other = "porch" if readings[gone][0] == "main" else "main"
    rest = readings[:gone] + readings[gone + 1 :]
    assert told(readings, other) == told(rest, other)


@given(st.lists(st.floats(10, 25), min_size=2, max_size=6), st.data())
@settings(max_examples=30)
def test_removing_a_good_reading_never_excuses_a_bad_one(
    values: list[float], data: st.DataObject
) -> None:
    def is_open(kept: list[float]) -> bool:
        builder = equipped()
        for value in kept:
            builder.add("measurement", value=value, area="main")
        return any(f.is_open for f in assessed(builder).findings if f.check == "deck.moisture")

    good = [place for place, value in enumerate(values) if value <= 18]
    if good and is_open(values):
        gone = data.draw(st.sampled_from(good))
        assert is_open(values[:gone] + values[gone + 1 :])


def test_names_of_people_change_nothing() -> None:
    other = sound_job()
    other.entries[0]["body"]["client"]["name"] = "Somebody Else"
    assert assessed(other).findings == assessed(sound_job()).findings


def test_finding_of_two_areas_names_its_own() -> None:
    builder = equipped()
    builder.add("area", area="porch", name="Porch")
    builder.add("measurement", value=20, area="porch")
    assert only(builder, "deck.moisture", area="porch").plain.startswith("Porch: ")
