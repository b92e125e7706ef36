"""Photos, notes, and what happens after handover; corrections and erasures."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any

from qa.record import fields
from qa.record.kinds.decisions import NonconformityNumber
from qa.record.kinds.quantities import BayKey, Key, Text, Truth
from qa.record.kinds.readings import StageField
from qa.record.schema import Body, object_reader

Sha256 = Annotated[str, fields.sha256]


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo(Body):
    """The body of kind `photo`; the ledger adds the last three when it takes the file in."""

    file: Annotated[str, fields.photo_file]
    stage: StageField
    caption: Text | None = None
    check: Key | None = None
    area: Key | None = None
    bay: BayKey | None = None
    edge: Key | None = None
    lot: Key | None = None
    mix: Key | None = None
    nonconformity: NonconformityNumber | None = None
    sha256: Sha256 | None = None
    bytes: (
        Annotated[int, fields.count("a file has at least one byte", least=1, most=2**40)] | None
    ) = None
    media_type: Annotated[str, fields.word_of(r"image/[a-z0-9.+-]+", "like image/jpeg")] | None = (
        None
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Note(Body):
    """The body of kind `note`."""

    text: Text
    stage: StageField | None = None
    area: Key | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HandedDocument:
    """One document that was handed over."""

    kind: Key
    sha256: Sha256


@dataclass(frozen=True, slots=True, kw_only=True)
class Handover(Body):
    """The body of kind `handover`."""

    to: Text
    documents: Annotated[
        tuple[HandedDocument, ...],
        fields.some(object_reader(HandedDocument), least=0, what="document"),
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Inspection(Body):
    """The body of kind `inspection`, a look at the roof after handover."""

    finding: Text
    defect: Truth | None = None
    area: Key | None = None
    next_due: Annotated[date, fields.day] | None = None


def _object_or_null(value: fields.Json) -> Any:
    if value is not None and type(value) is not dict:
        raise fields.Fault("must be the whole new body in curly brackets, or null to withdraw")
    return value


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction(Body):
    """The body of kind `correction`.

    `body` is the whole new body as JSON, read by the kind of the corrected entry, or None: the
    corrected entry is withdrawn.
    """

    corrects: Annotated[str, fields.uuid]
    reason: Text
    body: Annotated[dict[str, Any] | None, _object_or_null]


@dataclass(frozen=True, slots=True, kw_only=True)
class ErasedDisclosure:
    """A personal value that was erased, by the entry and field that held it."""

    entry: Annotated[str, fields.uuid]
    field: Annotated[str, fields.field_path]


@dataclass(frozen=True, slots=True, kw_only=True)
class Erasure(Body):
    """The body of kind `erasure`: who erased what, and why."""

    reason: Text
    disclosures: (
        Annotated[
            tuple[ErasedDisclosure, ...],
            fields.some(object_reader(ErasedDisclosure), least=0, what="disclosure"),
        ]
        | None
    ) = None
    photos: Annotated[tuple[str, ...], fields.some(fields.sha256, least=0, what="photo")] | None = (
        None
    )

    def faults(self) -> Iterator[tuple[str, str]]:
        """Refuses an erasure of nothing."""
        if not self.disclosures and not self.photos:
            yield "", "names nothing that was erased; list disclosures or photos"
