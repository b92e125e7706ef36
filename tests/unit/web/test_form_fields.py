"""Fields: what they read, what they refuse, and that they keep what was typed."""

from __future__ import annotations

from io import BytesIO
from zoneinfo import ZoneInfo

import pytest
from werkzeug.datastructures import FileStorage, MultiDict
from wtforms import Form

from qa.web.form_fields import (
    ChoiceField,
    CountField,
    EarlierField,
    NumberField,
    Option,
    PhotosField,
    WordsField,
    YesField,
)


class Sheet(Form):
    deck = NumberField("Deck temperature", unit="°C", signed=True)
    kg = NumberField("Weight", required=True)
    pinholes = CountField("Pinholes")
    looks = ChoiceField("Looks", options=(Option(value="dry", label="Dry"),), required=True)
    word = WordsField("A word")
    seen = YesField("Seen", required=True)
    earlier = EarlierField("It was earlier")
    photos = PhotosField("Photographs", many=True)


def sent(**values: object) -> Sheet:
    sheet = Sheet(MultiDict(values))
    sheet.validate()
    return sheet


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("14.5", 14.5),
        ("14,5", 14.5),
        (" 14 ", 14.0),
        ("−3", -3.0),
        ("–3,25", -3.25),
        ("-3", -3.0),
        ("1 200", 1200.0),
        ("1\u202f200,5", 1200.5),
        ("0", 0.0),
        ("1e3", 1000.0),
    ],
)
def test_number_reads_point_and_comma(typed: str, value: float) -> None:
    assert sent(deck=typed).deck.data == value


@pytest.mark.parametrize(
    "typed",
    ["14;5", "warm", "1,200.5", "1_0", "nan", "inf", "-", "١٤", "<script>", "1e999", "' OR 1=1 --"],
)
def test_number_refuses_text_and_keeps_it(typed: str) -> None:
    field = sent(deck=typed).deck
    assert field.data is None
    assert field.typed == typed
    assert field.errors == [f"“{typed}” is no figure; write it like 14.5 or 14,5."]


def test_number_quotes_no_endless_text() -> None:
    assert len(sent(deck="9" * 100_000 + "x").deck.errors[0]) < 130


def test_empty_optional_number_is_none() -> None:
    field = sent(deck=" ").deck
    assert (field.data, list(field.errors)) == (None, [])


@pytest.mark.parametrize("values", [{}, {"kg": ""}, {"kg": "  "}])
def test_missing_required_number_is_named(values: dict[str, str]) -> None:
    assert sent(**values).kg.errors == ["A figure is missing; type it."]


def test_value_given_by_the_program_is_typed_as_a_person_would() -> None:
    assert Sheet(deck=14.50).deck.typed == "14.5"
    assert Sheet(pinholes=3).pinholes.typed == "3"


def test_count_refuses_a_part() -> None:
    assert sent(pinholes="2.5").pinholes.errors == ["“2.5” is no whole number; write it like 3."]
    assert sent(pinholes="3,0").pinholes.data == 3


def test_choice_refuses_what_was_not_offered() -> None:
    assert sent(looks="dry").looks.data == "dry"
    assert sent(looks="odd").looks.errors == ["“odd” is none of these; choose one."]
    assert sent().looks.errors == ["Choose one of these."]


def test_statement_must_be_ticked() -> None:
    assert sent(seen="yes").seen.data is True
    assert sent().seen.errors == ["Tick this first."]


def test_earlier_needs_day_and_time() -> None:
    both = Sheet(MultiDict([("earlier", "2026-05-12"), ("earlier", "08:40")]))
    assert both.earlier.data.isoformat() == "2026-05-12T08:40:00"
    zone = ZoneInfo("Europe/London")
    told = both.earlier.in_zone(zone)
    assert told is not None
    assert told.isoformat() == "2026-05-12T08:40:00+01:00"


def test_earlier_left_empty_means_just_now() -> None:
    empty = Sheet(MultiDict([("earlier", ""), ("earlier", "")])).earlier
    assert empty.in_zone(ZoneInfo("Europe/London")) is None


@pytest.mark.parametrize("pair", [("2026-05-12", ""), ("", "08:40"), ("12.5.", "08:40")])
def test_half_a_time_is_refused_and_kept(pair: tuple[str, str]) -> None:
    sheet = Sheet(MultiDict([("earlier", part) for part in pair]))
    sheet.validate()
    assert sheet.earlier.errors == ["Give both the day and the time, or leave both empty."]
    assert (sheet.earlier.typed, sheet.earlier.typed_time) == pair


def test_photos_leave_out_the_file_that_was_not_chosen() -> None:
    chosen = FileStorage(BytesIO(b"x"), filename="a.jpg")
    empty = FileStorage(BytesIO(b""), filename="")
    sheet = Sheet(MultiDict([("photos", empty), ("photos", chosen)]))
    assert sheet.photos.data == (chosen,)
    assert Sheet(MultiDict([("photos", empty)])).photos.data is None
