"""An entry in one line of plain words, for lists of a record."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any
from zoneinfo import ZoneInfo

from qa.record.entry import Entry
from qa.record.kinds.decisions import Closure, Disposition, Nonconformity, SignOff, SignOffDecision
from qa.record.kinds.marks import Annotation
from qa.record.kinds.papers import Correction, Erasure, Handover, Inspection, Note, Photo
from qa.record.kinds.parties import Opening
from qa.record.kinds.place import Area
from qa.record.kinds.readings import (
    Cause,
    Conditions,
    Examination,
    Interruption,
    Measurement,
    Observation,
    Result,
)
from qa.record.kinds.supplies import Instrument, Lot, Mix, Unit, Usage
from qa.record.marked import told_marks
from qa.record.schema import Body
from qa.specification.model import Specification
from qa.trade.bay_runs import bay_runs
from qa.trade.notation import number_text, quantity_text
from qa.trade.vocabulary import Stage

ERASED = "(erased)"
"""Stands for a personal value that is not disclosed any more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Telling:
    """What a line needs to know besides its entry.

    Attributes:
        specification: whose words name checks and stages.
        zone: of the job.
        areas: names of the areas by key; of a job with one area, none.
    """

    specification: Specification
    zone: ZoneInfo
    areas: Mapping[str, str]

    def line(self, entry: Entry) -> str:
        """An entry as it was written, in one line."""
        return self.body(entry.body)

    def body(self, body: Body) -> str:
        """What an entry says, in one line."""
        return _LINES[type(body)](self, body)

    def check(self, key: str) -> str:
        """What a check is about, as a sentence begins; the key where nobody knows it."""
        check = self.specification.checks.get(key)
        return _begun(check.quantity) if check else key

    def stage(self, stage: Stage) -> str:
        """A stage's name."""
        return self.specification.stage_rule(stage).title

    def place(self, body: Body) -> str:
        """Where on the roof, after a comma; or nothing."""
        area = self.areas.get(getattr(body, "area", None) or "")
        bay, edge = getattr(body, "bay", None), getattr(body, "edge", None)
        parts = (area, f"bay {bay}" if bay else None, f"edge {edge}" if edge else None)
        return "".join(f", {part}" for part in parts if part)


def _opening(_: Telling, body: Opening) -> str:
    return f"Job {body.job} opened: {body.title}"


def _area(_: Telling, body: Area) -> str:
    area = quantity_text(round(body.roof.net_area_m2, 2), "m2")
    return f"Area {body.name}: {area}, mat {quantity_text(body.mat_g_per_m2, 'g/m2')}"


def _instrument(_: Telling, body: Instrument) -> str:
    return f"Instrument {_known_as(body.instrument, body.name)}, for {body.measures}"


def _known_as(key: str, name: str) -> str:
    """What the record calls something, and its name where that is another."""
    return key if key == name else f"{key}: {name}"


def _lot(_: Telling, body: Lot) -> str:
    quantity = _in_unit(body.quantity, body.unit)
    if body.lot == body.batch_number:
        return f"Batch {body.lot}: {body.product}, {quantity}"
    return f"Batch {body.lot}: {body.product}, {body.batch_number}, {quantity}"


def _conditions(telling: Telling, body: Conditions) -> str:
    values = (
        ("air", body.air_c, "°C"),
        ("humidity", body.humidity_pct, "%"),
        ("deck", body.deck_c, "°C"),
        ("moisture", body.moisture_pct, "%"),
        ("wind", body.wind_m_per_s, "m/s"),
    )
    said = [
        f"{name} {quantity_text(value, unit)}" for name, value, unit in values if value is not None
    ]
    if body.rain is not None:
        said.append("rain" if body.rain else "no rain")
    return f"Conditions: {', '.join(said)}{telling.place(body)}"


def _measurement(telling: Telling, body: Measurement) -> str:
    value = quantity_text(body.value, body.unit)
    return f"{telling.check(body.check)}: {value}{telling.place(body)}"


_RESULTS = {Result.YES: "yes", Result.NO: "no", Result.NOT_APPLICABLE: "does not apply"}


def _observation(telling: Telling, body: Observation) -> str:
    because = f", because {body.reason}" if body.reason else ""
    note = f"; {body.note}" if body.note else ""
    said = _RESULTS[body.result]
    return f"{telling.check(body.check)}: {said}{because}{telling.place(body)}{note}"


def _mix(telling: Telling, body: Mix) -> str:
    bays = f", {_bays(body.bays)}" if body.bays else ""
    dose = (
        f"{quantity_text(body.kg, 'kg')} of {body.lot} with {quantity_text(body.catalyst_ml, 'ml')}"
    )
    deck = quantity_text(body.deck_c, "°C")
    return f"{_named('Mix', body.mix)}: {dose} at {deck}{telling.place(body)}{bays}"


def _usage(telling: Telling, body: Usage) -> str:
    wasted = f", of which {_in_unit(body.wasted, body.unit)} wasted" if body.wasted else ""
    used = _in_unit(body.used, body.unit)
    return f"Used: {used} of {body.lot}{wasted}{telling.place(body)}"


def _examination(telling: Telling, body: Examination) -> str:
    found = [body.wet_out.replace("_", " ")]
    if body.opaque_cm2:
        found.append(f"{quantity_text(body.opaque_cm2, 'cm2')} opaque")
    found.append(_counted(body.pinholes, "pinhole"))
    if body.trapped_air:
        found.append(_counted(body.trapped_air, "air void"))
    repair = ", after repair" if body.after_repair else ""
    area = f" of {name}" if (name := telling.areas.get(body.area)) else ""
    return f"Bay {body.bay}{area}: {', '.join(found)}{repair}"


def _photo(telling: Telling, body: Photo) -> str:
    of = (
        telling.check(body.check) if body.check else None,
        f"batch {body.lot}" if body.lot else None,
        _named("mix", body.mix) if body.mix else None,
        f"nonconformity {body.nonconformity}" if body.nonconformity else None,
    )
    named = [part for part in (body.caption, *of) if part]
    return f"Photo: {', '.join(named) or telling.stage(body.stage)}{telling.place(body)}"


def _interruption(telling: Telling, body: Interruption) -> str:
    since = f"from {body.from_.astimezone(telling.zone):%H:%M}"
    until = f" until {body.until.astimezone(telling.zone):%H:%M}" if body.until else ", not ended"
    bays = f"; {_bays(body.bays)}" if body.bays else ""
    cause = "another cause" if body.cause is Cause.OTHER else body.cause
    return f"Stopped for {cause}, {since}{until}: {body.protection}{bays}{telling.place(body)}"


_DECISIONS = {
    SignOffDecision.COMPLETE: "signed off as complete",
    SignOffDecision.RELEASED: "released",
    SignOffDecision.REFUSED: "refused",
}


def _sign_off(telling: Telling, body: SignOff) -> str:
    return f"{telling.stage(body.stage)} {_DECISIONS[body.decision]}: {body.statement}"


def _nonconformity(telling: Telling, body: Nonconformity) -> str:
    return f"Nonconformity {body.number}{telling.place(body)}: {body.description}"


def _disposition(_: Telling, body: Disposition) -> str:
    said = f"Decision on nonconformity {body.nonconformity}: {body.decision}, {body.reason}"
    return "; ".join([said, *(f"{label.lower()}: {words}" for label, words in body.terms)])


def _closure(_: Telling, body: Closure) -> str:
    return f"Nonconformity {body.nonconformity} closed: {body.statement}"


def _correction(_: Telling, body: Correction) -> str:
    return f"{'Withdrawn' if body.body is None else 'Put right'}: {body.reason}"


def _erasure(_: Telling, body: Erasure) -> str:
    what = [
        _counted(len(body.disclosures or ()), "personal value") if body.disclosures else "",
        _counted(len(body.photos or ()), "photo") if body.photos else "",
    ]
    return f"Erased: {' and '.join(filter(None, what))}, because {body.reason}"


def _note(telling: Telling, body: Note) -> str:
    return f"Note{telling.place(body)}: {body.text}"


_DOCUMENTS = {"handover": "handover pack", "warranty": "warranty file"}
"""Documents that this program makes; a record from elsewhere may name others."""


def _handover(_: Telling, body: Handover) -> str:
    kinds = (_DOCUMENTS.get(document.kind, document.kind) for document in body.documents)
    return f"Handed over to {body.to}: {', '.join(kinds) or 'no document'}"


def _inspection(telling: Telling, body: Inspection) -> str:
    due = f"; next due {body.next_due:%d %B %Y}" if body.next_due else ""
    defect = "; a defect" if body.defect else ""
    return f"Inspection{telling.place(body)}: {body.finding}{defect}{due}"


def _annotation(_: Telling, body: Annotation) -> str:
    if not body.marks:
        return "Marks on a photo, all taken away"
    return f"Marks on a photo: {told_marks(body)}"


_LINES: Mapping[type[Body], Callable[[Telling, Any], str]] = MappingProxyType(
    {
        Opening: _opening,
        Area: _area,
        Instrument: _instrument,
        Lot: _lot,
        Conditions: _conditions,
        Measurement: _measurement,
        Observation: _observation,
        Mix: _mix,
        Usage: _usage,
        Examination: _examination,
        Photo: _photo,
        Interruption: _interruption,
        SignOff: _sign_off,
        Nonconformity: _nonconformity,
        Disposition: _disposition,
        Closure: _closure,
        Correction: _correction,
        Erasure: _erasure,
        Note: _note,
        Handover: _handover,
        Inspection: _inspection,
        Annotation: _annotation,
    }
)


def _bays(bays: Sequence[str]) -> str:
    return f"bay{'s' if len(bays) > 1 else ''} {bay_runs(bays)}"


def _in_unit(value: float, unit: Unit) -> str:
    """A quantity of a batch, whose pieces are counted."""
    if unit is Unit.PIECE:
        return f"{number_text(value)} piece{'s' if value != 1 else ''}"
    return quantity_text(value, unit)


def _begun(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def _counted(number: int, one: str) -> str:
    return f"1 {one}" if number == 1 else f"{number} {one}s"


def _named(word: str, key: str) -> str:
    """A thing by its key, without saying the word twice."""
    return f"{word[0]}{key[1:]}" if key.lower().startswith(word.lower()) else f"{word} {key}"
