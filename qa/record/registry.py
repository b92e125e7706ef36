"""Every kind of entry: its word in a record and the class of its body."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from enum import StrEnum

from qa.record.fields import Json
from qa.record.kinds.decisions import Closure, Disposition, Nonconformity, SignOff
from qa.record.kinds.marks import Annotation
from qa.record.kinds.papers import Correction, Erasure, Handover, Inspection, Note, Photo
from qa.record.kinds.parties import Opening
from qa.record.kinds.place import Area
from qa.record.kinds.readings import (
    Conditions,
    Examination,
    Interruption,
    Measurement,
    Observation,
)
from qa.record.kinds.supplies import Instrument, Lot, Mix, Usage
from qa.record.schema import Body, object_reader


class Kind(StrEnum):
    """The word of each kind."""

    JOB = "job"
    AREA = "area"
    INSTRUMENT = "instrument"
    LOT = "lot"
    CONDITIONS = "conditions"
    MEASUREMENT = "measurement"
    OBSERVATION = "observation"
    MIX = "mix"
    USAGE = "usage"
    EXAMINATION = "examination"
    PHOTO = "photo"
    INTERRUPTION = "interruption"
    SIGN_OFF = "sign_off"
    NONCONFORMITY = "nonconformity"
    DISPOSITION = "disposition"
    CLOSURE = "closure"
    CORRECTION = "correction"
    ERASURE = "erasure"
    NOTE = "note"
    HANDOVER = "handover"
    INSPECTION = "inspection"
    ANNOTATION = "annotation"


BODIES: Mapping[Kind, type[Body]] = {
    Kind.JOB: Opening,
    Kind.AREA: Area,
    Kind.INSTRUMENT: Instrument,
    Kind.LOT: Lot,
    Kind.CONDITIONS: Conditions,
    Kind.MEASUREMENT: Measurement,
    Kind.OBSERVATION: Observation,
    Kind.MIX: Mix,
    Kind.USAGE: Usage,
    Kind.EXAMINATION: Examination,
    Kind.PHOTO: Photo,
    Kind.INTERRUPTION: Interruption,
    Kind.SIGN_OFF: SignOff,
    Kind.NONCONFORMITY: Nonconformity,
    Kind.DISPOSITION: Disposition,
    Kind.CLOSURE: Closure,
    Kind.CORRECTION: Correction,
    Kind.ERASURE: Erasure,
    Kind.NOTE: Note,
    Kind.HANDOVER: Handover,
    Kind.INSPECTION: Inspection,
    Kind.ANNOTATION: Annotation,
}

BODY_READERS: Mapping[Kind, Callable[[Json], Body]] = {
    kind: object_reader(body) for kind, body in BODIES.items()
}

KIND_OF: Mapping[type[Body], Kind] = {body: kind for kind, body in BODIES.items()}
