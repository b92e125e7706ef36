"""From one job the facts that can be compared with those of others.

Every figure is the one that the assessment judges; nothing is reckoned in a second way here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from qa.assess.consumption import bay_groups, expected_kg_per_m2, laid_on
from qa.assess.fact import Fact, JobFacts, LeftOut, Quantity, Sample, Source, Why
from qa.assess.finding import Assessment, Finding
from qa.assess.frame import Frame, LaidArea, frame_of, grouped, when
from qa.assess.lateness import TIMELY
from qa.assess.mixes import is_topcoat, mix_dose_ml_per_kg
from qa.assess.photo_requests import PHOTOS
from qa.assess.stages import SIGNED_OFF, work_by_stage
from qa.record.job import Job, Recorded
from qa.record.kinds.readings import Examination
from qa.record.kinds.supplies import Mix, Usage
from qa.record.schema import Body
from qa.specification.model import Specification
from qa.trade.conformity import Verdict
from qa.trade.consumption import rate_kg_per_m2
from qa.trade.notation import quantity_text
from qa.trade.vocabulary import Stage

_DECIMALS = 9
"""What binary sums leave beyond these is no scatter, and must not set the limits of a chart."""

_Told = Iterator[Fact | LeftOut]


def glean(job: Job, specification: Specification, assessment: Assessment) -> JobFacts:
    """What a job has to tell of resin, topcoat, doses, pinholes, photos and lateness.

    Args:
        job: the fold of a record.
        specification: the one that the job pins.
        assessment: `assess(job, specification)`.
    """
    telling = _Telling(frame_of(job, specification), assessment)
    told = tuple(telling.everything())
    return JobFacts(
        job=job.reference,
        facts=tuple(one for one in told if isinstance(one, Fact)),
        left_out=tuple(one for one in told if isinstance(one, LeftOut)),
    )


class _Telling:
    """One job laid out, and the ways to its facts."""

    def __init__(self, frame: Frame, assessment: Assessment) -> None:
        self._frame = frame
        self._findings = grouped(assessment.findings, lambda found: found.check)
        self._signed = self._sign_offs()
        self._source = Source(
            job=frame.job.reference,
            specification=frame.specification.name,
            specification_sha256=frame.specification.sha256,
        )

    def everything(self) -> _Told:
        """All facts, and what could not become one."""
        for key, area in self._frame.areas.items():
            yield from self._rate(Quantity.RESIN, Stage.LAMINATE, key, area)
            yield from self._rates_of_bays(key, area)
            yield from self._rate(Quantity.TOPCOAT, Stage.TOPCOAT, key, area)
            yield from self._pinholes(key)
        yield from self._dose_errors()
        yield from self._photos_missing()
        yield from self._late()

    def _rate(self, quantity: Quantity, stage: Stage, key: str, area: LaidArea) -> _Told:
        laid = laid_on(self._frame, stage, key)
        if not laid.on:
            return
        if laid.kg is None:
            yield self._left_out(quantity, key, Why.NO_MASS)
        elif stage not in self._signed:
            yield self._left_out(quantity, key, Why.NOT_COMPLETE)
        else:
            yield self._fact(
                quantity,
                key,
                rate_kg_per_m2(laid.kg, area.laid_m2),
                on=laid.on,
                laid=laid.on,
                made_as=_made_as(stage, area),
                target=expected_kg_per_m2(self._frame, stage, area),
            )

    def _rates_of_bays(self, key: str, area: LaidArea) -> _Told:
        stage = Stage.LAMINATE
        for group in bay_groups(self._frame, stage, key):
            if group.laid_m2 is None:
                yield self._left_out(Quantity.RESIN_OF_BAYS, group.subject, Why.OFF_PLAN)
                continue
            yield self._fact(
                Quantity.RESIN_OF_BAYS,
                group.subject,
                rate_kg_per_m2(group.kg, group.laid_m2),
                on=group.mixes,
                laid=group.mixes,
                made_as=_made_as(stage, area),
                target=expected_kg_per_m2(self._frame, stage, area),
            )

    def _dose_errors(self) -> _Told:
        specification = self._frame.specification
        for mix in (mix for mixes in self._frame.mixes.values() for mix in mixes):
            topcoat = is_topcoat(self._frame, mix.body)
            sourced = specification.topcoat_dose if topcoat else specification.resin_dose
            row = sourced.chart.row_at(mix.body.deck_c)
            if row is None:
                yield self._left_out(Quantity.DOSE_ERROR, mix.body.mix, Why.NO_TARGET)
                continue
            target = row.target_ml_per_kg
            yield self._fact(
                Quantity.DOSE_ERROR,
                mix.body.mix,
                100.0 * (mix_dose_ml_per_kg(mix.body) - target) / target,
                on=(mix,),
                laid=(mix,),
                made_as="topcoat" if topcoat else "resin",
                target=0.0,
            )

    def _pinholes(self, area: str) -> _Told:
        """The bays of an area at their first look, those of one crew, lot and month together."""
        series = grouped(self._frame.examinations.at(area), lambda look: look.body.bay)
        looks = [first for first, *_ in series.values()]
        laid_by = {look.id: self._mixes_on(look.body) for look in looks}
        together = grouped(
            looks,
            lambda look: (
                _crew(laid_by[look.id]),
                self._lot(laid_by[look.id]),
                self._month(look),
            ),
        )
        for alike in together.values():
            count = sum(look.body.pinholes for look in alike)
            size_m2 = sum(look.body.examined_m2 for look in alike)
            yield self._fact(
                Quantity.PINHOLES,
                area,
                count / size_m2,
                on=alike,
                laid=laid_by[alike[0].id],
                sample=Sample(count=count, size=size_m2),
            )

    def _mixes_on(self, look: Examination) -> Sequence[Recorded[Mix]]:
        mixes = self._frame.mixes_of(Stage.LAMINATE, look.area)
        return [mix for mix in mixes if look.bay in (mix.body.bays or ())]

    def _photos_missing(self) -> _Told:
        for found in self._findings.get(PHOTOS, ()):
            if found.verdict is Verdict.NOT_APPLICABLE or not found.limits.lower:
                continue
            signed = self._signed.get(found.stage)
            if signed is None:
                yield self._left_out(Quantity.PHOTOS_MISSING, found.stage, Why.NOT_COMPLETE)
                continue
            wanted = int(found.limits.lower)
            missing = wanted - int(found.value or 0)
            yield self._share(Quantity.PHOTOS_MISSING, found.stage, missing, wanted, on=(signed,))

    def _late(self) -> _Told:
        """The entries of each person and month."""
        late = {
            entry
            for found in self._findings.get(TIMELY, ())
            if found.verdict is Verdict.OUTSIDE
            for entry in found.entries
        }
        job = self._frame.job
        work: list[Recorded[Body]] = [e for of in work_by_stage(job).values() for e in of]
        arrived = [
            entry
            for entry in (*work, *job.photos, *job.sign_offs)
            if entry.entry.received_at is not None
        ]
        if not arrived:
            yield self._left_out(Quantity.LATE, "its entries", Why.NO_ARRIVAL)
        together = grouped(arrived, lambda entry: (entry.by, self._month(entry)))
        for (person, _), entries in together.items():
            count = sum(entry.id in late for entry in entries)
            yield self._share(Quantity.LATE, person, count, len(entries), on=entries)

    def _share(
        self,
        quantity: Quantity,
        subject: str,
        count: int,
        size: int,
        *,
        on: Sequence[Recorded[Body]],
    ) -> Fact:
        """A number of all; it is of people, and of no lot."""
        sample = Sample(count=count, size=size)
        return self._fact(
            quantity, subject, count / size, on=on, laid=(), crew=_crew(on), sample=sample
        )

    def _fact(
        self,
        quantity: Quantity,
        subject: str,
        value: float,
        *,
        on: Sequence[Recorded[Body]],
        laid: Sequence[Recorded[Body]],
        crew: str | None = None,
        made_as: str = "",
        target: float | None = None,
        sample: Sample | None = None,
    ) -> Fact:
        """A fact that rests on some entries, of what was laid by others, or of a crew."""
        last = max(on, key=when)
        return Fact(
            source=self._source,
            quantity=quantity,
            made_as=made_as,
            subject=subject,
            at=last.at.astimezone(self._frame.zone),
            position=last.position,
            value=round(value, _DECIMALS),
            target=None if target is None else round(target, _DECIMALS),
            sample=sample,
            crew=crew or _crew(laid),
            lot=self._lot(laid),
        )

    def _left_out(self, quantity: Quantity, subject: str, why: Why) -> LeftOut:
        return LeftOut(job=self._source.job, quantity=quantity, subject=subject, why=why)

    def _sign_offs(self) -> dict[Stage, Recorded[Body]]:
        """The installer's sign-off of each stage that has one."""
        by_id = {signed.id: signed for signed in self._frame.job.sign_offs}
        said = self._findings.get(SIGNED_OFF, ())
        return {found.stage: by_id[found.entries[0]] for found in said if _is_told(found)}

    def _month(self, recorded: Recorded[Body]) -> str:
        return f"{recorded.at.astimezone(self._frame.zone):%Y-%m}"

    def _lot(self, laid: Iterable[Recorded[Body]]) -> str | None:
        """The batches that were laid; None where one of them was never registered."""
        keys = {one.body.lot for one in laid if isinstance(one.body, Mix | Usage)}
        lots = [self._frame.lots.get(key) for key in sorted(keys)]
        known = {f"{lot.product}, batch {lot.batch_number}" for lot in lots if lot is not None}
        return " + ".join(sorted(known)) if known and None not in lots else None


def _is_told(found: Finding) -> bool:
    return found.verdict in (Verdict.WITHIN, Verdict.OUTSIDE)


def _crew(entries: Iterable[Recorded[Body]]) -> str | None:
    """The keys of those who recorded some entries, or None where there is no entry."""
    return " + ".join(sorted({entry.by for entry in entries})) or None


def _made_as(stage: Stage, area: LaidArea) -> str:
    """What decides how much is expected: the mat, for a laminate."""
    if stage is Stage.TOPCOAT:
        return ""
    layers = area.body.layers or 1
    mat = quantity_text(area.body.mat_g_per_m2, "g/m2")
    return f"{layers} {'layer' if layers == 1 else 'layers'} of {mat}"
