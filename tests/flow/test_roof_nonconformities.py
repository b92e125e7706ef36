"""Nonconformities on a real site: raised, decided, closed with evidence, and by whom."""

from __future__ import annotations

import io

import pytest

from qa.services.access import Role
from tests.flow.roof_visitor import OpenPage, RoofSite
from tests.house import jpeg

FROM_FINDING = "stage=deck&check=deck.moisture&area=main"


def raise_page(roof: RoofSite, query: str = "stage=deck") -> OpenPage:
    return roof.as_(Role.INSTALLER).open(f"{roof.job}/nonconformities/new?{query}")


def raised(roof: RoofSite) -> str:
    """Raises number 1 about moist boards, and answers its address."""
    roof.add("measurement", value=22.0, area="main")
    answer = raise_page(roof, FROM_FINDING).send()
    assert answer.status_code == 303, answer.text
    return answer.location


def test_finding_fills_in_what_does_not_conform(roof: RoofSite) -> None:
    roof.add("measurement", value=22.0, area="main")
    page = raise_page(roof, FROM_FINDING)
    assert "22 %" in page.fields["description"][0]
    assert page.fields["number"] == ["1"]
    page.send()
    body = roof.read().job.nonconformities[-1].body
    assert (body.stage, body.check, body.area) == ("deck", "deck.moisture", "main")


def test_photograph_that_comes_before_its_nonconformity_waits_for_it(roof: RoofSite) -> None:
    raising = raise_page(roof)
    entry = raising.fields["entry_id"][0]
    photo = roof.as_(Role.INSTALLER).open(f"{roof.job}/photos?stage=deck")
    sent = {"shows": "-", "nonconformity_entry": entry}
    early = photo.send(photos=(io.BytesIO(jpeg(7)), "a.jpg"), **sent)
    assert early.status_code == 404
    assert "is not saved. Save it first." in early.text
    assert raising.send(description="Gap", number="4").status_code == 303
    assert photo.send(photos=(io.BytesIO(jpeg(7)), "a.jpg"), **sent).status_code == 303
    assert roof.read().job.photos[-1].body.nonconformity == 4


def test_number_that_is_taken_is_refused_at_its_field(roof: RoofSite) -> None:
    first, second = raise_page(roof), raise_page(roof)
    assert first.send(description="Gap").status_code == 303
    answer = second.send(description="Another gap")
    assert answer.status_code == 400
    assert 'href="#number"' in answer.text
    assert "Another gap" in answer.text
    assert second.send(description="Another gap", number="2").status_code == 303


@pytest.mark.parametrize(
    ("field", "typed"),
    [("number", "0"), ("number", "one"), ("number", "1e9"), ("stage", "attic"), ("bay", "7"),
     ("description", "")],
)  # fmt: skip
def test_impossible_nonconformity_is_refused_at_its_field(
    roof: RoofSite, field: str, typed: str
) -> None:
    answer = raise_page(roof).send(**{"description": "Gap", field: typed})
    assert answer.status_code == 400
    assert f'href="#{field}"' in answer.text


def test_office_raises_without_a_camera(roof: RoofSite) -> None:
    page = roof.as_(Role.OFFICE).open(f"{roof.job}/nonconformities/new?stage=deck")
    assert "data-photo " not in page.text
    assert page.send(description="The client rang: damp.").status_code == 303


def test_only_a_supervisor_decides(roof: RoofSite) -> None:
    where = raised(roof)
    nell = roof.as_(Role.INSTALLER).open(where)
    assert "A supervisor decides" in nell.text
    assert "Save the decision" not in nell.text
    token = nell.text.split('name="csrf-token" content="')[1].split('"')[0]
    sent = nell.client.post(
        f"{where}/decide", data={"csrf_token": token, "decision": "reject", "reason": "No."}
    )
    assert sent.status_code == 403
    assert roof.read().job.dispositions == ()


def test_check_and_entry_lead_to_the_open_nonconformity(roof: RoofSite) -> None:
    where = raised(roof)
    nell = roof.as_(Role.INSTALLER)
    assert f'href="{where}"' in nell.open(f"{roof.job}/stages/deck/checks/deck.moisture").text
    entry = roof.read().job.nonconformities[-1].id
    assert f'href="{where}"' in nell.open(f"{roof.job}/record/{entry}").text


def test_rework_is_closed_by_what_was_measured_since(roof: RoofSite) -> None:
    where = raised(roof)
    orla = roof.as_(Role.SUPERVISOR).open(where)
    assert orla.send(decision="rework", reason="Dry and measure again.").status_code == 303
    roof.add("measurement", value=15.0, area="main")
    later = roof.read().job.measurements[-1]
    page = roof.as_(Role.INSTALLER).open(where)
    assert "15 %" in page.text
    answer = page.send(statement="Dried under cover.", entries=[later.id])
    assert answer.status_code == 303
    assert "put right" in roof.as_(Role.INSTALLER).open(where).text
    assert roof.read().job.closures[-1].body.entries == (later.id,)


def test_what_most_likely_shows_it_stands_first_and_ticked(roof: RoofSite) -> None:
    where = raised(roof)
    roof.as_(Role.SUPERVISOR).open(where).send(decision="rework", reason="Dry it.")
    roof.add("measurement", value=15.0, area="main")
    again = roof.read().job.measurements[-1].id
    roof.add("measurement", check="deck.board_thickness", value=18.0, unit="mm", area="main")
    page = roof.as_(Role.INSTALLER).open(where)
    assert page.fields["entries"] == [again]
    assert page.text.split('name="entries" value="')[1].startswith(again)


def test_photograph_taken_at_closing_is_evidence(roof: RoofSite) -> None:
    where = raised(roof)
    roof.as_(Role.SUPERVISOR).open(where).send(decision="rework", reason="Dry it.")
    page = roof.as_(Role.INSTALLER).open(where)
    page.send(statement="Dried.", photos=(io.BytesIO(jpeg(1)), "a.jpg"))
    photo = roof.read().job.photos[-1]
    assert photo.body.nonconformity == 1
    assert roof.read().job.closures[-1].body.entries == (photo.id,)


def test_concession_is_told_as_such(roof: RoofSite) -> None:
    where = raised(roof)
    page = roof.as_(Role.SUPERVISOR).open(where)
    page.send(decision="concession", reason="Dry since.", authority="The client", limit="One board")
    text = roof.as_(Role.OFFICE).open(where).text
    for told in ("conceded in writing", "Dry since.", "The client", "One board"):
        assert told in text


@pytest.mark.parametrize("missing", ["authority", "limit"])
def test_concession_names_its_authority_and_its_limit(roof: RoofSite, missing: str) -> None:
    where = raised(roof)
    terms = {"authority": "The client", "limit": "One board", missing: " "}
    page = roof.as_(Role.SUPERVISOR).open(where)
    answer = page.send(decision="concession", reason="Dry since.", **terms)
    assert answer.status_code == 400
    assert f'href="#{missing}"' in answer.text
    assert "Dry since." in answer.text
    assert page.send(decision="reject", reason="No.", **terms).status_code == 303


def test_evidence_that_is_not_offered_is_refused(roof: RoofSite) -> None:
    where = raised(roof)
    roof.as_(Role.SUPERVISOR).open(where).send(decision="rework", reason="Dry it.")
    page = roof.as_(Role.INSTALLER).open(where)
    assert page.send(statement="Done.", entries=["no-entry"]).status_code == 400


def test_decision_without_a_reason_is_refused_and_kept(roof: RoofSite) -> None:
    where = raised(roof)
    answer = roof.as_(Role.SUPERVISOR).open(where).send(decision="reject", reason="")
    assert answer.status_code == 400
    assert 'value="reject" checked' in answer.text


def test_findings_page_lists_both_and_leads_on(roof: RoofSite) -> None:
    where = raised(roof)
    text = roof.as_(Role.OWNER).open(f"{roof.job}/findings").text
    assert "At most 18 %" in text or "limit at most 18 %" in text
    assert where in text


def test_unknown_number_is_not_found(roof: RoofSite) -> None:
    assert roof.as_(Role.INSTALLER).open(f"{roof.job}/nonconformities/9").status == 404


def test_what_was_raised_is_not_raised_twice(roof: RoofSite) -> None:
    address = raised(roof)
    findings = roof.as_(Role.INSTALLER).open(f"{roof.job}/findings").text
    assert f'<a href="{address}"><b>Nonconformity 1, open</b></a>' in findings
    assert "/nonconformities/new?stage=deck" not in findings
    assert "/nonconformities/new?stage=completion" not in findings


def test_rework_leads_to_the_check_that_is_answered_anew(roof: RoofSite) -> None:
    address = raised(roof)
    roof.as_(Role.SUPERVISOR).open(address).send(decision="rework", reason="Dry it")
    found = roof.read().job.measurements[-1].id
    assert f"/stages/deck/checks/deck.moisture?area=main&amp;again={found}" in (
        roof.as_(Role.INSTALLER).open(address).text
    )


def test_answer_after_the_rework_is_ticked_as_its_evidence(roof: RoofSite) -> None:
    address = raised(roof)
    roof.as_(Role.SUPERVISOR).open(address).send(decision="rework", reason="Dry it")
    roof.add("measurement", value=21.0, area="main")
    again = roof.add("measurement", value=15.0, area="main")
    closed = roof.as_(Role.INSTALLER).open(address).send(statement="Dried over two days")
    assert closed.status_code == 303
    assert roof.read().job.closures[-1].body.entries == (again.entry,)
