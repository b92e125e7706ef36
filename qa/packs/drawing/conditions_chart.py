"""The conditions of each day of wet work: temperatures, dew margin, mixes and interruptions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from markupsafe import Markup

from qa.packs.drawing.canvas import Canvas
from qa.packs.drawing.day_panel import PANEL_HEIGHT_MM, DayPanel, Scales, draw_day
from qa.packs.drawing.days import day_span, days_of
from qa.packs.drawing.ink import SMALL, TEXT_WIDTH_MM
from qa.packs.drawing.readings import InterruptionSpan, MixTick, Reading
from qa.packs.drawing.scales import widened

_GUTTER_MM = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ConditionsChart:
    """The conditions over all days of wet work.

    Attributes:
        readings: in any order.
        mixes: in any order.
        interruptions: in any order.
        zone: the job's zone, in which its days begin.
        dew_margin_limit_k: least accepted margin of the deck over the dew point, K.
        longest_gap_h: longest accepted time between readings, h; a line breaks over a longer one.
        title: what the drawing shows, for those who cannot see it.
        width_mm: width of the drawing, mm.
    """

    readings: tuple[Reading, ...]
    mixes: tuple[MixTick, ...]
    interruptions: tuple[InterruptionSpan, ...]
    zone: ZoneInfo
    dew_margin_limit_k: float
    longest_gap_h: float
    title: str = "Conditions during wet work"
    width_mm: float = TEXT_WIDTH_MM


def draw_conditions_chart(chart: ConditionsChart) -> tuple[Markup, ...]:
    """Return the chart as SVG: one drawing for every two days, so that a page can break between.

    A single day takes the whole width. All days share their scales of temperature and margin.
    """
    panels = tuple(_panels(chart))
    if not panels:
        return (_without_days(chart),)
    scales = _scales(chart)
    columns = 1 if len(panels) == 1 else 2
    rows = [panels[first : first + columns] for first in range(0, len(panels), columns)]
    return tuple(_draw_row(chart, row, scales, columns) for row in rows)


def _without_days(chart: ConditionsChart) -> Markup:
    sentence = "No reading of the conditions and no mix is recorded."
    canvas = Canvas(width_mm=chart.width_mm, title=f"{chart.title}: nothing is recorded.")
    canvas.text(sentence, (0.0, 4.0), SMALL)
    return canvas.markup(6.0)


def _panels(chart: ConditionsChart) -> Iterator[DayPanel]:
    """Yield each day with what happened on it."""
    readings = sorted(chart.readings, key=lambda reading: reading.at)
    mixes = sorted(chart.mixes, key=lambda mix: (mix.at, mix.key))
    spans = sorted(chart.interruptions, key=lambda span: span.start)
    moments: list[datetime] = [reading.at for reading in readings]
    moments += [mix.at for mix in mixes]
    moments += [span.start for span in spans]
    for day in days_of(moments, chart.zone):
        yield DayPanel(
            day=day,
            zone=chart.zone,
            readings=tuple(r for r in readings if r.at.astimezone(chart.zone).date() == day),
            mixes=tuple(m for m in mixes if m.at.astimezone(chart.zone).date() == day),
            interruptions=tuple(s for s in spans if _touches(s, *day_span(day, chart.zone))),
            dew_margin_limit_k=chart.dew_margin_limit_k,
            longest_gap_h=chart.longest_gap_h,
        )


def _touches(span: InterruptionSpan, start: datetime, end: datetime) -> bool:
    return span.start < end and (span.start >= start if span.end is None else span.end > start)


def _scales(chart: ConditionsChart) -> Scales:
    temperatures = [
        value
        for reading in chart.readings
        for value in (reading.deck_c, reading.air_c, reading.dew_point_c)
        if value is not None
    ]
    margins = [
        reading.dew_margin_k for reading in chart.readings if reading.dew_margin_k is not None
    ]
    low_c, high_c = widened(min(temperatures, default=5.0), max(temperatures, default=25.0), 10.0)
    limit = chart.dew_margin_limit_k
    low_k, high_k = widened(min([0.0, *margins]), max([limit * 2.0, *margins]), limit)
    return Scales(low_c=low_c, high_c=high_c, low_k=low_k, high_k=high_k)


def _draw_row(
    chart: ConditionsChart, panels: Sequence[DayPanel], scales: Scales, columns: int
) -> Markup:
    canvas = Canvas(
        width_mm=chart.width_mm,
        title=f"{chart.title}: {'; '.join(panel.in_words for panel in panels)}.",
        description="Lines join readings and break where too long passed between two of them.",
    )
    width = (chart.width_mm - _GUTTER_MM * (columns - 1)) / columns
    for column, panel in enumerate(panels):
        draw_day(canvas, panel, scales, left=column * (width + _GUTTER_MM), width=width)
    return canvas.markup(PANEL_HEIGHT_MM)
