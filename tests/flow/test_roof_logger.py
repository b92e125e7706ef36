"""A logger's file: chosen, looked at, read another way, saved once; and files that are none."""

from __future__ import annotations

import io
import time
import tracemalloc
from collections.abc import Iterator
from datetime import datetime, timedelta

import pytest
from playwright.sync_api import Page
from werkzeug.test import TestResponse

from qa.services.access import Role
from qa.services.logger_files import look_into, open_logger_file, take_logger_file
from qa.web import clock
from tests.flow.browser import DESK, ServedSite
from tests.flow.measuring import shortcomings
from tests.flow.roof_visitor import OpenPage, RoofSite, begin_roof

SAVE, LOOK = "save", "look"


@pytest.fixture
def roof(roof: RoofSite) -> RoofSite:
    """A job whose laminate was mixed for three hours, from six hours ago."""
    roof.add("lot")
    roof.add("lot", lot="catalyst-1", material="catalyst", unit="l")
    for number, hours in enumerate((6, 4.5, 3)):
        roof.add("mix", mix=f"mix-{number}", at=begins() + timedelta(hours=6 - hours))
    return roof


def begins() -> datetime:
    """When the first mix was made."""
    return (clock.now() - timedelta(hours=6)).replace(second=0, microsecond=0)


def minutes(
    count: int, *, since: datetime | None = None, step_s: int = 60, separator: str = ";"
) -> Iterator[str]:
    """A logger's file, line by line, by a clock in UTC."""
    comma = "," if separator == ";" else "."
    yield separator.join(("Time", "Air °C", "Humidity %", "Deck surface °C")) + "\n"
    start = since or begins()
    for number in range(count):
        at = start + timedelta(seconds=step_s * number)
        figures = (f"{value:.1f}".replace(".", comma) for value in (15, 60 + number % 300 / 10, 16))
        yield separator.join((f"{at:%Y-%m-%d %H:%M:%S}", *figures)) + "\n"


def give(roof: RoofSite, content: str | bytes) -> TestResponse:
    """Chooses a file."""
    raw = content.encode() if isinstance(content, str) else content
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/logger")
    return page.send(file=(io.BytesIO(raw), "log.csv"))


def look(roof: RoofSite, content: str | bytes) -> OpenPage:
    """Chooses a file, and answers what is found."""
    return roof.as_(Role.INSTALLER).follow(give(roof, content))


def saved_readings(roof: RoofSite) -> int:
    return len(roof.read().job.conditions)


def test_file_is_shown_before_it_is_saved(roof: RoofSite) -> None:
    page = look(roof, "".join(minutes(181)))
    assert "181" in page.text
    assert "Usually every" in page.text
    assert "first of every 15 minutes" in page.text
    assert page.fields["separator"] == ["semicolon"]
    assert page.fields["decimal"] == [","]
    assert saved_readings(roof) == 0


def test_readings_are_thinned_to_quarters_and_extremes(roof: RoofSite) -> None:
    response = look(roof, "".join(minutes(181))).send(clock="UTC", do=SAVE)
    assert response.status_code == 303
    kept = roof.read().job.conditions
    assert 13 <= len(kept) <= 16
    assert {one.body.stage.value for one in kept} == {"laminate"}
    assert max(one.body.humidity_pct or 0 for one in kept) == 78.0
    assert min(one.at for one in kept) == begins()


def test_same_file_twice_is_once(roof: RoofSite) -> None:
    content = "".join(minutes(181))
    look(roof, content).send(clock="UTC", do=SAVE)
    once = saved_readings(roof)
    again = look(roof, content).send(clock="UTC", do=SAVE)
    assert "sent twice" in roof.as_(Role.INSTALLER).follow(again).text
    assert saved_readings(roof) == once > 0


def test_layout_is_kept_for_the_next_file(roof: RoofSite) -> None:
    look(roof, "".join(minutes(60))).send(clock="UTC", deck_c="", do=SAVE)
    page = look(roof, "".join(minutes(61)))
    assert "as your firm read the last file" in page.text
    assert (page.fields["clock"], page.fields.get("deck_c")) == (["UTC"], None)


def test_wrong_separator_is_told_and_can_be_put_right(roof: RoofSite) -> None:
    page = look(roof, "".join(minutes(181)))
    wrong = page.send(separator="tab", do=SAVE)
    assert (wrong.status_code, "No line can be read this way" in wrong.text) == (200, True)
    right = page.send(separator="semicolon", cut_by="tab", clock="UTC", do=LOOK)
    assert "first of every 15 minutes" in right.text
    assert saved_readings(roof) == 0


@pytest.mark.parametrize(
    ("since_h", "sentence"),
    [(10, "which has not been yet"), (-24 * 60, "No reading falls into the wet work")],
)
def test_wrong_clock_is_told_and_nothing_saved(
    roof: RoofSite, since_h: float, sentence: str
) -> None:
    since = clock.now() + timedelta(hours=since_h)
    page = look(roof, "".join(minutes(30, since=since)))
    assert sentence in page.text
    refused = page.send(clock="UTC", do=SAVE)
    assert (refused.status_code, sentence in refused.text) == (400, True)
    assert saved_readings(roof) == 0


def test_clock_that_nobody_knows_stays_as_typed(roof: RoofSite) -> None:
    refused = look(roof, "".join(minutes(30))).send(clock="Nowhere/Land", do=SAVE)
    assert refused.status_code == 400
    assert 'value="Nowhere/Land"' in refused.text


@pytest.mark.parametrize("content", [b"", b"\x89PNG\r\n\x1a\n" + bytes(900), b"name,town\na,b\n"])
def test_file_that_is_none_is_refused_and_not_kept(roof: RoofSite, content: bytes) -> None:
    refused = give(roof, content)
    assert refused.status_code == 400
    assert "choose that file" in refused.text
    assert not list(roof.site.installation.settings.logger_files.glob("*/*"))


def test_job_without_a_mix_takes_no_readings(site: ServedSite) -> None:
    roof = begin_roof(site)
    page = look(roof, "".join(minutes(3)))
    assert "This job has no mix yet" in page.text
    assert page.send(clock="UTC", do=SAVE).status_code == 400


def test_two_hundred_thousand_rows_take_ten_seconds(roof: RoofSite) -> None:
    since = clock.now() - timedelta(seconds=6 * 200_000)
    content = "".join(minutes(200_000, since=since, step_s=6)).encode()
    begun = time.thread_time()  # the machine may be at other work meanwhile
    installer = roof.site.actor(Role.INSTALLER)
    digest = take_logger_file(
        roof.site.installation, installer, io.BytesIO(content), now=clock.now()
    )
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/logger/{digest}")
    assert "200\u202f000" in page.text
    assert page.send(clock="UTC", do=SAVE).status_code == 303
    assert time.thread_time() - begun < 10
    assert 30 < saved_readings(roof) < 60


def test_memory_does_not_grow_with_the_file(roof: RoofSite) -> None:
    read, held = roof.read(), []
    for rows in (2_000, 20_000):
        since = clock.now() - timedelta(seconds=6 * rows)
        content = "".join(minutes(rows, since=since, step_s=6)).encode()
        house, installer = roof.site.installation, roof.site.actor(Role.INSTALLER)
        digest = take_logger_file(house, installer, io.BytesIO(content), now=clock.now())
        opened = open_logger_file(house, installer, read, digest)
        tracemalloc.start()
        look_into(opened, opened.layout, read)
        held.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    assert held[1] < held[0] + 200_000


def test_pages_of_a_logger_fall_short_of_nothing(roof: RoofSite, phone: Page) -> None:
    roof.site.sign_in(phone, Role.INSTALLER)
    phone.goto(f"{roof.site.origin}{roof.job}/logger")
    assert shortcomings(phone) == []
    content = "".join(minutes(181)).encode()
    phone.set_input_files("#file", {"name": "l.csv", "mimeType": "text/csv", "buffer": content})
    with phone.expect_navigation():
        phone.get_by_role("button", name="Look into it").click()
    phone.fill("#clock", "UTC")
    with phone.expect_navigation():
        phone.get_by_role("button", name="Look again").click()
    assert shortcomings(phone) == []
    phone.set_viewport_size({"width": DESK[0], "height": DESK[1]})
    with phone.expect_navigation():
        phone.get_by_role("button", name="Save").click()
    assert saved_readings(roof) > 10


def scale(*masses: tuple[float, str]) -> str:
    """A scale's file in grams, by decimal commas: minutes after the first mix, and the mass."""
    lines = [
        f"{begins() + timedelta(minutes=minutes):%Y-%m-%d %H:%M:%S};{mass}\n"
        for minutes, mass in masses
    ]
    return "Time;Net weight (g)\n" + "".join(lines)


def test_scale_puts_the_kilograms_of_a_mix_right_once(roof: RoofSite) -> None:
    content = scale((-2, "5600,0"), (89, "5000,4"), (40, "812,0"), (41, "0,0"))
    page = look(roof, content)
    assert "5.6" in page.text
    assert "agrees with" in page.text
    assert "1, left out: a tin, a bucket" in page.text
    assert page.send(do=SAVE).status_code == 303
    kilograms = {mix.body.mix: mix.body.kg for mix in roof.read().job.mixes}
    assert kilograms == {"mix-0": 5.6, "mix-1": 5, "mix-2": 5}
    (correction,) = roof.read().job.corrections
    assert "line 2 of the scale’s file" in correction.body.reason
    assert look(roof, content).send(do=SAVE, weighed=correction.body.corrects).status_code == 303
    assert len(roof.read().job.corrections) == 1


def test_what_is_not_ticked_is_not_put_right(roof: RoofSite) -> None:
    page = look(roof, scale((0, "7000")))
    assert len(page.fields["weighed"]) == 1
    assert page.send(do=SAVE, weighed=None).status_code == 303
    assert roof.read().job.corrections == ()


def test_scale_chosen_by_hand_is_read_in_its_unit(roof: RoofSite) -> None:
    at = f"{begins():%Y-%m-%d %H:%M:%S}"
    page = look(roof, f"When,Reading\n{at},4200\n")
    again = page.send(do=LOOK, mass="1")
    assert "4200" in again.text
    assert 'name="mass_unit" value="kg" checked' in again.text
    in_grams = page.send(do=LOOK, mass="1", mass_unit="g", weighed_within_min="3")
    assert "4.2" in in_grams.text
