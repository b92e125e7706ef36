"""The dose of each mix against the chart: catalyst by deck temperature, with the accepted band."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

from markupsafe import Markup

from qa.packs.drawing.axes import draw_diamonds, draw_dots, draw_foot, draw_levels, draw_sentence
from qa.packs.drawing.canvas import Anchor, Canvas, Place, line, lines, rectangle
from qa.packs.drawing.ink import (
    FAINT,
    HAIRLINE,
    HEADING,
    SMALL,
    SMALL_ACCENT,
    SMALL_MUTED,
    SMALL_STRONG,
    TARGET,
    TEXT_WIDTH_MM,
    TINT,
    Pen,
)
from qa.packs.drawing.lettering import cut_to_fit, width_mm
from qa.packs.drawing.placing import Box, LabelPlacer, box_round, nearest_point, text_box
from qa.packs.drawing.scales import Axis, round_step, tick_text
from qa.packs.drawing.shared_names import shared_start
from qa.trade.catalyst import DoseChart, DoseRow

_HEAD_MM = 10.0
_LEFT_MM = 7.0
_FOOT_MM = 9.5
_GUTTER_MM = 7.0
_PLOT_MM = 56.0
_BEYOND_C = 6.0
"""How far beyond its chart a temperature is still drawn in place, K."""

_LEADERS_MM = (3.5, 5.5, 8.0)
"""Distances at which a name is led to its mark by a hairline, mm."""

_MOST_LEADERS = 20
"""Of more marks, leaders would hide what they name."""

_BAND = Pen(width_mm=0.12, colour=FAINT)


@dataclass(frozen=True, slots=True, kw_only=True)
class DosedMix:
    """One mix as the plot shows it.

    Attributes:
        key: its key.
        deck_c: deck temperature when it was mixed, °C.
        dose_ml_per_kg: its dose, ml of catalyst per kg.
        is_outside: whether it was judged outside its limits.
    """

    key: str
    deck_c: float
    dose_ml_per_kg: float
    is_outside: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class DosePanel:
    """One material: its chart and its mixes.

    Attributes:
        title: what was mixed: "Resin".
        chart: the specification's chart.
        mixes: the mixes, in the order of the work.
    """

    title: str
    chart: DoseChart
    mixes: tuple[DosedMix, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DosePlot:
    """One panel for each material, two in a row.

    Attributes:
        panels: the panels.
        title: what the drawing shows, for those who cannot see it.
        width_mm: width of the drawing, mm.
    """

    panels: tuple[DosePanel, ...]
    title: str = "Dose of each mix against the chart"
    width_mm: float = TEXT_WIDTH_MM


def draw_dose_plot(plot: DosePlot) -> Markup:
    """Return the plot as SVG."""
    canvas = Canvas(
        width_mm=plot.width_mm,
        title=f"{plot.title}: {_in_words(plot.panels)}.",
        description="Each mark is one mix; the shaded steps are the accepted band of the chart.",
    )
    if not plot.panels:
        canvas.text("No dose chart applies to this job.", (0.0, 4.0), SMALL)
        return canvas.markup(6.0)
    columns = 1 if len(plot.panels) == 1 else 2
    width = (plot.width_mm - _GUTTER_MM * (columns - 1)) / columns
    height = _HEAD_MM + _PLOT_MM + _FOOT_MM
    for index, panel in enumerate(plot.panels):
        row, column = divmod(index, columns)
        left, top = column * (width + _GUTTER_MM), row * (height + _GUTTER_MM)
        _draw_panel(canvas, panel, Box(left=left, top=top, width=width, height=height))
    rows = -(-len(plot.panels) // columns)
    return canvas.markup(rows * (height + _GUTTER_MM) - _GUTTER_MM)


def _in_words(panels: Sequence[DosePanel]) -> str:
    parts: list[str] = []
    for panel in panels:
        outside = [mix.key for mix in panel.mixes if mix.is_outside]
        named = f" ({', '.join(outside)})" if outside else ""
        parts.append(f"{panel.title}, {len(panel.mixes)} mixes, {len(outside)} outside{named}")
    return "; ".join(parts) or "no chart"


def _draw_panel(canvas: Canvas, panel: DosePanel, box: Box) -> None:
    plot = Box(
        left=box.left + _LEFT_MM,
        top=box.top + _HEAD_MM,
        width=box.width - _LEFT_MM,
        height=_PLOT_MM,
    )
    canvas.text(cut_to_fit(panel.title, box.width, HEADING), (box.left, box.top + 3.2), HEADING)
    canvas.text("ml of catalyst per kg", (box.left, box.top + 7.4), SMALL_MUTED)
    canvas.text("deck temperature, °C", (plot.left, plot.bottom + _FOOT_MM - 0.8), SMALL_MUTED)
    across, up = _axes(panel, plot)
    placer = LabelPlacer(plot)
    _draw_band(canvas, panel.chart, across, up)
    draw_levels(canvas, up, plot)
    ticks = [(across.at(value), tick_text(value)) for value in across.ticks(9.0)]
    draw_foot(canvas, plot, ticks)
    _draw_targets(canvas, panel.chart, across, up, placer)
    if panel.mixes:
        _draw_mixes(canvas, panel, across, up, placer)
    else:
        draw_sentence(canvas, "No mix is recorded.", (plot.left + 2.0, plot.top + 4.0), 40.0)


def _axes(panel: DosePanel, plot: Box) -> tuple[Axis, Axis]:
    """Return the axes: over the whole chart, and as far beyond it as is still of use."""
    rows = panel.chart.rows
    cold, warm = rows[0].from_c, rows[-1].to_c
    decks = [mix.deck_c for mix in panel.mixes]
    low = max(min([cold, *decks]), cold - _BEYOND_C)
    high = min(max([warm, *decks]), warm + _BEYOND_C)
    greatest = max(row.upper_ml_per_kg for row in rows)
    doses = [mix.dose_ml_per_kg for mix in panel.mixes]
    top = min(max([greatest, *doses]), greatest * 1.6) * 1.06
    step = round_step(top / 6.0)
    top = step * -(-top // step)
    return (
        Axis(low=low, high=high, from_mm=plot.left + 1.0, to_mm=plot.right - 1.0),
        Axis(low=0.0, high=top, from_mm=plot.bottom, to_mm=plot.top),
    )


def _draw_band(canvas: Canvas, chart: DoseChart, across: Axis, up: Axis) -> None:
    boxes = [_row_box(row, across, up) for row in chart.rows]
    canvas.fill("".join(rectangle(b.left, b.top, b.width, b.height) for b in boxes), TINT)
    edges = [((b.left, y), (b.right, y)) for b in boxes for y in (b.top, b.bottom)]
    canvas.stroke(lines(edges), _BAND)


def _row_box(row: DoseRow, across: Axis, up: Axis) -> Box:
    left, top = across.at(row.from_c), up.at(row.upper_ml_per_kg)
    return Box(
        left=left,
        top=top,
        width=across.at(row.to_c) - left,
        height=up.at(row.lower_ml_per_kg) - top,
    )


def _draw_targets(
    canvas: Canvas, chart: DoseChart, across: Axis, up: Axis, placer: LabelPlacer
) -> None:
    """Draw the target as steps, and say once which line it is and what the band is."""
    targets = [
        (
            (across.at(row.from_c), up.at(row.target_ml_per_kg)),
            (across.at(row.to_c), up.at(row.target_ml_per_kg)),
        )
        for row in chart.rows
    ]
    canvas.stroke(lines(targets), TARGET)
    for start, end in targets:
        placer.take(box_round(((start[0] + end[0]) / 2.0, start[1]), end[0] - start[0], 0.8))
    _name_band(canvas, max((_row_box(row, across, up) for row in chart.rows), key=_size), placer)
    row = max(chart.rows, key=lambda row: row.to_c - row.from_c)
    band, target = _row_box(row, across, up), up.at(row.target_ml_per_kg)
    # Above a band too slight to hold it, the word stands clear of the band's edge.
    foot = target if target - band.top > SMALL.cap_mm + 1.8 else band.top
    place = band.right - width_mm("target", SMALL_ACCENT) - 0.6, foot - 0.9
    canvas.text("target", place, SMALL_ACCENT)
    placer.take(text_box("target", place, SMALL_ACCENT))


def _size(box: Box) -> float:
    return box.width * box.height


def _name_band(canvas: Canvas, band: Box, placer: LabelPlacer) -> None:
    """Write in the largest part of the band what it is, or below it where it is too slight."""
    words = "accepted"
    place = band.left + 0.8, band.bottom - 0.9
    if band.height < 3.6:
        place = place[0], band.bottom + SMALL.cap_mm + 1.0
    canvas.text(words, place, SMALL_MUTED)
    placer.take(text_box(words, place, SMALL_MUTED))


def _draw_mixes(
    canvas: Canvas, panel: DosePanel, across: Axis, up: Axis, placer: LabelPlacer
) -> None:
    """Mark every mix; label those outside first, the others while there is room."""
    # Those beyond the axes stand at their end, and their label says what they were.
    places = {
        index: (across.kept(mix.deck_c), up.kept(mix.dose_ml_per_kg))
        for index, mix in enumerate(panel.mixes)
    }
    outside = [index for index, mix in enumerate(panel.mixes) if mix.is_outside]
    within = [index for index, mix in enumerate(panel.mixes) if not mix.is_outside]
    for index in (*outside, *within):
        placer.take(box_round(places[index], 1.6, 1.6))
    draw_dots(canvas, [places[index] for index in within])
    draw_diamonds(canvas, [places[index] for index in outside])
    may_lead = len(panel.mixes) <= _MOST_LEADERS
    unnamed = 0
    shared = _name_by_end(canvas, panel, across, up)
    for index in (*outside, *within):
        mix = panel.mixes[index]
        text = _mix_text(mix, across, up).removeprefix(shared)
        has_room = _name_mix(canvas, mix, places[index], placer, text, may_lead=may_lead)
        unnamed += not has_room
    if unnamed:
        text = f"{unnamed} too close to be named: see the table of mixes"
        place = across.to_mm + 1.0, up.to_mm - 2.6
        canvas.text(text, place, SMALL_MUTED, anchor=Anchor.END)


def _name_by_end(canvas: Canvas, panel: DosePanel, across: Axis, up: Axis) -> str:
    """Return what all keys begin with; say below the axis that marks are named by the rest."""
    keys = [mix.key for mix in panel.mixes]
    shared = shared_start(keys)
    if shared:
        words = cut_to_fit(f"{keys[0].removeprefix(shared)} is {keys[0]}", 40.0, SMALL_MUTED)
        canvas.text(
            words, (across.to_mm + 1.0, up.from_mm + _FOOT_MM - 0.8), SMALL_MUTED, anchor=Anchor.END
        )
    return shared


def _name_mix(
    canvas: Canvas, mix: DosedMix, place: Place, placer: LabelPlacer, text: str, *, may_lead: bool
) -> bool:
    """Write a mix's name by its mark, or at the end of a leader; return whether it found room."""
    lettering = SMALL_STRONG if mix.is_outside else SMALL
    start = placer.beside(
        place,
        f"{text} ",  # so that the next name does not run on
        lettering,
        gap_mm=1.8 if mix.is_outside else 1.3,
        reaches_mm=_LEADERS_MM if may_lead else (),
    )
    if start is None:
        return False
    end = nearest_point(text_box(text, start, lettering), place)
    if hypot(end[0] - place[0], end[1] - place[1]) > _LEADERS_MM[0] - 0.5:
        canvas.stroke(line((place, end)), HAIRLINE)
    canvas.text(text, start, lettering)
    return True


def _mix_text(mix: DosedMix, across: Axis, up: Axis) -> str:
    text = mix.key
    if mix.is_outside or mix.dose_ml_per_kg > up.high:
        text += f", {tick_text(round(mix.dose_ml_per_kg, 1))}"
    if not across.low <= mix.deck_c <= across.high:
        text += f" at {tick_text(round(mix.deck_c, 1))} °C"
    return text
