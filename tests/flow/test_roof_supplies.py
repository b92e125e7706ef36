"""Batches, instruments and what was used, on a real site."""

from __future__ import annotations

import io
from datetime import date

import pytest
from playwright.sync_api import Page, expect
from werkzeug.test import TestResponse

from qa.record.kinds.supplies import Lot
from qa.services.access import Role
from qa.services.starting import start_job
from qa.web import clock
from qa.web.roof.lot_form import free_key
from tests.examples import minimal
from tests.flow.roof_visitor import RoofSite
from tests.house import jpeg

TYPED = {
    "material": "resin",
    "product": "Roofing resin",
    "batch_number": "R 2231",
    "quantity": "60",
    "unit": "kg",
}


def new_lot(roof: RoofSite, **typed: object) -> TestResponse:
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/lots/new")
    return page.send(**{**TYPED, **typed})


def lots(roof: RoofSite) -> list[Lot]:
    return [lot.body for lot in roof.read().job.lots]


def second_job(roof: RoofSite) -> RoofSite:
    """Another job of the same firm."""
    site, now = roof.site, clock.now()
    actor = site.actor(Role.INSTALLER)
    opening = minimal("job") | {
        "job": "J-2026-015",
        "crew": [{"person": actor.key, "name": actor.name, "role": "installer"}],
    }
    job_id = start_job(
        site.installation, actor, opening, entry_id=site.installation.new_id(), at=now, now=now
    )
    return RoofSite(site=site, job_id=job_id)


def test_batch_is_called_by_its_number(roof: RoofSite) -> None:
    assert new_lot(roof).status_code == 303
    assert new_lot(roof, batch_number="R 2232").status_code == 303
    assert [lot.lot for lot in lots(roof)] == ["R 2231", "R 2232"]


@pytest.mark.parametrize(
    ("number", "key"),
    [("R  2231 ", "R 2231"), ("R\u200b7", "R7"), ("9" * 200, "9" * 74), (None, "unnamed")],
)
def test_key_is_one_that_the_record_takes(number: str | None, key: str) -> None:
    assert free_key(number, []) == key
    assert free_key(number, [key]) == f"{key} (2)"


def test_label_photographed_with_the_form_names_the_batch(roof: RoofSite) -> None:
    new_lot(roof, photos=(io.BytesIO(jpeg(1)), "label.jpg"))
    photo = roof.read().job.photos[-1].body
    assert (photo.lot, photo.caption) == ("R 2231", "Batch label")
    assert "photographed" in roof.as_(Role.INSTALLER).open(f"{roof.job}/lots").text


def test_label_that_waited_on_the_phone_finds_its_batch(roof: RoofSite) -> None:
    new_lot(roof)
    entry = roof.read().job.lots[-1].id
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/photos")
    answer = page.send(photos=(io.BytesIO(jpeg(2)), "a.jpg"), shows="-", lot_entry=entry)
    assert answer.status_code == 303
    assert roof.read().job.photos[-1].body.lot == "R 2231"


def test_label_of_a_batch_that_is_not_saved_is_held_back(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/photos")
    answer = page.send(photos=(io.BytesIO(jpeg(3)), "a.jpg"), shows="-", lot_entry="nowhere")
    assert answer.status_code == 404


def test_batch_out_of_date_is_said_at_once_and_registered(roof: RoofSite) -> None:
    tam = roof.as_(Role.INSTALLER)
    shown = tam.follow(new_lot(roof, use_by="2024-03-01"))
    assert "out of date since 1 March 2024" in shown.text
    assert lots(roof)[-1].use_by == date(2024, 3, 1)
    assert "<strong>out of date</strong>" in shown.text


def test_batch_good_today_is_not_out_of_date(roof: RoofSite) -> None:
    today = clock.now().astimezone(roof.read().job.time_zone).date()
    shown = roof.as_(Role.INSTALLER).follow(new_lot(roof, use_by=today.isoformat()))
    assert "out of date" not in shown.text


@pytest.mark.parametrize("typed", ["30/6/2027", "30.06.27", "2027-06-30", "30-6-2027"])
def test_day_is_read_as_people_write_it(roof: RoofSite, typed: str) -> None:
    new_lot(roof, use_by=typed)
    assert lots(roof)[-1].use_by == date(2027, 6, 30)


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("quantity", "", "A figure is missing"),
        ("quantity", "0", "a quantity is more than nothing"),
        ("quantity", "-5", "a quantity is more than nothing"),
        ("quantity", "1e12", "a quantity is more than nothing"),
        ("material", "gold", "is none of these"),
        ("unit", "stone", "is none of these"),
        ("product", "  ", "missing"),
        ("batch_number", "", "missing"),
        ("use_by", "31/02/2027", "no day"),
        ("use_by", "soon", "no day"),
        ("density_g_per_ml", "1180", "check the unit"),
        ("active_oxygen_pct", "-1", "active oxygen is above 0"),
    ],
)
def test_impossible_batch_is_refused_at_its_field(
    roof: RoofSite, field: str, typed: str, said: str
) -> None:
    answer = new_lot(roof, **{field: typed})
    assert answer.status_code == 400
    assert said in answer.text
    assert f'href="#{field}"' in answer.text
    assert lots(roof) == []


def test_batch_of_an_earlier_job_is_offered_but_for_its_quantity(roof: RoofSite) -> None:
    new_lot(roof, density_g_per_ml="1.1", use_by="2027-06-30")
    later = second_job(roof)
    tam = roof.as_(Role.INSTALLER)
    page = tam.open(f"{later.job}/lots/new")
    assert "Resin: Roofing resin, batch R 2231" in page.text
    chosen = tam.open(f"{later.job}/lots/new?earlier=resin/Roofing resin/R 2231")
    assert chosen.fields["batch_number"] == ["R 2231"]
    assert chosen.fields["density_g_per_ml"] == ["1.1"]
    assert chosen.fields["quantity"] == [""]


def test_withdrawn_batch_is_not_offered(roof: RoofSite) -> None:
    new_lot(roof)
    entry = roof.read().job.lots[-1].id
    roof.add("correction", corrects=entry, reason="Never came.", body=None)
    assert "R 2231" not in roof.as_(Role.INSTALLER).open(f"{second_job(roof).job}/lots/new").text


def test_bar_code_is_completed_from_an_earlier_batch(roof: RoofSite) -> None:
    new_lot(roof)
    tam = roof.as_(Role.INSTALLER)
    address = f"{second_job(roof).job}/lots/bar-code"
    said = tam.client.get(f"{address}?text=]C10109501101530003172706303103025000%1D10R 2231").json
    assert said["fields"] == {
        "material": "resin",
        "product": "Roofing resin",
        "batch_number": "R 2231",
        "unit": "kg",
        "use_by": "2027-06-30",
        "quantity": 25.0,
    }


def test_instrument_of_an_earlier_job_is_offered(roof: RoofSite) -> None:
    tam = roof.as_(Role.INSTALLER)
    page = tam.open(f"{roof.job}/instruments/new")
    answer = page.send(
        name="Surface thermometer", measures="deck temperature", serial="T-77",
        calibration_due="1/2/2020", expanded_uncertainty="0,5",
    )  # fmt: skip
    assert answer.status_code == 303
    assert "overdue" in tam.open(f"{roof.job}/instruments").text
    assert "Surface thermometer, T-77" in tam.open(f"{second_job(roof).job}/instruments/new").text
    assert roof.read().job.instruments[-1].body.expanded_uncertainty == 0.5


def test_instruments_of_earlier_jobs_are_brought_in_by_ticks(roof: RoofSite) -> None:
    roof.add("instrument", instrument="thermometer", name="Surface thermometer", serial="T-77")
    roof.add("instrument", instrument="hygrometer", name="Hygrometer", expanded_uncertainty=2)
    later = second_job(roof)
    tam = roof.as_(Role.INSTALLER)
    assert f"{later.job}/instruments/earlier" in tam.open(f"{later.job}/instruments").text
    page = tam.open(f"{later.job}/instruments/earlier")
    ticked = ["Surface thermometer/T-77", "Hygrometer/"]
    assert {page.send(chosen=ticked).status_code, page.send(chosen=ticked).status_code} == {303}
    brought = [one.body for one in later.read().job.instruments]
    assert {one.name for one in brought} == {"Surface thermometer", "Hygrometer"}
    assert {one.expanded_uncertainty for one in brought} >= {2}
    assert "Bring in what the crew" not in tam.open(f"{later.job}/instruments").text


@pytest.mark.parametrize("ticked", [[], ["No such thing/"]])
def test_nothing_that_is_not_offered_is_brought_in(roof: RoofSite, ticked: list[str]) -> None:
    roof.add("instrument", name="Hygrometer")
    later = second_job(roof)
    page = roof.as_(Role.INSTALLER).open(f"{later.job}/instruments/earlier")
    assert page.send(chosen=ticked).status_code == 400
    assert later.read().job.instruments == ()


def test_usage_is_told_in_the_batchs_unit_and_leaves_the_rest(roof: RoofSite) -> None:
    new_lot(roof)
    tam = roof.as_(Role.INSTALLER)
    page = tam.open(f"{roof.job}/usage")
    answer = page.send(lot="R 2231", used="36,5", wasted="1.5", stage="laminate")
    assert answer.status_code == 303
    body = roof.read().job.usages[-1].body
    assert (body.used, body.wasted, body.unit, body.area) == (36.5, 1.5, "kg", "main")
    assert "23.5 kg left" in tam.open(f"{roof.job}/usage").text
    assert "23.5 kg" in tam.open(f"{roof.job}/lots").text


def test_used_figure_has_the_unit_of_the_batch_beside_it(roof: RoofSite, phone: Page) -> None:
    roof.add("lot", lot="resin-1", unit="kg")
    roof.add("lot", lot="mat-1", material="mat", unit="m2")
    roof.site.sign_in(phone, Role.INSTALLER)
    phone.goto(f"{roof.site.origin}{roof.job}/usage?lot=resin-1")
    expect(phone.locator("#used-unit")).to_have_text("kg")
    phone.get_by_text("m² left").tap()
    expect(phone.locator("#used-unit")).to_have_text("m²")
    expect(phone.locator("#wasted-unit")).to_have_text("m²")


@pytest.mark.parametrize(
    ("used", "wasted", "said"),
    [
        ("", "", "A figure is missing"),
        ("-1", "", "cannot be less than nothing"),
        ("2", "3", "is more than was used"),
        ("much", "", "is no figure"),
    ],
)
def test_impossible_usage_is_refused(roof: RoofSite, used: str, wasted: str, said: str) -> None:
    new_lot(roof)
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/usage")
    answer = page.send(lot="R 2231", used=used, wasted=wasted, stage="laminate")
    assert answer.status_code == 400
    assert said in answer.text


def test_usage_without_a_batch_says_what_is_missing(roof: RoofSite) -> None:
    assert "Register the batch first" in roof.as_(Role.INSTALLER).open(f"{roof.job}/usage").text
