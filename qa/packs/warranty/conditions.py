"""Conditions over time: the chart with the dew margin, and every reading with its verdicts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from qa.assess.conditions import AIR, DECK, HUMIDITY, MARGIN
from qa.assess.finding import Finding
from qa.assess.frame import when
from qa.packs.drawing.conditions_chart import ConditionsChart, draw_conditions_chart
from qa.packs.drawing.readings import InterruptionSpan, MixTick, Reading
from qa.packs.source import PackSource
from qa.packs.verdicts import Said, is_apart
from qa.packs.warranty.citing import Citing, area_label
from qa.packs.warranty.families import Family, said_of_set, sets_of
from qa.packs.warranty.found import NOTHING
from qa.record.job import Recorded
from qa.record.kinds.readings import Conditions
from qa.record.kinds.supplies import Mix
from qa.trade.notation import number_text
from qa.trade.vocabulary import WET_STAGES

Sets = Mapping[tuple[object, ...], Sequence[Finding]]
"""The findings of each reading and of each mix, by stage and subject."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingRow:
    """One reading, or the conditions in force at a mix; the heads of the table name the units.

    Attributes:
        what: the area that was read, or the mix.
        dew_c: dew point of the air.
        other: what was read beside: moisture, wind, rain, and with which instruments.
        verdict: how it stands, or None where nothing of it is judged.
        findings: how many findings the verdict tells.
    """

    what: str
    cited: str
    deck_c: str
    air_c: str
    humidity_pct: str
    dew_c: str
    margin_k: str
    other: str
    verdict: Said | None
    apart: bool
    findings: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingTable:
    """The readings of one stage and the mixes judged by them, in order of time."""

    caption: str
    rows: tuple[ReadingRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ConditionsOverTime:
    """What the chapter shows; the chart comes in parts, so that a page can break between them."""

    charts: tuple[Markup, ...]
    tables: tuple[ReadingTable, ...]


def conditions(source: PackSource, citing: Citing) -> ConditionsOverTime:
    """All readings of the job."""
    sets = sets_of(source.assessment.findings, Family.CONDITIONS)
    return ConditionsOverTime(
        charts=draw_conditions_chart(_chart(source, sets)),
        tables=tuple(_tables(source, citing, sets)),
    )


def _tables(source: PackSource, citing: Citing, sets: Sets) -> Iterator[ReadingTable]:
    for rule in source.specification.stages:
        stage = rule.stage
        seen: list[Recorded[Conditions] | Recorded[Mix]] = [
            reading for reading in source.job.conditions if reading.body.stage is stage
        ]
        readings = len(seen)
        mixes = source.frame.mixes.get(stage, ())
        seen.extend(mixes)
        if seen:
            rows = tuple(
                _row(source, citing, recorded, sets) for recorded in sorted(seen, key=when)
            )
            caption = f"{rule.title}: {_count(readings, 'reading')}, {_count(len(mixes), 'mix')}"
            yield ReadingTable(caption=caption, rows=rows)


def _count(number: int, noun: str) -> str:
    plural = f"{noun}es" if noun.endswith("x") else f"{noun}s"
    return f"{number} {noun if number == 1 else plural}"


def _row(
    source: PackSource,
    citing: Citing,
    recorded: Recorded[Conditions] | Recorded[Mix],
    sets: Sets,
) -> ReadingRow:
    body = recorded.body
    subject = body.mix if isinstance(body, Mix) else recorded.id
    findings = sets.get((body.stage, subject), ())
    values = _values(body, findings)
    deck_c, margin_k = values.get(DECK), values.get(MARGIN)
    dew_c = _dew_c(deck_c, margin_k)
    return ReadingRow(
        what=body.mix if isinstance(body, Mix) else area_label(source, body.area) or "whole roof",
        cited=citing.recorded(recorded).text,
        deck_c=_text(deck_c),
        air_c=_text(values.get(AIR)),
        humidity_pct=_text(values.get(HUMIDITY)),
        dew_c=NOTHING if dew_c is None else number_text(round(dew_c, 1)),
        margin_k=NOTHING if margin_k is None else number_text(round(margin_k, 1)),
        other="" if isinstance(body, Mix) else _other(body),
        verdict=said_of_set(findings) if findings else None,
        apart=is_apart(findings),
        findings=len(findings),
    )


def _values(body: Conditions | Mix, findings: Sequence[Finding]) -> Mapping[str, float | None]:
    """The values that were judged, by check; of a stage without wet work, as they were read."""
    if isinstance(body, Conditions) and body.stage not in WET_STAGES:
        return {DECK: body.deck_c, AIR: body.air_c, HUMIDITY: body.humidity_pct}
    return {found.check: found.value for found in findings}


def _text(value: float | None) -> str:
    return NOTHING if value is None else number_text(value)


def _dew_c(deck_c: float | None, margin_k: float | None) -> float | None:
    """The dew point, °C, back from the margin that the assessment reckoned."""
    return None if deck_c is None or margin_k is None else deck_c - margin_k


def _other(body: Conditions) -> str:
    parts = []
    if body.moisture_pct is not None:
        parts.append(f"moisture {number_text(body.moisture_pct)} %")
    if body.wind_m_per_s is not None:
        parts.append(f"wind {number_text(body.wind_m_per_s)} m/s")
    if body.rain is not None:
        parts.append("rain" if body.rain else "no rain")
    parts.extend(body.instruments or ())
    return ", ".join(parts)


def _chart(source: PackSource, sets: Sets) -> ConditionsChart:
    limit = source.specification.checks[MARGIN].limits.lower
    return ConditionsChart(
        readings=tuple(
            _reading(reading, sets)
            for reading in source.job.conditions
            if reading.body.deck_c is not None or reading.body.air_c is not None
        ),
        mixes=tuple(
            MixTick(key=mix.body.mix, at=mix.at)
            for of_stage in source.frame.mixes.values()
            for mix in of_stage
        ),
        interruptions=tuple(
            InterruptionSpan(label=stop.body.cause, start=stop.body.from_, end=stop.body.until)
            for stop in source.job.interruptions
        ),
        zone=source.frame.zone,
        dew_margin_limit_k=limit or 0.0,
        longest_gap_h=source.specification.figures.reading_holds_h.value,
    )


def _reading(recorded: Recorded[Conditions], sets: Sets) -> Reading:
    body = recorded.body
    values = {found.check: found.value for found in sets.get((body.stage, recorded.id), ())}
    return Reading(
        at=recorded.at,
        deck_c=body.deck_c,
        air_c=body.air_c,
        dew_point_c=_dew_c(body.deck_c, values.get(MARGIN)),
    )
