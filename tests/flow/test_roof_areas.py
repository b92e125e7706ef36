"""Drawing a roof area without script: shapes, sides, what cannot be an outline."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page

from qa.record.kinds.place import Area
from qa.services.access import Role
from tests.flow.browser import ServedSite
from tests.flow.roof_visitor import OpenPage, RoofSite

TYPED = {"name": "Porch", "length_m": "6.2", "width_m": "4", "every_side": "drip_edge"}


def opened(roof: RoofSite) -> OpenPage:
    return roof.as_(Role.INSTALLER).open(f"{roof.job}/areas/new")


def drawn(roof: RoofSite, **typed: Any) -> Area:
    """The area that a form makes."""
    page = roof.as_(Role.INSTALLER).follow(opened(roof).send(**(TYPED | typed)))
    assert page.status == 200
    return roof.read().job.areas[-1].body


def refused(roof: RoofSite, **typed: Any) -> str:
    answer = opened(roof).send(**(TYPED | typed))
    assert answer.status_code == 400
    assert len(roof.read().job.areas) == 1
    return answer.text


def test_rectangle_takes_two_lengths_and_one_kind_of_edge(roof: RoofSite) -> None:
    area = drawn(roof, length_m="6,2")
    assert list(area.outline_m) == [(0, 0), (6.2, 0), (6.2, 4), (0, 4)]
    assert [(e.edge, e.kind.value, e.length_m) for e in area.edges] == [
        ("e1", "drip_edge", 6.2),
        ("e2", "drip_edge", 4),
        ("e3", "drip_edge", 6.2),
        ("e4", "drip_edge", 4),
    ]
    assert (area.area, area.mat_g_per_m2, area.layers) == ("porch", 450, 1)


def test_ell_takes_four_lengths(roof: RoofSite) -> None:
    area = drawn(roof, shape="ell", out_length_m="2", out_width_m="1.5")
    assert area.roof.net_area_m2 == pytest.approx(6.2 * 4 - 3)
    assert len(area.edges) == 6


def test_walk_takes_lengths_and_turns(roof: RoofSite) -> None:
    walk = "6.2 left\n4 m left\n3 left\n1,5 right\n3.2 left"
    area = drawn(roof, shape="walk", walk=walk)
    assert area.outline_m == ((0, 0), (6.2, 0), (6.2, 4), (3.2, 4), (3.2, 2.5), (0, 2.5))


def test_corners_take_places(roof: RoofSite) -> None:
    area = drawn(roof, shape="corners", corners="0 0\n6,2 0\n6.2, 4\n0; 4")
    assert area.outline_m == ((0, 0), (6.2, 0), (6.2, 4), (0, 4))


def test_sides_may_differ_from_every_side(roof: RoofSite) -> None:
    area = drawn(roof, sides=["", "wall_fillet", "", "flashing"])
    kinds = [edge.kind.value for edge in area.edges]
    assert kinds == ["drip_edge", "wall_fillet", "drip_edge", "flashing"]


def test_everything_besides_is_taken(roof: RoofSite) -> None:
    area = drawn(
        roof,
        mat="600",
        layers="2",
        fall_one_in="80",
        build_up="warm",
        openings="1.2, 0.8, 0.6, 0.9",
        upstands="6, 0.15\n4 0,15",
        outlets="3 0",
        levels="0, 0, 0.05\n6.2, 0, 0.05\n0, 4, 0.1",
    )
    assert (area.mat_g_per_m2, area.layers) == (600, 2)
    assert str(area.roof_build_up) == "warm"
    assert area.slope_deg == pytest.approx(0.7162, abs=1e-4)
    assert area.openings_m == (((1.2, 0.8), (1.8, 0.8), (1.8, 1.7), (1.2, 1.7)),)
    assert [up.height_m for up in area.upstands or ()] == [0.15, 0.15]
    assert area.outlets_m == ((3.0, 0.0),)
    assert len(area.levels_m or ()) == 3


def test_saved_area_shows_its_bays_and_what_it_takes(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).follow(opened(roof).send(**TYPED))
    assert "24.8 m²" in page.text
    assert "20.4 m" in page.text
    assert ">r1b1</text>" in page.text
    assert "Laminating resin, expected" in page.text
    assert "Drip edge e1, 6.2 m" in page.text


def test_draw_it_shows_the_plan_and_saves_nothing(roof: RoofSite) -> None:
    answer = opened(roof).send(**TYPED, step="draw")
    assert answer.status_code == 200
    assert '<svg class="plan"' in answer.text
    assert ">6.2 m</text>" in answer.text
    assert "e4, 4 m" in answer.text
    assert 'value="Porch"' in answer.text
    assert len(roof.read().job.areas) == 1


def test_crossing_outline_is_refused_with_the_point(roof: RoofSite) -> None:
    crossed = "0, 0\n2, 2\n2, 0\n0, 2"
    told = refused(roof, shape="corners", corners=crossed)
    assert "Edges 1 and 3 of the outline meet at (1.000, 1.000) m" in told
    assert 'class="crossing"' in told
    assert crossed in told


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"name": ""}, "This is missing"),
        ({"length_m": ""}, "A figure is missing"),
        ({"length_m": "0"}, "A side is longer than nothing"),
        ({"width_m": "-4"}, "A side is longer than nothing"),
        ({"width_m": "four"}, "“four” is no figure"),
        ({"width_m": "1e999"}, "is no figure"),
        ({"length_m": "50000"}, "within 10 km"),
        ({"shape": "circle"}, "is none of these"),
        ({"shape": "walk", "walk": ""}, "This is missing"),
        ({"shape": "walk", "walk": "6 up"}, "write it like “6.2 left”"),
        ({"shape": "walk", "walk": "-6 left"}, "a side is longer than nothing"),
        ({"shape": "walk", "walk": "6 left\n" * 201}, "more than is taken"),
        ({"shape": "corners", "corners": "0, 0\n1, 1"}, "at least 3 corners"),
        ({"shape": "corners", "corners": "0, 0, 0\n1, 1"}, "Line 1 has 3 figures"),
        ({"shape": "corners", "corners": "<b>, 0"}, "is no figure"),
        ({"every_side": None}, "Say what finishes every side"),
        ({"every_side": None, "sides": ["drip_edge", "", "drip_edge"]}, "Say what finishes e2, e4"),
        ({"sides": ["made of cheese"]}, "no known kind of edge"),
        ({"mat": "10"}, "mat weighs between 50 and 2000"),
        ({"layers": "1.5"}, "is no whole number"),
        ({"layers": "99"}, "between 1 and 10 layers"),
        ({"fall_one_in": "0.1"}, "between 0 and 60 degrees"),
        ({"openings": "9, 9, 1, 1"}, "lies outside the outline"),
        ({"openings": "1, 1"}, "Line 1 has 2 figures"),
        ({"upstands": "6, 0"}, "more than nothing"),
    ],
)
def test_what_cannot_be_is_refused_in_its_field(
    roof: RoofSite, typed: dict[str, Any], told: str
) -> None:
    assert told in refused(roof, **typed)


def test_same_name_twice_gets_a_key_of_its_own(roof: RoofSite) -> None:
    assert drawn(roof).area == "porch"
    assert drawn(roof).area == "porch-2"


def test_plan_follows_what_is_typed(site: ServedSite, phone: Page, roof: RoofSite) -> None:
    site.sign_in(phone, Role.INSTALLER)
    phone.goto(f"{site.origin}{roof.job}/areas/new")
    assert phone.locator("#draw").is_hidden()
    phone.fill("#length_m", "6,2")
    phone.fill("#width_m", "4")
    assert phone.locator("#plan text", has_text="6.2 m").count() == 2
    phone.get_by_text("Side by side").click()
    for length, turn in (("6", "left"), ("4", "left"), ("2", "left"), ("1", "right")):
        phone.fill("#pace", length)
        phone.click(f"[data-turn={turn}]")
    assert phone.input_value("#walk") == "6 left\n4 left\n2 left\n1 right"
    assert phone.locator("#sides .side").count() == 5
    phone.get_by_text("Corner by corner").click()
    phone.fill("#corners", "0, 0\n2, 2\n2, 0\n0, 2")
    assert "cross at x 1.00, y 1.00 m" in phone.inner_text("#plan")
