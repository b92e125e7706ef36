"""Signing off and releasing on a real site: what is missing, two tabs, wrong roles, work after."""

from __future__ import annotations

from datetime import timedelta

import pytest

from qa.services.access import Role
from qa.trade.vocabulary import Stage
from qa.web import clock
from tests.flow.roof_visitor import OpenPage, RoofSite


def sign_off_page(roof: RoofSite, stage: str = "deck") -> OpenPage:
    return roof.as_(Role.INSTALLER).open(f"{roof.job}/stages/{stage}/sign-off")


def release_page(roof: RoofSite, stage: str = "deck") -> OpenPage:
    return roof.as_(Role.SUPERVISOR).open(f"{roof.job}/stages/{stage}/release")


def test_what_is_missing_stands_before_the_signature(roof: RoofSite) -> None:
    page = sign_off_page(roof)
    assert "Moisture content of the deck boards" in page.text
    assert "Photo: each run of boards" in page.text
    assert "Not recorded: " in page.fields["statement"][0]


def test_signature_is_saved_although_something_is_missing(roof: RoofSite) -> None:
    answer = sign_off_page(roof).send(statement="Deck done and dry.")
    assert answer.status_code == 303
    assert "Deck done and dry." in roof.as_(Role.INSTALLER).open(answer.location).text
    assert roof.read().stage_in_hand is Stage.SURVEY


def test_statement_may_not_be_empty(roof: RoofSite) -> None:
    assert sign_off_page(roof).send(statement=" ").status_code == 400


def test_two_tabs_make_one_signature(roof: RoofSite) -> None:
    first, second = sign_off_page(roof), sign_off_page(roof)
    assert first.fields["entry_id"] == second.fields["entry_id"]
    assert first.send().status_code == 303
    assert second.send().status_code == 303
    assert len(roof.read().job.sign_offs) == 1


def test_two_tabs_with_two_statements_are_a_conflict(roof: RoofSite) -> None:
    first, second = sign_off_page(roof), sign_off_page(roof)
    first.send(statement="Done.")
    answer = second.send(statement="Done, but for the gap.")
    assert answer.status_code == 409
    assert [s.body.statement for s in roof.read().job.sign_offs] == ["Done."]


def test_what_stands_signed_off_is_not_signed_again(roof: RoofSite) -> None:
    sign_off_page(roof).send()
    answer = sign_off_page(roof).send(statement="Once more.")
    assert answer.status_code == 409
    assert "is signed off already, by Nell Sample" in answer.text


def test_work_after_the_signature_is_said_and_may_be_signed_for(roof: RoofSite) -> None:
    sign_off_page(roof).send()
    roof.add("measurement", at=clock.now() + timedelta(seconds=5))
    page = sign_off_page(roof)
    assert "but work was recorded on" in page.text
    assert page.send(statement="After the last reading.").status_code == 303


@pytest.mark.parametrize("role", [Role.SUPERVISOR, Role.OFFICE, Role.OWNER])
def test_only_an_installer_signs_off(roof: RoofSite, role: Role) -> None:
    page = roof.as_(role).open(f"{roof.job}/stages/deck/sign-off")
    assert page.status == 403
    assert "that is for the installer" in page.text


@pytest.mark.parametrize("role", [Role.INSTALLER, Role.OFFICE, Role.OWNER])
def test_only_a_supervisor_releases(roof: RoofSite, role: Role) -> None:
    page = roof.as_(role).open(f"{roof.job}/stages/deck/release")
    assert page.status == 403
    assert "that is for the supervisor" in page.text


def test_release_shows_findings_before_the_decision(roof: RoofSite) -> None:
    roof.add("measurement", value=22.0)
    sign_off_page(roof).send()
    text = release_page(roof).text
    assert text.index("22 %") < text.index("Sign the decision")
    assert "Signed off by Nell Sample" in text


def test_release_and_refusal_are_kept_with_their_statement(roof: RoofSite) -> None:
    sign_off_page(roof).send()
    page = release_page(roof)
    assert page.send(decision="refused", statement="Gap at the wall.").status_code == 303
    assert page.send(decision="refused", statement="Gap at the wall.").status_code == 303
    release_page(roof).send(decision="released", statement="Gap mended, seen.")
    assert [s.body.decision for s in roof.read().job.sign_offs] == [
        "complete", "refused", "released",
    ]  # fmt: skip
    assert roof.read().assessment.stages[Stage.DECK.order].released


def test_release_without_a_decision_is_asked_for(roof: RoofSite) -> None:
    answer = release_page(roof).send(statement="Seen.")
    assert answer.status_code == 400
    assert "Choose one of these" in answer.text


def test_unsigned_stage_is_said_before_its_release(roof: RoofSite) -> None:
    assert "No installer has signed this stage off yet" in release_page(roof).text


@pytest.mark.parametrize("days", [-1, 1])
def test_phone_a_day_off_does_no_harm_and_is_said(roof: RoofSite, days: int) -> None:
    phone = (clock.now() + timedelta(days=days)).isoformat()
    answer = sign_off_page(roof).send(noted_at=phone, phone_now=phone)
    shown = roof.as_(Role.INSTALLER).follow(answer)
    assert f"clock is 1 day {'ahead' if days > 0 else 'behind'}" in shown.text
    signed = roof.read().job.sign_offs[-1]
    assert abs(signed.at - clock.now()) < timedelta(minutes=1)


def test_installer_is_not_led_to_a_release_that_is_not_theirs(roof: RoofSite) -> None:
    way = f'href="{roof.job}/stages/deck/release"'
    path = f"{roof.job}/stages/deck"
    assert "Release by a supervisor" in roof.as_(Role.INSTALLER).open(path).text
    assert way not in roof.as_(Role.INSTALLER).open(path).text
    assert way in roof.as_(Role.SUPERVISOR).open(path).text
