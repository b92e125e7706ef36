"""Which marks stand upon which photograph, and what each says, in words.

A photograph and its marks stay two things: this module brings them together for whoever shows the
one with the other, and changes neither.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from qa.record.canonical import digest
from qa.record.entry import Entry
from qa.record.job import Job, Recorded
from qa.record.kinds.marks import Annotation, Mark, MarkType
from qa.record.kinds.papers import Photo
from qa.record.schema import written
from qa.trade.notation import number_text
from qa.trade.picture_scale import PictureShape, estimated_length_mm

ESTIMATE = (
    "A length with “about” is reckoned from the reference in the same picture. What lies nearer to "
    "the camera looks longer, so it is an estimate and no measurement."
)
"""What is said wherever an estimated length is shown."""

MARKS = "marks"
"""Name in the address of a copy that asks for it with the marks upon it."""

Marked = tuple[Recorded[Annotation], ...]
"""Everything that was drawn upon one photograph, in the order of the record."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelledMark:
    """A mark with the words that stand beside it; nothing where it needs none."""

    mark: Mark
    label: str


def marked_photos(job: Job) -> Mapping[str, Marked]:
    """The annotations in force that hold a mark, by `photo_key` of the photograph they mark."""
    keys = {photo.id: photo_key(photo.body) for photo in job.photos} if job.annotations else {}
    found: dict[str, Marked] = {}
    for annotation in job.annotations:
        key = keys.get(annotation.body.photo)
        if key is not None and annotation.body.marks:
            found[key] = (*found.get(key, ()), annotation)
    return found


def drawn_upon(job: Job) -> Mapping[str, tuple[Annotation, ...]]:
    """What is drawn upon each photograph that is marked, by `photo_key`."""
    return {key: bodies(marked) for key, marked in marked_photos(job).items()}


def photo_key(photo: Photo) -> str:
    """What makes a photograph the same one: its digest; its name, where no ledger noted that."""
    return photo.sha256 or photo.file


def bodies(marked: Iterable[Recorded[Annotation]]) -> tuple[Annotation, ...]:
    """What is drawn of annotations."""
    return tuple(one.body for one in marked)


def marks_digest(annotations: Iterable[Annotation]) -> str:
    """SHA-256 of all that is drawn: another digest is another picture."""
    return digest([written(annotation.marks) for annotation in annotations])


def marks_query(annotations: Sequence[Annotation]) -> str:
    """What an address of a copy ends in, so that a browser asks anew for other marks; or nothing.

    Args:
        annotations: what is drawn upon the photograph.
    """
    return f"?{MARKS}={marks_digest(annotations)[:12]}" if annotations else ""


def last_drawn(annotation: Recorded[Annotation]) -> Entry:
    """The entry that says who drew what is in force, and when."""
    return annotation.corrections[-1] if annotation.corrections else annotation.entry


def labelled(annotation: Annotation, shape: PictureShape) -> tuple[LabelledMark, ...]:
    """The marks of one annotation with the words beside them.

    Args:
        annotation: whose reference gives its measures their estimated lengths.
        shape: of the upright picture.
    """
    return tuple(
        LabelledMark(mark=mark, label=", ".join(_parts(mark, annotation, shape)))
        for mark in annotation.marks
    )


def told_marks(annotation: Annotation, shape: PictureShape | None = None) -> str:
    """The marks in one line: "arrow: pinholes; measure: about 120 mm".

    Args:
        annotation: the marks.
        shape: of the upright picture; where it is not known, no length is estimated.
    """
    return "; ".join(_told(mark, annotation, shape) for mark in annotation.marks)


def has_estimate(annotations: Iterable[Annotation]) -> bool:
    """Whether a length among the marks is no measurement."""
    return any(
        mark.type is MarkType.MEASURE and one.reference is not None
        for one in annotations
        for mark in one.marks
    )


def _told(mark: Mark, annotation: Annotation, shape: PictureShape | None) -> str:
    parts = tuple(_parts(mark, annotation, shape))
    if mark.type is MarkType.REFERENCE:  # its label says what it is
        return ", ".join(parts)
    return f"{mark.type}: {', '.join(parts)}" if parts else str(mark.type)


def _parts(mark: Mark, annotation: Annotation, shape: PictureShape | None) -> Iterator[str]:
    if mark.type is MarkType.REFERENCE:
        yield f"reference {number_text(mark.length_mm or 0, 6)} mm"
    if mark.type is MarkType.MEASURE:
        given = mark.length_mm
        if given is not None:
            yield f"{number_text(given, 6)} mm"
        if annotation.reference is not None and shape is not None:
            about = about_text(estimated_mm(mark, annotation.reference, shape))
            yield about if given is None else f"in the picture {about}"
    if mark.words is not None:
        yield mark.words


def estimated_mm(measure: Mark, reference: Mark, shape: PictureShape) -> float:
    """A measure's length by the reference of the same picture."""
    return estimated_length_mm(
        _ends(measure.points),
        reference=_ends(reference.points),
        reference_mm=reference.length_mm or 0,
        shape=shape,
    )


def about_text(length_mm: float) -> str:
    """An estimated length, with no more digits than it deserves.

    >>> about_text(117.6), about_text(2.34)
    ('about 120 mm', 'about 2.3 mm')
    """
    return f"about {number_text(float(f'{length_mm:.2g}'), 7)} mm"


def _ends(
    points: Sequence[tuple[float, float]],
) -> tuple[tuple[float, float], tuple[float, float]]:
    return points[0], points[1]
