"""What makes a dose read off a chart the wrong one: another catalyst, another temperature.

A chart in ml per kg takes for granted how much active oxygen a millilitre brings. A catalyst that
is lighter, or weaker, brings less by the same measure. And a chart is read at one temperature and
mixed at another. Both are warnings for a person, who asks the supplier; no dose is changed here.
"""

from __future__ import annotations

from dataclasses import dataclass

from qa.trade.catalyst import DoseChart, DoseRow
from qa.trade.domain import require_finite, require_not_negative, require_positive


@dataclass(frozen=True, slots=True, kw_only=True)
class CatalystGrade:
    """What a catalyst is, as far as its label or data sheet tells.

    Attributes:
        density_g_per_ml: density, g/ml, above nought, or None where it is not known.
        active_oxygen_pct: active oxygen by mass, %, above nought, or None where it is not known.

    Raises:
        DomainError: a figure lies outside its range.
    """

    density_g_per_ml: float | None = None
    active_oxygen_pct: float | None = None

    def __post_init__(self) -> None:
        if self.density_g_per_ml is not None:
            require_positive("density of the catalyst, g/ml", self.density_g_per_ml)
        if self.active_oxygen_pct is not None:
            require_positive("active oxygen of the catalyst, %", self.active_oxygen_pct)

    @property
    def oxygen_g_per_ml(self) -> float | None:
        """Active oxygen in a millilitre, g; None where density or strength is not known.

        oxygen = density * percent / 100.

        >>> round(CatalystGrade(density_g_per_ml=1.18, active_oxygen_pct=8.9).oxygen_g_per_ml, 5)
        0.10502
        """
        if self.density_g_per_ml is None or self.active_oxygen_pct is None:
            return None
        return self.density_g_per_ml * self.active_oxygen_pct / 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class GradeDeparture:
    """One property in which a catalyst is not what the chart takes for granted.

    Attributes:
        quantity: the property: "density", "active oxygen", "active oxygen in a millilitre".
        unit: its unit.
        found: the catalyst's own figure.
        assumed: the chart's.
        departure_pct: found above (positive) or below assumed, % of assumed.
    """

    quantity: str
    unit: str
    found: float
    assumed: float
    departure_pct: float


def grade_departures(
    grade: CatalystGrade, *, assumed: CatalystGrade, accepted_pct: float
) -> tuple[GradeDeparture, ...]:
    """Return the properties in which a catalyst is far from what a chart takes for granted.

    departure = 100 * (found / assumed - 1), named where it is greater than accepted, either way.
    Properties that either side does not know are passed over.

    Args:
        grade: the catalyst in the bottle.
        assumed: the catalyst that the chart was made for.
        accepted_pct: departure that is still accepted, %, nought or more.

    Raises:
        DomainError: the accepted departure is negative or not finite.

    Source: definition; the figures of both catalysts are their makers' data sheets'.

    >>> chart = CatalystGrade(density_g_per_ml=1.18, active_oxygen_pct=8.9)
    >>> light = CatalystGrade(density_g_per_ml=1.017, active_oxygen_pct=8.5)
    >>> for found in grade_departures(light, assumed=chart, accepted_pct=5.0):
    ...     print(f"{found.quantity}: {found.departure_pct:.1f} %")
    density: -13.8 %
    active oxygen in a millilitre: -17.7 %
    """
    require_not_negative("accepted departure of a catalyst, %", accepted_pct)
    pairs = (
        ("density", "g/ml", grade.density_g_per_ml, assumed.density_g_per_ml),
        ("active oxygen", "%", grade.active_oxygen_pct, assumed.active_oxygen_pct),
        ("active oxygen in a millilitre", "g/ml", grade.oxygen_g_per_ml, assumed.oxygen_g_per_ml),
    )
    departures = (
        GradeDeparture(
            quantity=quantity,
            unit=unit,
            found=found,
            assumed=of_chart,
            departure_pct=100.0 * (found / of_chart - 1.0),
        )
        for quantity, unit, found, of_chart in pairs
        if found is not None and of_chart is not None
    )
    return tuple(found for found in departures if abs(found.departure_pct) > accepted_pct)


@dataclass(frozen=True, slots=True, kw_only=True)
class RowChange:
    """A chart that was read at one temperature and is mixed at another, in another row.

    Attributes:
        read_c: deck temperature at the reading, °C.
        mixing_c: deck temperature at the mixing, °C.
        read_row: the chart's row at the reading, or None outside the chart.
        mixing_row: its row at the mixing, or None outside the chart, which means: do not mix.
    """

    read_c: float
    mixing_c: float
    read_row: DoseRow | None
    mixing_row: DoseRow | None


def row_change(chart: DoseChart, *, read_c: float, mixing_c: float) -> RowChange | None:
    """Return how a change of temperature crosses a row of the chart, or None where it does not.

    Args:
        chart: the dose chart.
        read_c: deck temperature when the chart was read, °C, finite.
        mixing_c: deck temperature when the mix is made, °C, finite.

    Raises:
        DomainError: a temperature is not finite.

    Source: the chart; nothing is interpolated between its rows.

    >>> row = {"lower_ml_per_kg": 17, "target_ml_per_kg": 20, "upper_ml_per_kg": 23}
    >>> chart = DoseChart(
    ...     rows=(DoseRow(from_c=13, to_c=16, **row), DoseRow(from_c=16, to_c=20, **row))
    ... )
    >>> row_change(chart, read_c=15.0, mixing_c=15.9) is None
    True
    >>> row_change(chart, read_c=15.0, mixing_c=16.0).mixing_row.from_c
    16
    """
    require_finite("deck temperature at the reading, °C", read_c)
    require_finite("deck temperature at the mixing, °C", mixing_c)
    read_row, mixing_row = chart.row_at(read_c), chart.row_at(mixing_c)
    if read_row == mixing_row and read_row is not None:
        return None
    return RowChange(read_c=read_c, mixing_c=mixing_c, read_row=read_row, mixing_row=mixing_row)
