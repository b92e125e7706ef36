"""Sign-offs, and what is decided when something is outside its limits.

Nonconformity, disposition, rework and concession are used in their ISO 9000 sense.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from qa.record import fields
from qa.record.kinds.quantities import BayKey, Key, Text
from qa.record.kinds.readings import StageField
from qa.record.schema import Body


class SignOffDecision(StrEnum):
    """`complete` is the installer's; the others are the supervisor's."""

    COMPLETE = "complete"
    RELEASED = "released"
    REFUSED = "refused"


class DispositionDecision(StrEnum):
    """What is to become of a nonconformity."""

    REWORK = "rework"
    CONCESSION = "concession"
    REJECT = "reject"


_NUMBER = fields.count("nonconformities are numbered from 1", least=1, most=100_000)
NonconformityNumber = Annotated[int, _NUMBER]


@dataclass(frozen=True, slots=True, kw_only=True)
class SignOff(Body):
    """The body of kind `sign_off`."""

    stage: StageField
    decision: Annotated[SignOffDecision, fields.choice(SignOffDecision)]
    statement: Text


@dataclass(frozen=True, slots=True, kw_only=True)
class Nonconformity(Body):
    """The body of kind `nonconformity`.

    `check`, `area`, `bay` and `subject` (a mix's, lot's or edge's key) tie it to the findings that
    it is about; a field left out stands for all.
    """

    number: NonconformityNumber
    stage: StageField
    description: Text
    check: Key | None = None
    area: Key | None = None
    bay: BayKey | None = None
    subject: Key | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Disposition(Body):
    """The body of kind `disposition`, a supervisor's decision on a nonconformity.

    A concession may name its `authority`, by whose leave it is given, and its `limit`, how far it
    goes and until when.
    """

    nonconformity: NonconformityNumber
    decision: Annotated[DispositionDecision, fields.choice(DispositionDecision)]
    reason: Text
    authority: Text | None = None
    limit: Text | None = None

    @property
    def terms(self) -> tuple[tuple[str, str], ...]:
        """What a concession rests on and how far it goes, each with its label."""
        named = (("Authority", self.authority), ("Limit", self.limit))
        return tuple((label, words) for label, words in named if words)


@dataclass(frozen=True, slots=True, kw_only=True)
class Closure(Body):
    """The body of kind `closure`; `entries` are the ids of the evidence."""

    nonconformity: NonconformityNumber
    statement: Text
    entries: Annotated[tuple[str, ...], fields.some(fields.uuid, least=0, what="entry id")]
