"""A fact of one job that can stand beside the same fact of others, and what it belongs to.

People are told apart by their key, never by their name; lots by product and batch number, as the
key of a lot means something in its own job only.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum


class Quantity(StrEnum):
    """What is compared."""

    RESIN = "resin"
    """Resin laid on an area, kg/m²."""
    RESIN_OF_BAYS = "resin_of_bays"
    """Resin laid on the bays that some mixes share, kg/m²."""
    TOPCOAT = "topcoat"
    """Topcoat laid on an area, kg/m²."""
    DOSE_ERROR = "dose_error"
    """Dose of a mix less the chart's target, in % of the target: the targets differ fourfold with
    the temperature, and who misreads a jug is wrong by a share, not by ml/kg."""
    PINHOLES = "pinholes"
    """Pinholes found when bays were first looked at, by the area examined, per m²."""
    PHOTOS_MISSING = "photos_missing"
    """Photos missing of those that a stage asks for, when somebody signed it as complete."""
    LATE = "late"
    """Entries recorded late, of those whose arrival is known."""

    @property
    def unit(self) -> str:
        """The unit of its value: "1" for a share."""
        return _UNITS[self]

    @property
    def is_share(self) -> bool:
        """Whether it is a number of all, not a number by size."""
        return self in (Quantity.PHOTOS_MISSING, Quantity.LATE)

    @property
    def is_counted(self) -> bool:
        """Whether it is counted, not measured."""
        return self is Quantity.PINHOLES or self.is_share


_UNITS = {
    Quantity.RESIN: "kg/m2",
    Quantity.RESIN_OF_BAYS: "kg/m2",
    Quantity.TOPCOAT: "kg/m2",
    Quantity.DOSE_ERROR: "%",
    Quantity.PINHOLES: "1/m2",
    Quantity.PHOTOS_MISSING: "1",
    Quantity.LATE: "1",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """What was counted, and in how much.

    Attributes:
        count: how many were found, 0 or more.
        size: m² examined, or how many there were in all; above 0.
    """

    count: int
    size: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """The job that a fact is told by, and what it was judged by.

    Attributes:
        job: the firm's reference of the job.
        specification: its name and version.
        specification_sha256: digest of its file: two of one name may differ.
    """

    job: str
    specification: str
    specification_sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One figure of one job.

    Attributes:
        source: the job and its specification.
        quantity: what it is.
        made_as: what else must be the same for two facts to be compared, such as the mat.
        subject: what it is of within the job: "mix-4", "main", "laminate".
        at: stated time of the last entry that it rests on, in the job's zone.
        position: place of that entry in the record.
        value: in the quantity's unit.
        target: what the value should be, or None where there is only a limit.
        sample: for what is counted, count and size, whose ratio is the value.
        crew: keys of the people who recorded the work: "ines + otto"; None where nobody is known.
        lot: product and batch number of what was laid, or None where that is not known.
    """

    source: Source
    quantity: Quantity
    made_as: str
    subject: str
    at: datetime
    position: int
    value: float
    target: float | None = None
    sample: Sample | None = None
    crew: str | None
    lot: str | None

    @property
    def month(self) -> str:
        """The month on the site: "2026-05"."""
        return f"{self.at:%Y-%m}"


class Why(StrEnum):
    """Why something is not compared, as the end of a sentence that begins with how many."""

    NO_TARGET = "the chart has no dose at the temperature of the deck"
    NOT_COMPLETE = "nobody has signed the stage as complete, so it may still change"
    OFF_PLAN = "a bay that they name is not on the plan, so their area is not known"
    NO_MASS = "what was laid is not known in kg"
    NO_ARRIVAL = "the record has not passed through a ledger, so nobody knows when entries arrived"
    NO_CREW = "the record does not say whose work it was"
    NO_LOT = "the record does not say of which lot it was"


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """Something that could not be compared."""

    job: str
    quantity: Quantity
    subject: str
    why: Why


@dataclass(frozen=True, slots=True, kw_only=True)
class JobFacts:
    """What one job has to tell.

    Attributes:
        job: the firm's reference of the job.
        facts: in no particular order.
        left_out: what it could have told, and why it does not.
    """

    job: str
    facts: tuple[Fact, ...]
    left_out: tuple[LeftOut, ...]
