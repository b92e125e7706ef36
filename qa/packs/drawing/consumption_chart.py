"""What was laid against what was expected: kg/m² of every area and group of bays, by material."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from markupsafe import Markup

from qa.packs.drawing.axes import draw_diamonds, draw_dots, draw_foot
from qa.packs.drawing.canvas import Anchor, Canvas, Place, line, lines, rectangle
from qa.packs.drawing.ink import (
    GRID,
    HEADING,
    LABEL,
    LABEL_STRONG,
    RULE,
    SMALL,
    SMALL_ACCENT,
    SMALL_MUTED,
    SMALL_STRONG,
    TARGET,
    TEXT_WIDTH_MM,
    TINT,
    Lettering,
)
from qa.packs.drawing.lettering import cut_to_fit, width_mm
from qa.packs.drawing.placing import Box
from qa.packs.drawing.scales import Axis, tick_text, widened

_HEAD_MM = 9.0
_ROW_MM = 5.2
_FOOT_MM = 8.0
_GAP_MM = 2.0
_NAMES_MM = 44.0
_WORDS_MM = 34.0
_INDENT_MM = 3.0
_BAND_MM = 3.2


@dataclass(frozen=True, slots=True, kw_only=True)
class ConsumptionRow:
    """One area or group of bays.

    Attributes:
        name: what was laid: an area's name, or the bays: "r1b1–r1b4".
        kg_per_m2: what was found, or None where it was not recorded.
        expected_kg_per_m2: what was expected.
        lower_kg_per_m2, upper_kg_per_m2: the accepted band.
        verdict: the verdict in a word or two, written after the value.
        is_outside: whether it was judged outside its limits.
        is_part: whether it is part of the area above it.
        expanded_uncertainty: of the value, k = 2, kg/m², or None.
    """

    name: str
    kg_per_m2: float | None
    expected_kg_per_m2: float
    lower_kg_per_m2: float
    upper_kg_per_m2: float
    verdict: str
    is_outside: bool = False
    is_part: bool = False
    expanded_uncertainty: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ConsumptionSection:
    """The rows of one material under one axis.

    Attributes:
        title: what was laid: "Resin in the laminate".
        rows: the rows, each area before its parts.
    """

    title: str
    rows: tuple[ConsumptionRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ConsumptionChart:
    """Consumption by material.

    Attributes:
        sections: one for each material.
        title: what the drawing shows, for those who cannot see it.
        width_mm: width of the drawing, mm.
        height_mm: greatest height of one drawing, mm; more rows go into further ones.
    """

    sections: tuple[ConsumptionSection, ...]
    title: str = "Consumption against expectation"
    width_mm: float = TEXT_WIDTH_MM
    height_mm: float = 200.0


def draw_consumption_chart(chart: ConsumptionChart) -> tuple[Markup, ...]:
    """Return the chart as SVG: one drawing, or as many as its rows need."""
    if not any(section.rows for section in chart.sections):
        canvas = Canvas(width_mm=chart.width_mm, title=f"{chart.title}: nothing is recorded.")
        canvas.text("No consumption is recorded.", (0.0, 4.0), SMALL)
        return (canvas.markup(6.0),)
    return tuple(_draw(chart, sections) for sections in _sheets(chart))


def _height_mm(rows: int) -> float:
    return _HEAD_MM + rows * _ROW_MM + _FOOT_MM


@dataclass(frozen=True, slots=True, kw_only=True)
class _Piece:
    """What of a section goes into one drawing, and the axis that all its pieces share."""

    section: ConsumptionSection
    across: Axis


def _sheets(chart: ConsumptionChart) -> Iterator[list[_Piece]]:
    """Yield the sections that go together, those that are too long in pieces."""
    most = max(int((chart.height_mm - _HEAD_MM - _FOOT_MM) / _ROW_MM), 1)
    sheet: list[_Piece] = []
    room = chart.height_mm
    for section in chart.sections:
        for first in range(0, len(section.rows), most):
            rows = section.rows[first : first + most]
            title = section.title + (", continued" if first else "")
            height = _height_mm(len(rows))
            if sheet and height > room:
                yield sheet
                sheet, room = [], chart.height_mm
            piece = replace(section, title=title, rows=rows)
            sheet.append(_Piece(section=piece, across=_across(section.rows, chart.width_mm)))
            room -= height + _GAP_MM
    yield sheet


def _draw(chart: ConsumptionChart, pieces: Sequence[_Piece]) -> Markup:
    words = _in_words([piece.section for piece in pieces])
    canvas = Canvas(
        width_mm=chart.width_mm,
        title=f"{chart.title}: {words}.",
        description="Each mark is a value in kg/m²; the shaded bar beside it is its accepted band.",
    )
    top = 0.0
    for piece in pieces:
        _draw_section(canvas, piece.section, piece.across, top)
        top += _height_mm(len(piece.section.rows)) + _GAP_MM
    return canvas.markup(top - _GAP_MM)


def _in_words(sections: Sequence[ConsumptionSection]) -> str:
    return "; ".join(
        f"{section.title}, "
        + ", ".join(f"{row.name} {_value_text(row)} {row.verdict}" for row in section.rows[:12])
        for section in sections
    )


def _across(rows: Sequence[ConsumptionRow], sheet_mm: float) -> Axis:
    """Return an axis that holds all bands and values of a section, with room at its ends."""
    ends: list[float] = []
    for row in rows:
        ends += [row.lower_kg_per_m2, row.upper_kg_per_m2, row.expected_kg_per_m2]
        if row.kg_per_m2 is not None:
            spread = row.expanded_uncertainty or 0.0
            ends += [row.kg_per_m2 - spread, row.kg_per_m2 + spread]
    low, high = max(min(ends), 0.0), max(ends)
    # A slip of a decimal point must not press everything else into one line.
    high = min(high, 2.5 * max(row.upper_kg_per_m2 for row in rows))
    low, high = widened(low, high, 0.2 * high or 1.0)
    return Axis(low=low, high=high, from_mm=_NAMES_MM, to_mm=sheet_mm - _WORDS_MM)


def _draw_section(canvas: Canvas, section: ConsumptionSection, across: Axis, top: float) -> None:
    plot = Box(
        left=across.from_mm,
        top=top + _HEAD_MM,
        width=across.to_mm - across.from_mm,
        height=len(section.rows) * _ROW_MM,
    )
    canvas.text(cut_to_fit(section.title, canvas.width_mm, HEADING), (0.0, top + 3.2), HEADING)
    canvas.text("kg/m²", (0.0, plot.bottom + 1.2 + 1.0 + SMALL.cap_mm), SMALL_MUTED)
    levels = [plot.top + _ROW_MM * (index + 0.5) for index in range(len(section.rows))]
    ticks = [(across.at(value), tick_text(value)) for value in across.ticks(14.0)]
    canvas.stroke(lines([((x, plot.top), (x, plot.bottom)) for x, _ in ticks]), GRID)
    _draw_bands(canvas, section.rows, levels, across)
    draw_foot(canvas, plot, ticks)
    _name_band(canvas, section.rows[0], plot.top, across)
    _draw_values(canvas, section.rows, levels, across)
    for row, level in zip(section.rows, levels, strict=True):
        _write_row(canvas, row, level, across)


def _draw_bands(
    canvas: Canvas, rows: Sequence[ConsumptionRow], levels: Sequence[float], across: Axis
) -> None:
    bands: list[str] = []
    targets: list[tuple[Place, Place]] = []
    for row, level in zip(rows, levels, strict=True):
        left, right = across.kept(row.lower_kg_per_m2), across.kept(row.upper_kg_per_m2)
        bands.append(rectangle(left, level - _BAND_MM / 2.0, right - left, _BAND_MM))
        x = across.kept(row.expected_kg_per_m2)
        targets.append(((x, level - _BAND_MM / 2.0), (x, level + _BAND_MM / 2.0)))
    canvas.fill("".join(bands), TINT)
    canvas.stroke(lines(targets), TARGET)


def _name_band(canvas: Canvas, row: ConsumptionRow, top: float, across: Axis) -> None:
    """Say over the first row which line is the expected value and what the band is."""
    x, baseline = across.kept(row.expected_kg_per_m2), top - 0.6
    half = width_mm("expected", SMALL_ACCENT) / 2.0
    canvas.text("expected", (x - half, baseline), SMALL_ACCENT)
    right = max(across.kept(row.upper_kg_per_m2), x + half) + 1.6
    canvas.text("accepted: shaded", (right, baseline), SMALL_MUTED)


def _draw_values(
    canvas: Canvas, rows: Sequence[ConsumptionRow], levels: Sequence[float], across: Axis
) -> None:
    dots: list[Place] = []
    diamonds: list[Place] = []
    whiskers: list[str] = []
    for row, level in zip(rows, levels, strict=True):
        if row.kg_per_m2 is None:
            continue
        (diamonds if row.is_outside else dots).append((across.kept(row.kg_per_m2), level))
        if row.expanded_uncertainty:
            left = across.kept(row.kg_per_m2 - row.expanded_uncertainty)
            right = across.kept(row.kg_per_m2 + row.expanded_uncertainty)
            whiskers += [
                line(((left, level), (right, level))),
                line(((left, level - 0.8), (left, level + 0.8))),
                line(((right, level - 0.8), (right, level + 0.8))),
            ]
    canvas.stroke("".join(whiskers), RULE)
    draw_dots(canvas, dots)
    draw_diamonds(canvas, diamonds)


def _write_row(canvas: Canvas, row: ConsumptionRow, level: float, across: Axis) -> None:
    """Write a row's name before its band, and its value and verdict after it."""
    indent = _INDENT_MM if row.is_part else 0.0
    names: Lettering = SMALL if row.is_part else LABEL_STRONG
    room = across.from_mm - indent - 3.0
    baseline = level + names.cap_mm / 2.0
    canvas.text(cut_to_fit(row.name, room, names), (indent, baseline), names)
    words = SMALL_STRONG if row.is_outside else SMALL
    figures = LABEL_STRONG if row.is_outside else LABEL
    column = across.to_mm + 3.0
    value = _value_text(row)
    canvas.text(value, (column + 6.0, baseline), figures, anchor=Anchor.END)
    after = column + 7.6
    verdict = cut_to_fit(row.verdict, canvas.width_mm - after, words)
    canvas.text(verdict, (after, baseline), words)


def _value_text(row: ConsumptionRow) -> str:
    return "–" if row.kg_per_m2 is None else f"{row.kg_per_m2:.2f}"
