"""Every mix: dose by the chart, stirring, use-by dates, pot life, traceability."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from functools import partial

from qa.assess.finding import Finding
from qa.assess.frame import Frame
from qa.assess.judging import NO_LIMITS, finding
from qa.errors import DomainError
from qa.record.job import Recorded
from qa.record.kinds.supplies import Lot, Mix
from qa.trade.catalyst import dose_ml_per_kg, dose_uncertainty_ml_per_kg, mass_pct
from qa.trade.conformity import Limits, Verdict
from qa.trade.notation import number_text, quantity_text
from qa.trade.vocabulary import WET_STAGES, Material, Stage

DOSE = "mix.dose"
IN_DATE = "mix.batch_in_date"
STIR_BEFORE = "mix.stir_before"
STIR_AFTER = "mix.stir_after"
USED_IN_TIME = "mix.used_in_time"
TRACEABLE = "mix.traceable"
CHECKS = (DOSE, IN_DATE, STIR_BEFORE, STIR_AFTER, USED_IN_TIME, TRACEABLE)


def judge_mixes(frame: Frame) -> Iterator[Finding]:
    """The findings on every mix; where a wet stage has none, that is not recorded."""
    for stage in WET_STAGES:
        mixes = frame.mixes.get(stage, ())
        for mix in mixes:
            yield from judge_mix(frame, mix)
        if not mixes:
            for key in CHECKS:
                yield finding(frame, key, stage=stage)


def judge_mix(frame: Frame, mix: Recorded[Mix]) -> Iterator[Finding]:
    """The findings on one mix."""
    yield _dose(frame, mix)
    yield _in_date(frame, mix)
    yield from _stirring(frame, mix)
    yield _used_in_time(frame, mix)
    yield _traceable(frame, mix)


def is_topcoat(frame: Frame, mix: Mix) -> bool:
    """Whether a mix is of topcoat: by its lot, or by its stage where the lot is not registered."""
    lot = frame.lots.get(mix.lot)
    return mix.stage is Stage.TOPCOAT if lot is None else lot.material is Material.TOPCOAT


def _finding(frame: Frame, mix: Recorded[Mix], key: str) -> partial[Finding]:
    body = mix.body
    return partial(
        finding, frame, key, stage=body.stage, area=body.area, subject=body.mix, on=(mix,)
    )


def mix_dose_ml_per_kg(mix: Mix) -> float:
    """The dose that a mix was really given, ml of catalyst per kg."""
    return dose_ml_per_kg(catalyst_ml=mix.catalyst_ml, resin_kg=mix.kg)


def _dose(frame: Frame, mix: Recorded[Mix]) -> Finding:
    body = mix.body
    specification = frame.specification
    sourced = specification.topcoat_dose if is_topcoat(frame, body) else specification.resin_dose
    row = sourced.chart.row_at(body.deck_c)
    known = frame.known.of_mix
    make = partial(
        _finding(frame, mix, DOSE),
        value=mix_dose_ml_per_kg(body),
        expanded_uncertainty=dose_uncertainty_ml_per_kg(
            catalyst_ml=body.catalyst_ml,
            resin_kg=body.kg,
            ml_uncertainty=known.catalyst.uncertainty,
            kg_uncertainty=known.mass.uncertainty,
        ),
        sourced=sourced,
    )
    if row is None:
        return make(
            limits=NO_LIMITS,
            verdict=Verdict.OUTSIDE,
            remark=f"At a deck temperature of {quantity_text(body.deck_c, '°C')} the chart has no "
            "dose: do not mix.",
        )
    return make(
        limits=Limits(lower=row.lower_ml_per_kg, upper=row.upper_ml_per_kg),
        remark=f"Chart at {quantity_text(body.deck_c, '°C')}: target "
        f"{quantity_text(row.target_ml_per_kg, 'ml/kg')}. {_by_mass(frame, body)} "
        f"{known.dose_remark}",
    )


def _by_mass(frame: Frame, mix: Mix) -> str:
    lot = frame.lots.get(mix.catalyst_lot)
    stated = lot.density_g_per_ml if lot else None
    density = stated or frame.specification.figures.catalyst_g_per_ml.value
    percent = mass_pct(ml_per_kg=mix_dose_ml_per_kg(mix), density_g_per_ml=density)
    whose = "the lot's density" if stated else "the specification's density, as the lot gives none,"
    return f"That is {percent:.2f} % by mass at {whose} {quantity_text(density, 'g/ml')}."


def _in_date(frame: Frame, mix: Recorded[Mix]) -> Finding:
    body = mix.body
    lots = [(key, frame.lots.get(key)) for key in (body.lot, body.catalyst_lot)]
    dated = [(key, lot.use_by) for key, lot in lots if lot is not None and lot.use_by is not None]
    day = frame.local_day(mix.at)
    make = _finding(frame, mix, IN_DATE)
    undated = [key for key, lot in lots if lot is None or lot.use_by is None]
    remark = f"No use-by date is recorded for {' and '.join(undated)}." if undated else ""
    past = [(key, use_by) for key, use_by in dated if use_by < day]
    if undated and not past:
        return make(remark=remark)
    days = min((use_by - day).days for _, use_by in dated)
    told = " ".join(_expiry(key, use_by) for key, use_by in dated)
    return make(value=float(days), expanded_uncertainty=0.0, remark=f"{told} {remark}".strip())


def _expiry(lot: str, use_by: date) -> str:
    return f"Lot {lot}: use by {use_by:%d %B %Y}.".replace("by 0", "by ")


def _stirring(frame: Frame, mix: Recorded[Mix]) -> Iterator[Finding]:
    body = mix.body
    yield _finding(frame, mix, STIR_BEFORE)(value=body.stirred_before_s)
    after = _finding(frame, mix, STIR_AFTER)
    if is_topcoat(frame, body):
        figure = frame.specification.figures.stir_after_topcoat_s
        limits = Limits(lower=figure.value, upper=None)
        yield after(value=body.stirred_after_s, limits=limits, sourced=figure)
    else:
        yield after(value=body.stirred_after_s)


def _used_in_time(frame: Frame, mix: Recorded[Mix]) -> Finding:
    body = mix.body
    gel = frame.specification.gel_time
    make = partial(_finding(frame, mix, USED_IN_TIME), sourced=gel)
    if body.emptied_at is None:
        return make(remark="When the mix was emptied is not recorded.")
    minutes = (body.emptied_at - mix.at) / timedelta(minutes=1)
    if minutes < 0:
        return make(
            verdict=Verdict.UNDECIDED,
            remark="It is recorded as emptied before it was mixed; one of the times is wrong.",
        )
    try:
        estimate = gel.model.estimate(body.deck_c, mix_dose_ml_per_kg(body))
    except DomainError as error:
        return make(
            value=minutes,
            verdict=Verdict.UNDECIDED,
            remark=f"The gel time cannot be estimated: {error}",
        )
    reach = " beyond the published points" if estimate.extrapolated else ""
    return make(
        value=minutes,
        limits=Limits(lower=None, upper=estimate.gel_min),
        remark=f"Gel time estimated{reach} as {number_text(estimate.gel_min, 3)} min, band "
        f"{number_text(estimate.low_min, 3)} to {number_text(estimate.high_min, 3)} min; "
        "an estimate, never exact.",
    )


def _traceable(frame: Frame, mix: Recorded[Mix]) -> Finding:
    body = mix.body
    faults = [
        *_lot_fault(frame.lots.get(body.lot), body.lot, (Material.RESIN, Material.TOPCOAT)),
        *_lot_fault(frame.lots.get(body.catalyst_lot), body.catalyst_lot, (Material.CATALYST,)),
    ]
    return _finding(frame, mix, TRACEABLE)(answer=not faults, remark=" ".join(faults))


def _lot_fault(lot: Lot | None, key: str, materials: tuple[Material, ...]) -> Iterator[str]:
    if lot is None:
        yield f"Lot {key} was never registered."
    elif lot.material not in materials:
        yield f"Lot {key} is {lot.material}, not {' or '.join(materials)}."
