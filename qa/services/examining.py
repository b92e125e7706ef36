"""The bays of an area as somebody who examines them sees them: how each stands, and why."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from qa.assess.examinations import EXAMINED
from qa.assess.finding import Finding
from qa.assess.frame import LaidArea, frame_of, grouped, when
from qa.record.job import Job, Recorded
from qa.record.kinds.readings import Examination
from qa.specification.model import Specification
from qa.trade.bays import Bay
from qa.trade.conformity import Verdict
from qa.trade.vocabulary import Stage, WetOut


class BayState(StrEnum):
    """How a bay stands; `letter` and `words` of each tell it without colour."""

    NOT_EXAMINED = "not_examined"
    TRANSPARENT = "transparent"
    FLAWS = "flaws"
    WHITE_PATCHES = "white_patches"
    DRY = "dry"
    REPAIRED = "repaired"

    @property
    def letter(self) -> str:
        """One letter for the plan; none while nobody has looked."""
        return _LETTERS[self]

    @property
    def words(self) -> str:
        """The state in words."""
        return _WORDS[self]


_LETTERS = {
    BayState.NOT_EXAMINED: "",
    BayState.TRANSPARENT: "T",
    BayState.FLAWS: "F",
    BayState.WHITE_PATCHES: "W",
    BayState.DRY: "D",
    BayState.REPAIRED: "R",
}
_WORDS = {
    BayState.NOT_EXAMINED: "not examined",
    BayState.TRANSPARENT: "transparent",
    BayState.FLAWS: "transparent, but outside limits",
    BayState.WHITE_PATCHES: "white patches",
    BayState.DRY: "dry",
    BayState.REPAIRED: "repaired, clear after",
}
_BY_LOOK = {WetOut.WHITE_PATCHES: BayState.WHITE_PATCHES, WetOut.DRY: BayState.DRY}


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenBay:
    """One bay of the layout and everything that was seen of it.

    Attributes:
        bay: where it is and how large.
        state: how it stands.
        looks: its examinations, in order of time.
        findings: what was judged of it, at each of them.
    """

    bay: Bay
    state: BayState
    looks: tuple[Recorded[Examination], ...]
    findings: tuple[Finding, ...]

    @property
    def open_looks(self) -> tuple[str, ...]:
        """Ids of the examinations that were outside limits and are not put right yet."""
        at_fault = {entry for f in self.findings if f.is_open for entry in f.entries}
        return tuple(look.id for look in self.looks if look.id in at_fault)


def laid_areas(job: Job, specification: Specification) -> Mapping[str, LaidArea]:
    """The areas of a job by key, with their bays laid out; the work done on them is not read."""
    ground = replace(
        job, conditions=(), mixes=(), photos=(), examinations=(), interruptions=(), usages=()
    )
    return frame_of(ground, specification).areas


def seen_bays(
    job: Job, findings: Iterable[Finding], area: str, bays: Mapping[str, Bay]
) -> tuple[SeenBay, ...]:
    """Every bay of an area's layout, by row and number.

    Args:
        job: as it stands.
        findings: of the job's assessment.
        area: the area's key.
        bays: the area's layout.
    """
    looks = grouped(
        sorted((one for one in job.examinations if one.body.area == area), key=when),
        lambda one: one.body.bay,
    )
    judged = grouped(
        (f for f in findings if f.area == area and f.bay and f.check != EXAMINED
         and f.stage is Stage.LAMINATE),
        lambda found: found.bay,
    )  # fmt: skip
    return tuple(
        _seen(bay, looks.get(bay.key, ()), judged.get(bay.key, ())) for bay in bays.values()
    )


def _seen(bay: Bay, looks: Sequence[Recorded[Examination]], findings: Sequence[Finding]) -> SeenBay:
    own = {look.id for look in looks}
    judged = tuple(found for found in findings if own & set(found.entries))
    return SeenBay(bay=bay, state=_state(looks, judged), looks=tuple(looks), findings=judged)


def _state(looks: Sequence[Recorded[Examination]], findings: Sequence[Finding]) -> BayState:
    if not looks:
        return BayState.NOT_EXAMINED
    last = looks[-1]
    if last.body.wet_out in _BY_LOOK:
        return _BY_LOOK[last.body.wet_out]
    of_last = [found for found in findings if last.id in found.entries]
    if any(found.verdict is Verdict.OUTSIDE for found in of_last):
        return BayState.FLAWS
    if last.body.after_repair or any(found.put_right for found in findings):
        return BayState.REPAIRED
    return BayState.TRANSPARENT
