"""Which act an entry is: from its kind and content to the row of the one table of access."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from qa.record.entry import Entry
from qa.record.kinds.decisions import SignOff, SignOffDecision
from qa.record.registry import Kind
from qa.services.access import Act

_BY_KIND: Mapping[Kind, Act] = MappingProxyType(
    {
        Kind.JOB: Act.START_JOB,
        Kind.AREA: Act.START_JOB,
        Kind.INSTRUMENT: Act.RECORD_WORK,
        Kind.LOT: Act.RECORD_WORK,
        Kind.CONDITIONS: Act.RECORD_WORK,
        Kind.MEASUREMENT: Act.RECORD_WORK,
        Kind.OBSERVATION: Act.RECORD_WORK,
        Kind.MIX: Act.RECORD_WORK,
        Kind.USAGE: Act.RECORD_WORK,
        Kind.EXAMINATION: Act.RECORD_WORK,
        Kind.PHOTO: Act.RECORD_WORK,
        Kind.INTERRUPTION: Act.RECORD_WORK,
        Kind.NONCONFORMITY: Act.WRITE_NOTES,
        Kind.DISPOSITION: Act.DECIDE,
        Kind.CLOSURE: Act.RECORD_WORK,
        Kind.ERASURE: Act.ERASE,
        Kind.NOTE: Act.WRITE_NOTES,
        Kind.HANDOVER: Act.MAKE_PACKS,
        Kind.INSPECTION: Act.WRITE_NOTES,
        Kind.ANNOTATION: Act.MARK_PHOTOS,
    }
)


def act_of(entry: Entry, corrected: Kind | None) -> Act:
    """What somebody does who records this entry.

    Args:
        entry: the entry.
        corrected: for a correction, the kind of the entry that it corrects.
    """
    body = entry.new_body if entry.kind is Kind.CORRECTION else entry.body
    if isinstance(body, SignOff):
        is_complete = body.decision is SignOffDecision.COMPLETE
        return Act.SIGN_OFF if is_complete else Act.RELEASE
    kind = corrected or entry.kind
    return Act.RELEASE if kind is Kind.SIGN_OFF else _BY_KIND[kind]
