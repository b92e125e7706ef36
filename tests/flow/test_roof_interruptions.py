"""Rain on a real site: one touch, the cover, dry again; all of it one entry and its corrections."""

from __future__ import annotations

import pytest

from qa.services.access import Role
from qa.web.roof.interruption_forms import NO_COVER_YET
from tests.flow.roof_visitor import OpenPage, RoofSite


def stop(roof: RoofSite, **typed: object) -> OpenPage:
    tam = roof.as_(Role.INSTALLER)
    answer = tam.open(f"{roof.job}/interruptions").send(**{"cause": "rain", **typed})
    return tam.follow(answer)


def test_one_touch_stops_the_work_for_rain(roof: RoofSite) -> None:
    page = stop(roof)
    body = roof.read().job.interruptions[-1].body
    assert (body.cause, body.protection, body.until) == ("rain", NO_COVER_YET, None)
    assert "Cover the work first" in page.text


def test_open_interruption_stands_on_top_of_every_page(roof: RoofSite) -> None:
    stop(roof)
    tam = roof.as_(Role.INSTALLER)
    for where in ("", "/lots", "/findings", "/stages/deck/checks", "/photos", "/usage"):
        assert "Stopped for rain since" in tam.open(roof.job + where).text, where


def test_cover_and_end_correct_the_same_entry(roof: RoofSite) -> None:
    roof.add("mix", bays=["r1b1", "r1b2"])
    tam = roof.as_(Role.INSTALLER)
    roof.add("lot")
    page = tam.follow(stop(roof).send(cover="Not covered", words="No sheet on the van"))
    assert "Dry again?" in page.text
    answer = page.send(ending="Cut out what got wet, to be laid again", words="Edge of the wall")
    assert answer.status_code == 303
    assert answer.location.endswith("/conditions") or answer.location.endswith(roof.job)
    (one,) = roof.read().job.interruptions
    assert len(one.corrections) == 2
    assert one.body.until is not None
    assert one.body.protection == (
        "Not covered. No sheet on the van. "
        "Afterwards: Cut out what got wet, to be laid again. Edge of the wall"
    )
    assert "Stopped for rain since" not in tam.open(roof.job).text


def test_bays_that_got_wet_are_named(roof: RoofSite) -> None:
    roof.add("mix", bays=["r1b1", "r1b2"])
    for stage in ("survey", "deck", "trims", "bandage"):
        roof.add("sign_off", stage=stage)
    tam = roof.as_(Role.INSTALLER)
    page = tam.follow(stop(roof).send(cover="Covered in part"))
    assert "r1b2" in page.text
    assert "r2b1" not in page.text
    page.send(ending="Cut out what got wet, to be laid again", bays=['["main", "r1b2"]'])
    body = roof.read().job.interruptions[-1].body
    assert (body.bays, body.area, body.stage) == (("r1b2",), "main", "laminate")


def test_second_stop_leads_to_the_first(roof: RoofSite) -> None:
    stop(roof)
    page = stop(roof)
    assert "stopped already" in page.text
    assert len(roof.read().job.interruptions) == 1


def test_stop_sent_twice_makes_one_entry(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/interruptions")
    assert page.send().location == page.send().location
    assert len(roof.read().job.interruptions) == 1


@pytest.mark.parametrize("cause", ["wind", "cold", "heat", "other"])
def test_other_causes_stop_it_too(roof: RoofSite, cause: str) -> None:
    stop(roof, cause=cause)
    assert roof.read().job.interruptions[-1].body.cause == cause


def test_cause_that_is_none_is_refused(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/interruptions")
    assert page.send(cause="<b>hail</b>").status_code == 400


def test_ended_interruption_takes_nothing_more(roof: RoofSite) -> None:
    tam = roof.as_(Role.INSTALLER)
    page = tam.follow(stop(roof).send(cover="Nothing wet was open"))
    page.send(ending="Nothing got wet")
    page.send(ending="Nothing got wet")
    (one,) = roof.read().job.interruptions
    assert len(one.corrections) == 2
    assert "Was stopped for rain" in tam.open(page.path).text


def test_office_reads_an_interruption_without_its_form(roof: RoofSite) -> None:
    page = stop(roof)
    shown = roof.as_(Role.OFFICE).open(page.path)
    assert shown.status == 200
    assert "Save the cover" not in shown.text
