"""Checks on a real site: limits on, just below and just above; places; nonsense; measured again."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from qa.assess.finding import Finding
from qa.record.kinds.readings import Result
from qa.services.access import Role
from qa.trade.conformity import Verdict
from tests.flow.roof_visitor import RoofSite


def path(roof: RoofSite, check: str) -> str:
    return f"{roof.job}/stages/{check.partition('.')[0]}/checks/{check}"


def verdicts(roof: RoofSite, check: str) -> Iterator[Verdict]:
    return (found.verdict for found in _findings(roof, check))


def _findings(roof: RoofSite, check: str) -> list[Finding]:
    return [found for found in roof.read().assessment.findings if found.check == check]


@pytest.mark.parametrize(
    ("check", "typed", "verdict"),
    [
        ("deck.moisture", "17.9", Verdict.WITHIN),  # project choice: at most 18 %
        ("deck.moisture", "18", Verdict.WITHIN),
        ("deck.moisture", "18,1", Verdict.OUTSIDE),
        ("deck.board_thickness", "18", Verdict.WITHIN),  # common practice, no source
        ("deck.board_thickness", "17.9", Verdict.OUTSIDE),
        ("deck.expansion_gap", "20", Verdict.WITHIN),  # 25 mm, −5/+10
        ("deck.expansion_gap", "19.9", Verdict.OUTSIDE),
        ("deck.expansion_gap", "35", Verdict.WITHIN),
        ("deck.expansion_gap", "35.1", Verdict.OUTSIDE),
    ],
)
def test_figure_is_saved_and_judged(
    roof: RoofSite, check: str, typed: str, verdict: Verdict
) -> None:
    answer = roof.as_(Role.INSTALLER).open(path(roof, check)).send(value=typed)
    assert answer.status_code == 303
    assert list(verdicts(roof, check)) == [verdict]
    assert ("/outside" in answer.location) == (verdict is Verdict.OUTSIDE)


def test_limit_stands_beside_the_field_with_its_source(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(path(roof, "deck.moisture"))
    assert "At most 18 %." in page.text
    assert "Project choice: Chosen by the authors" in page.text


def test_value_outside_asks_for_a_photo_and_a_word(roof: RoofSite) -> None:
    tam = roof.as_(Role.INSTALLER)
    outside = tam.follow(tam.open(path(roof, "deck.moisture")).send(value="22"))
    assert "Saved, and outside its limits" in outside.text
    assert "Raise a nonconformity" in outside.text
    assert "22 %" in outside.text
    assert outside.send(word="Sheeted over to dry").status_code == 303
    assert roof.read().job.notes[-1].body.text.endswith("Sheeted over to dry")


def test_nothing_said_of_what_is_outside_is_asked_again(roof: RoofSite) -> None:
    tam = roof.as_(Role.INSTALLER)
    outside = tam.follow(tam.open(path(roof, "deck.moisture")).send(value="22"))
    answer = outside.send()
    assert answer.status_code == 400
    assert "Go on without" in answer.text


def test_nonconformity_is_raised_with_what_was_typed_saved_first(roof: RoofSite) -> None:
    tam = roof.as_(Role.INSTALLER)
    outside = tam.follow(tam.open(path(roof, "deck.moisture")).send(value="22"))
    raising = tam.follow(outside.send(word="Sheeted over to dry", **{"raise": "0"}))
    assert roof.read().job.notes[-1].body.text.endswith("Sheeted over to dry")
    assert "22 %" in raising.fields["description"][0]


def test_nonconformity_is_raised_without_a_word_too(roof: RoofSite) -> None:
    tam = roof.as_(Role.INSTALLER)
    outside = tam.follow(tam.open(path(roof, "deck.moisture")).send(value="22"))
    assert "/nonconformities/new" in outside.send(**{"raise": "0"}).location
    assert roof.read().job.notes == ()


def test_all_edges_of_an_area_are_proposed_where_nothing_was_answered(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(path(roof, "trims.battens"))
    assert page.fields["place"]
    assert page.send(value="2").status_code == 303
    answer = page.send(place=None, value="2")
    assert "is none of these" not in answer.text


def test_what_is_outside_leads_to_its_answer_anew(roof: RoofSite) -> None:
    tam = roof.as_(Role.INSTALLER)
    outside = tam.follow(tam.open(path(roof, "deck.moisture")).send(value="22"))
    again = outside.text.split("Check it again")[0].rpartition('href="')[2].split('"')[0]
    assert tam.open(again.replace("&amp;", "&")).send(value="15").status_code == 303
    assert [found.put_right for found in _findings(roof, "deck.moisture")] == [True, False]


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "missing"),
        ("wet", "“wet” is no figure"),
        ("<script>alert(1)</script>", "is no figure"),
        ("1; DROP TABLE entry", "is no figure"),
        ("1e9", "no measured value of this trade is as large as that"),
        ("nan", "is no figure"),
        ("-3", "cannot be less than nothing"),
        ("18 %", "is no figure"),
    ],
)
def test_nonsense_is_refused_and_everything_typed_kept(
    roof: RoofSite, typed: str, said: str
) -> None:
    page = roof.as_(Role.INSTALLER).open(path(roof, "deck.moisture"))
    answer = page.send(value=typed, note="Behind the chimney")
    assert answer.status_code == 400
    assert said in answer.text
    assert "Behind the chimney" in answer.text
    assert "<script>alert" not in answer.text
    assert roof.read().job.measurements == ()


def test_script_in_a_note_is_shown_as_text(roof: RoofSite) -> None:
    tam = roof.as_(Role.INSTALLER)
    page = tam.open(path(roof, "deck.dry"))
    assert page.send(result="no", note="<script>alert(1)</script>").status_code == 303
    shown = tam.open(f"{roof.job}/findings").text
    assert "<script>alert" not in shown
    assert "&lt;script&gt;alert(1)" in shown


@pytest.mark.parametrize(
    ("answer", "verdict"),
    [("yes", Verdict.WITHIN), ("no", Verdict.OUTSIDE)],
)
def test_yes_and_no_are_judged(roof: RoofSite, answer: str, verdict: Verdict) -> None:
    roof.as_(Role.INSTALLER).open(path(roof, "deck.dry")).send(result=answer)
    assert list(verdicts(roof, "deck.dry")) == [verdict]


def test_yes_is_the_bad_answer_where_the_check_expects_no(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(path(roof, "survey.back_fall"))
    assert "The good answer is no." in page.text
    page.send(result="yes")
    assert list(verdicts(roof, "survey.back_fall")) == [Verdict.OUTSIDE]


def test_figure_and_answer_together_are_refused(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(path(roof, "survey.back_fall"))
    assert page.send(value="0", result="no").status_code == 400


def test_not_applicable_needs_its_reason(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(path(roof, "deck.dry"))
    refused = page.send(result="not_applicable")
    assert refused.status_code == 400
    assert "say why the check does not apply" in refused.text
    assert page.send(result="not_applicable", reason="Old deck stays").status_code == 303
    assert list(verdicts(roof, "deck.dry")) == [Verdict.NOT_APPLICABLE]


def test_figure_that_does_not_apply_takes_a_reason_alone(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(path(roof, "deck.expansion_gap"))
    assert page.send(reason="No wall").status_code == 303
    assert roof.read().job.observations[-1].body.result is Result.NOT_APPLICABLE


def test_one_touch_answers_for_all_edges_of_a_kind(roof: RoofSite) -> None:
    roof.add(
        "area",
        area="back",
        name="Back",
        edges=[
            {"edge": "e1", "kind": "drip_edge", "length_m": 6},
            {"edge": "e2", "kind": "drip_edge", "length_m": 4},
            {"edge": "e3", "kind": "raised_edge", "length_m": 6},
        ],
    )
    page = roof.as_(Role.INSTALLER).open(path(roof, "trims.battens"))
    assert "Both drip edges, Back" in page.text
    assert "Drip edge e1, 6 m, Back" in page.text
    assert page.send(place='["back", "e1", "e2"]', value="2").status_code == 303
    assert [m.body.edge for m in roof.read().job.measurements] == ["e1", "e2"]
    judged = {f.subject: f.verdict for f in _findings(roof, "trims.battens") if f.area == "back"}
    assert judged == {"e1": Verdict.WITHIN, "e2": Verdict.WITHIN, "e3": Verdict.NOT_RECORDED}


def test_place_that_is_not_offered_is_refused(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(path(roof, "trims.battens"))
    answer = page.send(place='["nowhere", "e1"]', value="2")
    assert answer.status_code == 400
    assert "is none of these" in answer.text


def test_measuring_again_says_what_it_replaces(roof: RoofSite) -> None:
    tam = roof.as_(Role.INSTALLER)
    tam.open(path(roof, "deck.moisture")).send(value="22")
    first = roof.read().job.measurements[0]
    again = tam.open(f"{path(roof, 'deck.moisture')}?again={first.id}")
    assert again.fields["replaces"] == [first.id]
    assert again.send(value="15").status_code == 303
    assert roof.read().job.measurements[1].body.replaces == (first.id,)
    assert [found.put_right for found in _findings(roof, "deck.moisture")] == [True, False]
    assert "put right" in tam.open(path(roof, "deck.moisture")).text


def test_form_sent_twice_makes_one_entry(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(path(roof, "deck.moisture"))
    assert page.send(value="15").status_code == 303
    assert page.send(value="15").status_code == 303
    assert len(roof.read().job.measurements) == 1


def test_same_form_with_another_value_is_a_conflict(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(path(roof, "deck.moisture"))
    page.send(value="15")
    answer = page.send(value="16")
    assert answer.status_code == 409
    assert "The record holds" in answer.text
    assert [m.body.value for m in roof.read().job.measurements] == [15]


def test_instrument_is_remembered_from_the_last_time(roof: RoofSite) -> None:
    roof.add("instrument", instrument="meter", name="Moisture meter", measures="moisture")
    page = roof.as_(Role.INSTALLER).open(path(roof, "deck.moisture"))
    page.send(value="15", instrument="meter")
    again = roof.as_(Role.INSTALLER).open(path(roof, "deck.moisture"))
    assert again.fields["instrument"] == ["meter"]


def test_list_tells_what_is_to_do_and_what_is_answered(roof: RoofSite) -> None:
    tam = roof.as_(Role.INSTALLER)
    tam.open(path(roof, "deck.moisture")).send(value="15")
    text = tam.open(f"{roof.job}/stages/deck/checks").text
    to_do, _, done = text.partition("Answered, or not asked for")
    assert "Moisture content of the deck boards" in done
    assert "Deck surface dry" in to_do


def test_office_may_look_but_not_answer(roof: RoofSite) -> None:
    ode = roof.as_(Role.OFFICE)
    assert ode.open(f"{roof.job}/stages/deck/checks").status == 200
    refused = ode.open(path(roof, "deck.moisture"))
    assert refused.status == 403
    assert "that is for the installer or supervisor" in refused.text


@pytest.mark.parametrize("where", ["stages/attic/checks", "stages/deck/checks/trims.overlap"])
def test_unknown_stage_or_check_is_not_found(roof: RoofSite, where: str) -> None:
    assert roof.as_(Role.INSTALLER).open(f"{roof.job}/{where}").status == 404
