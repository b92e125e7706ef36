"""The dose of catalyst: the chart by deck temperature, and the arithmetic of a mix.

"1 % is 10 ml per kg" is a rule of volume per mass. Percent by mass needs the catalyst's density,
and the two are never mixed up here: a dose is in ml of catalyst per kg of resin throughout.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from qa.errors import DomainError
from qa.trade.domain import require_finite, require_not_negative, require_positive


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseRow:
    """One row of a dose chart: a half-open interval of deck temperature and its dose.

    Attributes:
        from_c: lowest deck temperature of the row, °C, included.
        to_c: upper end of the row, °C, above `from_c`.
        includes_to: whether the upper end itself belongs to the row.
        target_ml_per_kg: the dose to aim at, ml of catalyst per kg of resin.
        lower_ml_per_kg: least accepted dose, above nought, at most the target.
        upper_ml_per_kg: greatest accepted dose, at least the target.

    Raises:
        DomainError: a figure lies outside its range; the sentence names the row.
    """

    from_c: float
    to_c: float
    includes_to: bool = False
    target_ml_per_kg: float
    lower_ml_per_kg: float
    upper_ml_per_kg: float

    def __post_init__(self) -> None:
        require_finite("start of a dose chart row, °C", self.from_c)
        require_finite("end of a dose chart row, °C", self.to_c)
        where = f"the chart row from {self.from_c:g} to {self.to_c:g} °C"
        if self.to_c <= self.from_c:
            raise DomainError(f"end of {where}", f"{self.to_c:g} °C", f"above {self.from_c:g} °C")
        require_positive(f"lower dose of {where}, ml/kg", self.lower_ml_per_kg)
        require_positive(f"upper dose of {where}, ml/kg", self.upper_ml_per_kg)
        if not self.lower_ml_per_kg <= self.target_ml_per_kg <= self.upper_ml_per_kg:
            band = f"{self.lower_ml_per_kg:g} to {self.upper_ml_per_kg:g}"
            raise DomainError(f"target dose of {where}, ml/kg", self.target_ml_per_kg, band)


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseChart:
    """A dose chart: rows that follow one another without hole or overlap.

    Attributes:
        rows: the rows, from the coldest to the warmest.

    Raises:
        DomainError: the rows are none, out of order, leave a hole or overlap, or a row other
            than the last includes its upper end; the sentence names the two temperatures.

    >>> chart = DoseChart(
    ...     rows=(
    ...         DoseRow(
    ...             from_c=5, to_c=13, target_ml_per_kg=40, lower_ml_per_kg=34, upper_ml_per_kg=40
    ...         ),
    ...         DoseRow(
    ...             from_c=14, to_c=16, target_ml_per_kg=30, lower_ml_per_kg=26, upper_ml_per_kg=34
    ...         ),
    ...     )
    ... )  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    qa.errors.DomainError: ...: the chart has a hole from 13 to 14 °C.
    """

    rows: tuple[DoseRow, ...]

    def __post_init__(self) -> None:
        if not self.rows:
            raise DomainError("number of rows in the dose chart", 0, "1 or more")
        for row, following in pairwise(self.rows):
            _require_to_follow(row, following)

    def row_at(self, deck_c: float) -> DoseRow | None:
        """Return the row that holds at a deck temperature.

        Args:
            deck_c: temperature of the deck's surface, °C.

        Returns:
            The row, or None outside the chart, which means: do not mix. Nothing is extrapolated.

        >>> chart = DoseChart(
        ...     rows=(
        ...         DoseRow(
        ...             from_c=5,
        ...             to_c=13,
        ...             target_ml_per_kg=40,
        ...             lower_ml_per_kg=34,
        ...             upper_ml_per_kg=40,
        ...         ),
        ...     )
        ... )
        >>> chart.row_at(5.0).target_ml_per_kg, chart.row_at(13.0)
        (40, None)
        """
        for row in self.rows:
            if deck_c < row.to_c:
                return row if deck_c >= row.from_c else None
        last = self.rows[-1]
        return last if last.includes_to and deck_c == last.to_c else None


def _require_to_follow(row: DoseRow, following: DoseRow) -> None:
    end, start = f"{row.to_c:g}", f"{following.from_c:g}"
    quantity = f"start of the chart row after {row.from_c:g} to {end} °C"
    if following.from_c < row.from_c:
        asked = f"{end} °C: the rows run from the coldest to the warmest"
        raise DomainError(quantity, f"{start} °C", asked)
    if following.from_c < row.to_c:
        overlap = f"{end} °C: the chart's rows overlap from {start} to {end} °C"
        raise DomainError(quantity, f"{start} °C", overlap)
    if following.from_c > row.to_c:
        hole = f"{end} °C: the chart has a hole from {end} to {start} °C"
        raise DomainError(quantity, f"{start} °C", hole)
    if row.includes_to:
        both = f"a temperature of one row only: the chart's rows overlap at {end} °C"
        raise DomainError(quantity, f"{start} °C", both)


@dataclass(frozen=True, slots=True, kw_only=True)
class CatalystAdvice:
    """The catalyst to measure out for one mix.

    Attributes:
        target_ml: the volume to aim at, ml.
        lower_ml: the least accepted volume, ml.
        upper_ml: the greatest accepted volume, ml.
    """

    target_ml: float
    lower_ml: float
    upper_ml: float


def target_catalyst_ml(*, resin_kg: float, row: DoseRow) -> CatalystAdvice:
    """Return the catalyst for a mass of resin by a row of the chart.

    volume = resin * dose of the row, for the target and both ends of its band.

    Args:
        resin_kg: mass of resin or topcoat in the mix, kg, above nought.
        row: the chart's row at the deck temperature.

    Raises:
        DomainError: the mass is not above nought.

    Source: arithmetic; the dose is the chart's.

    >>> row = DoseRow(
    ...     from_c=16, to_c=20, target_ml_per_kg=20, lower_ml_per_kg=17, upper_ml_per_kg=23
    ... )
    >>> target_catalyst_ml(resin_kg=5.0, row=row)
    CatalystAdvice(target_ml=100.0, lower_ml=85.0, upper_ml=115.0)
    """
    require_positive("resin in the mix, kg", resin_kg)
    return CatalystAdvice(
        target_ml=resin_kg * row.target_ml_per_kg,
        lower_ml=resin_kg * row.lower_ml_per_kg,
        upper_ml=resin_kg * row.upper_ml_per_kg,
    )


def dose_ml_per_kg(*, catalyst_ml: float, resin_kg: float) -> float:
    """Return the dose of a mix.

    dose = catalyst / resin.

    Args:
        catalyst_ml: volume of catalyst, ml, nought or more: a forgotten catalyst is a dose of 0.
        resin_kg: mass of resin, kg, above nought.

    Raises:
        DomainError: a figure lies outside its range.

    Source: definition.

    >>> dose_ml_per_kg(catalyst_ml=100.0, resin_kg=5.0)
    20.0
    """
    require_not_negative("catalyst, ml", catalyst_ml)
    require_positive("resin, kg", resin_kg)
    return catalyst_ml / resin_kg


def dose_uncertainty_ml_per_kg(
    *, catalyst_ml: float, resin_kg: float, ml_uncertainty: float, kg_uncertainty: float
) -> float:
    """Return the uncertainty of a dose, expanded if those of volume and mass are.

    For d = V / m of independent V and m: U(d)^2 = (U(V) / m)^2 + (d U(m) / m)^2.

    Args:
        catalyst_ml: volume of catalyst, ml, nought or more.
        resin_kg: mass of resin, kg, above nought.
        ml_uncertainty: of the volume, ml, nought or more.
        kg_uncertainty: of the mass, kg, nought or more.

    Raises:
        DomainError: a figure lies outside its range.

    Source: JCGM 100:2008, 5.1.2 (clause number from memory).

    >>> round(
    ...     dose_uncertainty_ml_per_kg(
    ...         catalyst_ml=100.0, resin_kg=5.0, ml_uncertainty=3.0, kg_uncertainty=0.05
    ...     ),
    ...     3,
    ... )
    0.632
    """
    dose = dose_ml_per_kg(catalyst_ml=catalyst_ml, resin_kg=resin_kg)
    require_not_negative("uncertainty of the catalyst, ml", ml_uncertainty)
    require_not_negative("uncertainty of the resin, kg", kg_uncertainty)
    return hypot(ml_uncertainty, dose * kg_uncertainty) / resin_kg


def mass_pct(*, ml_per_kg: float, density_g_per_ml: float) -> float:
    """Return a dose as percent of catalyst by mass of resin.

    1 ml/kg of a catalyst of density d is d grams in 1000: percent = dose * d / 10.

    Args:
        ml_per_kg: the dose, ml/kg, nought or more.
        density_g_per_ml: the catalyst's density, g/ml, above nought.

    Raises:
        DomainError: a figure lies outside its range.

    Source: definition.

    >>> round(mass_pct(ml_per_kg=20.0, density_g_per_ml=1.18), 6)
    2.36
    """
    require_not_negative("dose, ml/kg", ml_per_kg)
    require_positive("density of the catalyst, g/ml", density_g_per_ml)
    return ml_per_kg * density_g_per_ml / 10.0


def ml_per_kg_from_mass_pct(*, mass_pct: float, density_g_per_ml: float) -> float:
    """Return percent of catalyst by mass of resin as a dose by volume.

    dose = 10 * percent / density; the inverse of `mass_pct`.

    Args:
        mass_pct: catalyst by mass of resin, %, nought or more.
        density_g_per_ml: the catalyst's density, g/ml, above nought.

    Raises:
        DomainError: a figure lies outside its range.

    Source: definition.

    >>> round(ml_per_kg_from_mass_pct(mass_pct=2.0, density_g_per_ml=1.18), 2)
    16.95
    """
    require_not_negative("catalyst by mass, %", mass_pct)
    require_positive("density of the catalyst, g/ml", density_g_per_ml)
    return 10.0 * mass_pct / density_g_per_ml
