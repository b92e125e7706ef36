"""One day of wet work: temperatures over the hours, the mixes, and the margin to the dew point."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from qa.packs.drawing.axes import draw_foot, draw_levels, draw_sentence
from qa.packs.drawing.canvas import Canvas, line, lines
from qa.packs.drawing.day_series import draw_margin, draw_temperatures
from qa.packs.drawing.days import day_span, day_text, hour_ticks, whole_hours
from qa.packs.drawing.hatching import hatching, ring_of
from qa.packs.drawing.ink import (
    GRID,
    HEADING,
    MUTED,
    RULE,
    SMALL,
    SMALL_MUTED,
    SMALL_STRONG,
    Pen,
)
from qa.packs.drawing.lettering import cut_to_fit, width_mm
from qa.packs.drawing.placing import Box, LabelPlacer, text_box
from qa.packs.drawing.readings import InterruptionSpan, MixTick, Reading
from qa.packs.drawing.scales import Axis
from qa.packs.drawing.shared_names import shared_start

_LEFT_MM = 7.0
_RIGHT_MM = 12.0
_HEAD_MM = 9.0
_TEMPERATURE_MM = 40.0
_MIXES_MM = 10.0
_MARGIN_MM = 17.0
_FOOT_MM = 6.0
PANEL_HEIGHT_MM = _HEAD_MM + _TEMPERATURE_MM + _MIXES_MM + _MARGIN_MM + _FOOT_MM

_HOUR_MM = 12.0
"""Least distance between two hours that are written, mm."""

_STOPPED = Pen(width_mm=0.1, colour=MUTED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scales:
    """The scales that all days of a job share: °C and K."""

    low_c: float
    high_c: float
    low_k: float
    high_k: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPanel:
    """One day with what happened on it, each in order of time."""

    day: date
    zone: ZoneInfo
    readings: tuple[Reading, ...]
    mixes: tuple[MixTick, ...]
    interruptions: tuple[InterruptionSpan, ...]
    dew_margin_limit_k: float
    longest_gap_h: float

    @property
    def in_words(self) -> str:
        """What the panel shows, for those who cannot see it."""
        margins = [r.dew_margin_k for r in self.readings if r.dew_margin_k is not None]
        least = f", least dew margin {min(margins):.1f} K" if margins else ""
        stops = "".join(f", interrupted: {span.label}" for span in self.interruptions)
        counts = f"{len(self.readings)} readings, {len(self.mixes)} mixes"
        return f"{day_text(self.day)}, {counts}{least}{stops}"

    def _moments(self) -> list[datetime]:
        return [*(reading.at for reading in self.readings), *(mix.at for mix in self.mixes)]

    def stops(self) -> tuple[tuple[datetime, datetime, str], ...]:
        """Return the interruptions as far as they fall on the day, open ones to its last event."""
        dawn, midnight = day_span(self.day, self.zone)
        last = max(self._moments(), default=dawn)
        return tuple(
            (
                max(span.start, dawn),
                min(span.end or max(last, span.start + timedelta(hours=1)), midnight),
                span.label if span.end else f"{span.label}, end not recorded",
            )
            for span in self.interruptions
        )

    def hours(self) -> tuple[datetime, datetime]:
        """Return the whole hours that hold all that happened."""
        moments = self._moments()
        moments += [moment for start, end, _ in self.stops() for moment in (start, end)]
        return whole_hours(min(moments), max(moments), self.zone)


def draw_day(canvas: Canvas, panel: DayPanel, scales: Scales, *, left: float, width: float) -> None:
    """Draw one day into a column of the sheet."""
    start, end = panel.hours()
    upper = Box(
        left=left + _LEFT_MM,
        top=_HEAD_MM,
        width=width - _LEFT_MM - _RIGHT_MM,
        height=_TEMPERATURE_MM,
    )
    lower = Box(left=upper.left, top=upper.bottom + _MIXES_MM, width=upper.width, height=_MARGIN_MM)
    across = Axis(
        low=start.timestamp(), high=end.timestamp(), from_mm=upper.left, to_mm=upper.right
    )
    celsius = Axis(low=scales.low_c, high=scales.high_c, from_mm=upper.bottom, to_mm=upper.top)
    kelvin = Axis(low=scales.low_k, high=scales.high_k, from_mm=lower.bottom, to_mm=lower.top)
    _draw_heads(canvas, panel, upper, lower, left=left, width=width)
    stops = _draw_stops(canvas, panel, across, upper, lower)
    _draw_hours(canvas, panel, across, upper, lower)
    draw_levels(canvas, celsius, upper, apart_mm=7.5)
    draw_levels(canvas, kelvin, lower, apart_mm=5.0)
    _draw_mixes(canvas, panel.mixes, across, upper)
    if panel.readings:
        draw_temperatures(canvas, panel.readings, across, celsius, panel.longest_gap_h)
        draw_margin(
            canvas,
            panel.readings,
            across,
            kelvin,
            limit_k=panel.dew_margin_limit_k,
            longest_gap_h=panel.longest_gap_h,
        )
    else:
        words = "No reading is recorded on this day."
        draw_sentence(canvas, words, (upper.left + 1.5, upper.bottom - 2.0), upper.width, SMALL)
    _name_stops(canvas, stops, upper)


def _draw_heads(
    canvas: Canvas, panel: DayPanel, upper: Box, lower: Box, *, left: float, width: float
) -> None:
    canvas.text(cut_to_fit(day_text(panel.day), width, HEADING), (left, 3.2), HEADING)
    canvas.text("°C", (left, upper.top - 1.6), SMALL_MUTED)
    canvas.text("deck above dew point, K", (left, lower.top - 1.2), SMALL_MUTED)


def _draw_hours(canvas: Canvas, panel: DayPanel, across: Axis, upper: Box, lower: Box) -> None:
    start, end = panel.hours()
    hours = (end - start) / timedelta(hours=1)
    every = next((n for n in (1, 2, 3, 4, 6) if upper.width / hours * n >= _HOUR_MM), 12)
    ticks = [
        (across.at(moment.timestamp()), text)
        for moment, text in hour_ticks(start, end, panel.zone, every=every)
    ]
    canvas.stroke(
        lines([((x, box.top), (x, box.bottom)) for x, _ in ticks for box in (upper, lower)]), GRID
    )
    canvas.stroke(line(((upper.left, upper.bottom), (upper.right, upper.bottom))), RULE)
    draw_foot(canvas, lower, ticks)


def _draw_stops(
    canvas: Canvas, panel: DayPanel, across: Axis, upper: Box, lower: Box
) -> tuple[tuple[float, str], ...]:
    """Hatch the interruptions; return where each begins on the sheet and what it is called."""
    named: list[tuple[float, str]] = []
    for start, end, label in panel.stops():
        left, right = across.at(start.timestamp()), across.at(end.timestamp())
        for box in (upper, lower):
            span = Box(left=left, top=box.top, width=right - left, height=box.height)
            canvas.stroke(hatching([ring_of(span)], spacing_mm=1.5), _STOPPED)
            sides = [((x, span.top), (x, span.bottom)) for x in (left, right)]
            canvas.stroke(lines(sides), _STOPPED)
        named.append((left, label))
    return tuple(named)


def _name_stops(canvas: Canvas, stops: Sequence[tuple[float, str]], upper: Box) -> None:
    placer = LabelPlacer(Box(left=0.0, top=0.0, width=canvas.width_mm, height=upper.bottom))
    for left, label in stops:
        shown = cut_to_fit(label, upper.width - 2.0, SMALL_STRONG)
        start = min(left + 0.8, upper.right - width_mm(shown, SMALL_STRONG) - 0.6)
        baselines = (upper.top + 3.0 + 3.4 * row for row in range(6))
        place = placer.first_free(text_box(shown, (start, y), SMALL_STRONG) for y in baselines)
        if place is not None:
            baseline = place.top + SMALL.cap_mm
            canvas.text(shown, (place.left, baseline), SMALL_STRONG, on_paper=True)


def _draw_mixes(canvas: Canvas, mixes: Sequence[MixTick], across: Axis, upper: Box) -> None:
    """Draw a tick below the temperatures for each mix, and its key where there is room."""
    places = [across.at(mix.at.timestamp()) for mix in mixes]
    canvas.stroke(lines([((x, upper.bottom), (x, upper.bottom + 1.8)) for x in places]), RULE)
    shared = shared_start([mix.key for mix in mixes])
    word = shared.rstrip(" -_#.") or "mix"
    if mixes:
        canvas.text(word, (upper.right + 1.6, upper.bottom + 4.4), SMALL_MUTED)
    placer = LabelPlacer(Box(left=0.0, top=0.0, width=canvas.width_mm, height=1000.0))
    for mix, x in zip(mixes, places, strict=True):
        text = mix.key[len(shared) :]
        start = x - width_mm(text, SMALL) / 2.0
        place = placer.first_free([_spaced(text, start, upper.bottom + 4.4)])
        if place is not None:
            canvas.text(text, (start, upper.bottom + 4.4), SMALL)


def _spaced(text: str, start: float, baseline: float) -> Box:
    box = text_box(text, (start, baseline), SMALL)
    return Box(left=box.left - 0.4, top=box.top, width=box.width + 0.8, height=box.height)
