"""Places of checks and photographs, to a form and back."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.assess.frame import frame_of
from qa.assess.photo_requests import PhotoPlace
from qa.services.loading import named_specification
from qa.trade.conformity import Limits
from qa.web.roof.check_places import area_and_edge, check_places, place_value
from qa.web.roof.photo_form import place_of
from qa.web.roof.photo_form import place_value as photo_place_value
from tests.factories import RecordBuilder

_, GENERAL = named_specification("general-grp/1")
KEY = st.text(min_size=1, max_size=20)
EDGES = [
    {"edge": "e1", "kind": "drip_edge", "length_m": 6},
    {"edge": "e2", "kind": "drip_edge", "length_m": 4},
    {"edge": "e3", "kind": "raised_edge", "length_m": 6.25},
    {"edge": "e4", "kind": "wall_fillet", "length_m": 4},
]


def labels(check: str, *areas: str) -> list[str]:
    builder = RecordBuilder.opened()
    for area in areas:
        builder.add("area", area=area, name=area.title(), edges=EDGES)
    frame = frame_of(builder.job(), GENERAL)
    return [place.label for place in check_places(frame, GENERAL.checks[check])]


@given(area=KEY, edge=st.none() | KEY)
def test_place_comes_back_as_it_was_sent(area: str, edge: str | None) -> None:
    sent = place_value(area, edge) if edge else place_value(area)
    assert area_and_edge(sent) == (area, edge)


def test_several_edges_name_only_their_area() -> None:
    assert area_and_edge(place_value("main", "e1", "e2")) == ("main", None)


@pytest.mark.parametrize("sent", [None, "", "main", "{}", "[1]", "[[]]", "null", "[]", "[null]"])
def test_nonsense_names_no_place(sent: str | None) -> None:
    assert area_and_edge(sent) == (None, None)


@given(st.builds(PhotoPlace, area=st.none() | KEY, check=st.none() | KEY, lot=st.none() | KEY))
def test_photo_place_comes_back_as_it_was_sent(place: PhotoPlace) -> None:
    assert place_of(photo_place_value(place)) == place


@given(st.none() | st.text())
def test_any_text_is_a_photo_place_or_none(sent: str | None) -> None:
    assert place_of(sent) is None or isinstance(place_of(sent), PhotoPlace)


def test_one_area_is_one_place() -> None:
    assert labels("deck.moisture", "main") == ["Main"]


def test_several_areas_may_be_answered_together() -> None:
    assert labels("deck.moisture", "main", "porch") == ["Main", "Porch", "All areas"]


def test_battens_are_asked_by_kind_and_edge() -> None:
    assert labels("trims.battens", "main") == [
        "Both drip edges",
        "Drip edge e1, 6 m",
        "Drip edge e2, 4 m",
        "Raised edge e3, 6.25 m",
    ]


def test_offset_is_asked_of_drip_edges_in_one_entry() -> None:
    builder = RecordBuilder.opened()
    builder.add("area", edges=EDGES)
    frame = frame_of(builder.job(), GENERAL)
    first, *_ = check_places(frame, GENERAL.checks["trims.batten_offset"])
    assert (first.label, first.edges) == ("Both drip edges", ())
    assert first.limits == Limits(lower=7, upper=13)


def test_job_without_an_area_offers_no_place() -> None:
    assert labels("deck.moisture") == []
