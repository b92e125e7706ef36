"""Marks upon a photo: what they may be, whose photo they stand on, and what they say in words."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.record.fields import Fault
from qa.record.kinds.marks import Annotation
from qa.record.marked import (
    about_text,
    bodies,
    has_estimate,
    labelled,
    last_drawn,
    marked_photos,
    marks_digest,
    photo_key,
    told_marks,
)
from qa.record.registry import BODY_READERS, Kind
from qa.record.schema import written
from qa.trade.picture_scale import PictureShape
from tests import strategies
from tests.examples import SOME_PHOTO, minimal
from tests.factories import RecordBuilder

ENDS = [[0.1, 0.5], [0.4, 0.5]]
SQUARE = PictureShape(width=1000, height=1000)
REFERENCE = {"type": "reference", "points": [[0.1, 0.9], [0.6, 0.9]], "length_mm": 300}


def annotation(*marks: dict[str, Any]) -> Annotation:
    read = BODY_READERS[Kind.ANNOTATION]({"photo": SOME_PHOTO, "marks": list(marks)})
    assert isinstance(read, Annotation)
    return read


def faults_of(*marks: dict[str, Any]) -> list[tuple[str, str]]:
    with pytest.raises(Fault) as refused:
        annotation(*marks)
    return refused.value.faults


@given(strategies.marks())
def test_marks_are_written_as_they_were_read(marks: list[dict[str, Any]]) -> None:
    read = annotation(*marks)
    again = annotation(*written(read.marks))
    assert again == read
    assert marks_digest([again]) == marks_digest([read])
    assert [mark.points for mark in read.marks] == [
        tuple((float(across), float(down)) for across, down in mark["points"]) for mark in marks
    ]


@pytest.mark.parametrize(
    ("mark", "path", "words"),
    [
        ({"type": "text", "points": ENDS, "words": "x"}, ".points", "has one point"),
        ({"type": "text", "points": ENDS[:1]}, ".words", "nothing but its words"),
        ({"type": "arrow", "points": ENDS, "length_mm": 3}, ".length_mm", "does not belong"),
        ({"type": "reference", "points": ENDS}, ".length_mm", "whose length is known"),
        ({"type": "measure", "points": ENDS}, ".length_mm", "or draw a reference"),
        ({"type": "circle", "points": ENDS}, ".points", "draw the mark “circle” longer"),
    ],
)
def test_mark_that_cannot_be_is_refused(mark: dict[str, Any], path: str, words: str) -> None:
    ((where, sentence),) = faults_of(mark)
    assert where == f".marks[0]{path}"
    assert words in sentence


def test_second_reference_is_refused() -> None:
    ((where, sentence),) = faults_of(REFERENCE, REFERENCE)
    assert (where, sentence) == (
        ".marks",
        "has 2 references; lengths follow from one, keep that",
    )


def test_ten_thousand_marks_are_refused_in_one_sentence() -> None:
    ((_, sentence),) = faults_of(*[{"type": "arrow", "points": [[2, 2]]}] * 10_000)
    assert sentence == "has 10000 marks; at most 50 are taken"


def test_given_length_and_estimate_stand_side_by_side() -> None:
    measure = {"type": "measure", "points": ENDS, "length_mm": 195, "words": "crack"}
    both = annotation(measure, REFERENCE)
    assert [one.label for one in labelled(both, SQUARE)] == [
        "195 mm, in the picture about 180 mm, crack",
        "reference 300 mm",
    ]
    assert (
        told_marks(both, SQUARE)
        == "measure: 195 mm, in the picture about 180 mm, crack; reference 300 mm"
    )
    assert has_estimate([both])
    alone = annotation(measure)
    assert [one.label for one in labelled(alone, SQUARE)] == ["195 mm, crack"]
    assert not has_estimate([alone])


def test_estimate_takes_the_pictures_shape() -> None:
    upright = {"type": "measure", "points": [[0.5, 0.1], [0.5, 0.4]]}
    lying = PictureShape(width=4000, height=3000)
    (first, _) = labelled(annotation(upright, REFERENCE), lying)
    assert first.label == "about 140 mm"  # 900 px by 2000 px of 300 mm: 135 mm


@given(st.floats(1e-6, 1e9))
def test_estimate_is_told_with_two_digits(length_mm: float) -> None:
    told = float(about_text(length_mm).removeprefix("about ").removesuffix(" mm"))
    assert told == pytest.approx(length_mm, rel=0.0501)


def test_marks_belong_to_the_photo_they_name() -> None:
    builder = RecordBuilder.opened()
    photos = [builder.add("photo"), builder.add("photo"), builder.add("photo")]
    first = builder.add("annotation", photo=photos[1])
    second = builder.add("annotation", photo=photos[1], by="mara")
    builder.add("annotation", photo=photos[2], marks=[])
    job = builder.job()
    (found,) = marked_photos(job).items()
    assert found[0] == photo_key(job.photos[1].body)
    assert [one.id for one in found[1]] == [first, second]
    assert [last_drawn(one).by for one in found[1]] == ["ines", "mara"]
    assert len(bodies(found[1])) == 2


def test_correction_draws_anew_and_an_empty_set_takes_away() -> None:
    builder = RecordBuilder.opened()
    builder.add("photo")
    drawn = builder.add("annotation")
    text = {"type": "text", "points": [[0.5, 0.5]], "words": "here"}
    new = minimal("annotation") | {"photo": builder.id_of(1), "marks": [text]}
    builder.add("correction", corrects=drawn, by="mara", body=new)
    (marked,) = marked_photos(builder.job()).values()
    assert told_marks(marked[0].body) == "text: here"
    assert last_drawn(marked[0]).by == "mara"
    builder.add("correction", corrects=drawn, body=new | {"marks": []})
    assert marked_photos(builder.job()) == {}


def test_marks_on_a_withdrawn_photo_stay_in_the_record_and_are_not_shown() -> None:
    builder = RecordBuilder.opened()
    photo = builder.add("photo")
    builder.add("annotation")
    builder.add("correction", corrects=photo)
    job = builder.job()
    assert len(job.annotations) == 1
    assert marked_photos(job) == {}
