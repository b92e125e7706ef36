"""Mixes from the bucket to the record: proposed, dosed, judged, timed; without script and with it.

Doses: supplier's published chart, medium-reactivity MEKP, 5 to 35 °C; band ±15 %, cut off at 10 and
40 ml/kg (a choice of the specification). Stirring times: common practice, no source.
"""

from __future__ import annotations

import threading
from datetime import timedelta
from typing import Any

import pytest
from markupsafe import escape

from qa.record.kinds.supplies import Mix
from qa.services.access import Role
from qa.web import clock
from tests.factories import INSTRUMENTS, LOTS
from tests.flow.browser import ServedSite
from tests.flow.roof_visitor import OpenPage, RoofSite, begin_roof
from tests.pictures.jobs import clock_at


@pytest.fixture
def roof(site: ServedSite) -> RoofSite:
    """A job in its laminate stage, with batches and a reading of 25 minutes ago."""
    roof = begin_roof(site)
    for fields in (*INSTRUMENTS,):
        roof.add("instrument", **fields)
    for fields in LOTS:
        roof.add("lot", **fields)
    for stage in ("survey", "deck", "trims", "bandage"):
        roof.add("sign_off", stage=stage)
    read_at = clock.now() - timedelta(minutes=25)
    roof.add("conditions", at=read_at, deck_c=14.0, air_c=15.0, humidity_pct=60)
    return roof


def _page(roof: RoofSite) -> OpenPage:
    return roof.as_(Role.INSTALLER).open(f"{roof.job}/mix")


def _only(roof: RoofSite) -> Mix:
    (mix,) = roof.read().job.mixes
    return mix.body


def test_page_proposes_what_the_record_knows(roof: RoofSite) -> None:
    page = _page(roof)
    assert page.fields["deck_c"] == ["14"]
    assert page.fields["kg"] == ["3"]  # first mix of the day: 2 m² at 1.500 kg/m²
    assert page.fields["lot"] == ["resin-1"]
    assert page.fields["catalyst_lot"] == ["catalyst-1"]
    assert "14.0 °C, 25 min ago" in page.text
    assert "<span>90</span>" in page.text  # 3 kg at 30 ml/kg
    assert "accepted 76.5 to 103.5 ml" in page.text


def test_two_steps_without_script_show_the_target_and_save(roof: RoofSite) -> None:
    page = _page(roof)
    shown = page.send(kg="5", show="target")
    assert shown.status_code == 200
    assert "<span>150</span>" in shown.text
    assert roof.read().job.mixes == ()
    made = roof.as_(Role.INSTALLER).follow(page.send(kg="5", catalyst_ml="150"))
    assert made.path.endswith("/mixes/mix-1")
    assert "within limits" in made.text
    assert (_only(roof).kg, _only(roof).catalyst_ml, _only(roof).stage) == (5, 150, "laminate")


def test_dose_is_judged_at_once_at_each_end_of_the_band(roof: RoofSite) -> None:
    """5 kg at 14 °C: 25.5 to 34.5 ml/kg."""
    verdicts = {"127.4": "outside", "127.5": "within", "172.5": "within", "172.6": "outside"}
    for ml, verdict in verdicts.items():
        response = _page(roof).send(
            kg="5", catalyst_ml=ml, stirred_before_s="30", stirred_after_s="30"
        )
        made = roof.as_(Role.INSTALLER).follow(response)
        assert f'class="{verdict}"' in made.text, ml
        assert ("Photograph it and say a word" in made.text) == (verdict == "outside"), ml


@pytest.mark.parametrize(("seconds", "verdict"), [("29", "outside"), ("30", "within")])
def test_stirring_is_judged_at_once(roof: RoofSite, seconds: str, verdict: str) -> None:
    response = _page(roof).send(catalyst_ml="90", stirred_before_s=seconds, stirred_after_s="30")
    made = roof.as_(Role.INSTALLER).follow(response)
    assert ('class="apart"' in made.text) == (verdict == "outside")
    assert _only(roof).stirred_before_s == float(seconds)


@pytest.mark.parametrize("deck", ["4.9", "35.1", "−3"])
def test_outside_the_chart_it_says_do_not_mix_and_saves_all_the_same(
    roof: RoofSite, deck: str
) -> None:
    page = _page(roof)
    assert "Do not mix, because" in page.send(deck_c=deck, show="target").text
    made = roof.as_(Role.INSTALLER).follow(page.send(deck_c=deck, catalyst_ml="90"))
    assert "do not mix" in made.text
    assert len(roof.read().job.mixes) == 1


def test_target_follows_the_chart_row_by_row(roof: RoofSite) -> None:
    page = _page(roof)
    targets = {"5": 120, "12.9": 120, "13": 90, "15.9": 90, "16": 60, "20": 30, "35": 30}
    for deck, target in targets.items():
        assert f"<span>{target}</span>" in page.send(deck_c=deck, show="target").text


def test_figures_take_a_decimal_comma(roof: RoofSite) -> None:
    roof.as_(Role.INSTALLER).follow(_page(roof).send(kg="2,5", deck_c="14,5", catalyst_ml="75,0"))
    assert (_only(roof).kg, _only(roof).deck_c, _only(roof).catalyst_ml) == (2.5, 14.5, 75)


_IMPOSSIBLE = [
    ("kg", "five"),
    ("kg", "0"),
    ("kg", "-3"),
    ("kg", "1e9"),
    ("kg", ""),
    ("catalyst_ml", "-1"),
    ("catalyst_ml", "9" * 30),
    ("catalyst_ml", "'; DROP TABLE entries; --"),
    ("catalyst_ml", ""),
    ("deck_c", "1000"),
    ("deck_c", "<script>alert(1)</script>"),
    ("deck_c", "nan"),
    ("stirred_before_s", "-5"),
    ("bays", "r0b1"),
    ("bays", "everywhere"),
    ("area", "moon"),
    ("lot", "not offered"),
]


def test_impossible_figures_are_refused_in_the_field(roof: RoofSite) -> None:
    page = _page(roof)
    for field, typed in _IMPOSSIBLE:
        response = page.send(**({"catalyst_ml": "90"} | {field: typed}))
        assert response.status_code == 400, (field, typed)
        assert "Not saved yet" in response.text
        assert "<script>alert" not in response.text
        if field not in ("area", "lot"):
            assert escape(typed) in response.text
    assert roof.read().job.mixes == ()


def test_what_was_typed_survives_a_refusal(roof: RoofSite) -> None:
    response = _page(roof).send(kg="five", catalyst_ml="90,5", stirred_before_s="31")
    for typed in ("five", "90,5", "31"):
        assert f'value="{typed}"' in response.text


def test_sent_twice_it_is_one_mix(roof: RoofSite) -> None:
    page = _page(roof)
    first = page.send(catalyst_ml="90")
    again = page.send(catalyst_ml="90")
    assert first.location == again.location
    assert len(roof.read().job.mixes) == 1


def test_same_form_with_another_content_is_a_conflict(roof: RoofSite) -> None:
    page = _page(roof)
    page.send(catalyst_ml="90")
    assert page.send(catalyst_ml="95").status_code == 409
    assert _only(roof).catalyst_ml == 90


def test_two_tabs_make_two_mixes_with_two_numbers(roof: RoofSite) -> None:
    one, other = _page(roof), _page(roof)
    one.send(catalyst_ml="90")
    other.send(catalyst_ml="91")
    assert [mix.body.mix for mix in roof.read().job.mixes] == ["mix-1", "mix-2"]


def test_mixes_saved_in_the_same_moment_get_a_number_each(roof: RoofSite) -> None:
    pages = [_page(roof) for _ in range(4)]
    answers: list[int] = []
    threads = [
        threading.Thread(
            target=lambda page=page: answers.append(page.send(catalyst_ml="90").status_code)
        )
        for page in pages
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(30)
    assert answers == [303] * 4
    assert {mix.body.mix for mix in roof.read().job.mixes} == {f"mix-{n}" for n in range(1, 5)}


def test_stale_reading_asks_for_a_new_one(roof: RoofSite) -> None:
    with clock_at(clock.now() + timedelta(hours=3)):
        page = _page(roof)
        assert page.fields["deck_c"] == [""]
        assert "too old" in page.text
        assert page.send(kg="2", catalyst_ml="40").status_code == 400


def test_topcoat_is_mixed_by_its_own_chart(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/mix?stage=topcoat")
    assert page.fields["lot"] == ["topcoat-1"]
    shown = page.send(kg="4", deck_c="18", show="target")
    assert "<span>80</span>" in shown.text
    assert "accepted 60 to 120 ml" in shown.text


@pytest.mark.parametrize("stage", ["deck", "nonsense"])
def test_nothing_is_mixed_in_a_dry_stage(roof: RoofSite, stage: str) -> None:
    assert roof.as_(Role.INSTALLER).open(f"{roof.job}/mix?stage={stage}").status == 404


def test_next_bays_are_proposed_and_named_by_a_tick(roof: RoofSite) -> None:
    page = _page(roof)
    assert 'value="r1b1 r1b2"' in page.text  # 3 kg at 1.500 kg/m²
    page.send(catalyst_ml="90", bays=["r1b1 r1b2", "R1B4"])
    assert _only(roof).bays == ("r1b1", "r1b2", "r1b4")
    assert "r1b3" in _page(roof).text


def test_batch_that_nobody_registered_is_typed(roof: RoofSite) -> None:
    _page(roof).send(catalyst_ml="90", lot=None, lot_typed="R 77")
    assert _only(roof).lot == "R 77"


def test_last_batch_and_mass_are_remembered(roof: RoofSite) -> None:
    roof.add("lot", lot="resin-2", batch_number="R 1205")
    _page(roof).send(kg="4", catalyst_ml="120", lot="resin-1")
    page = _page(roof)
    assert (page.fields["lot"], page.fields["kg"]) == (["resin-1"], ["4"])


def test_deck_that_moves_is_said(roof: RoofSite) -> None:
    now = clock.now()
    roof.add("conditions", at=now - timedelta(minutes=20), deck_c=15.8)
    assert "Read it again before you dose" in _page(roof).text


def test_new_deck_temperature_in_another_row_is_said(roof: RoofSite) -> None:
    shown = _page(roof).send(deck_c="16.5", show="target")
    assert "in another row of the chart at the reading (14 °C)" in shown.text


def test_bucket_is_empty_at_one_touch_and_once(roof: RoofSite) -> None:
    visitor = roof.as_(Role.INSTALLER)
    made = visitor.follow(_page(roof).send(catalyst_ml="90"))
    emptied = _empty(made)
    assert emptied.status_code == 303
    body = _only(roof)
    assert body.emptied_at is not None
    (correction,) = roof.read().job.corrections
    assert correction.body.reason == "Bucket emptied; the time was added."
    entry = roof.read().job.mixes[0].id  # so that the clock of another phone stops, too
    assert f'data-emptied="{entry}"' in roof.as_(Role.INSTALLER).open(roof.job).text
    again = visitor.follow(_empty(made))
    assert len(roof.read().job.corrections) == 1
    assert "Bucket empty at" in again.text
    assert 'form="empty"' not in again.text


def _empty(made: OpenPage) -> Any:
    """Sends the form behind “Bucket empty” as it stands on the page."""
    form = made.text.split('<form id="empty"')[1].split("</form>")[0]
    fields = {
        part.split('name="')[1].split('"')[0]: part.split('value="')[1].split('"')[0]
        for part in form.split("<input")[1:]
    }
    return made.client.post(form.split('action="')[1].split('"')[0], data=fields)


def test_mix_that_is_not_there_is_a_page_that_says_so(roof: RoofSite) -> None:
    assert roof.as_(Role.INSTALLER).open(f"{roof.job}/mixes/mix-99").status == 404


def test_office_reads_a_mix_but_makes_none(roof: RoofSite) -> None:
    _page(roof).send(catalyst_ml="90")
    office = roof.as_(Role.OFFICE)
    assert office.open(f"{roof.job}/mixes/mix-1").status == 200
    assert office.open(f"{roof.job}/mix").status == 403
