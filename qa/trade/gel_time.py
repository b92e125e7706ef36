"""Gel time of a mix: an estimate, never a promise.

Leaflets give gel times at a few temperatures and doses only. A model that is linear in temperature
and in the logarithm of dose is fitted to such a table, and every answer carries a band. The true
time in a bucket also hangs on the mass, the bucket, the sun and the product.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp, fsum, log
from typing import Self

from qa.errors import DomainError
from qa.trade.domain import require_finite, require_positive


@dataclass(frozen=True, slots=True, kw_only=True)
class GelPoint:
    """One figure of a gel time table.

    Attributes:
        deck_c: temperature, °C.
        dose_ml_per_kg: dose of catalyst, ml/kg, above nought.
        gel_min: gel time, minutes, above nought.
    """

    deck_c: float
    dose_ml_per_kg: float
    gel_min: float

    def __post_init__(self) -> None:
        require_finite("temperature of a gel time, °C", self.deck_c)
        require_positive("dose of a gel time, ml/kg", self.dose_ml_per_kg)
        require_positive("gel time, min", self.gel_min)


@dataclass(frozen=True, slots=True, kw_only=True)
class GelDomain:
    """A range of temperature and a range of dose, ends included.

    Attributes:
        from_c: lowest temperature, °C.
        to_c: highest temperature, °C, above `from_c`.
        from_ml_per_kg: least dose, ml/kg, above nought.
        to_ml_per_kg: greatest dose, ml/kg, above `from_ml_per_kg`.
    """

    from_c: float
    to_c: float
    from_ml_per_kg: float
    to_ml_per_kg: float

    def __post_init__(self) -> None:
        require_finite("lowest temperature for a gel time, °C", self.from_c)
        require_finite("highest temperature for a gel time, °C", self.to_c)
        require_positive("least dose for a gel time, ml/kg", self.from_ml_per_kg)
        require_positive("greatest dose for a gel time, ml/kg", self.to_ml_per_kg)
        if self.to_c <= self.from_c:
            least = f"above {self.from_c:g}"
            raise DomainError("highest temperature for a gel time, °C", self.to_c, least)
        if self.to_ml_per_kg <= self.from_ml_per_kg:
            least = f"above {self.from_ml_per_kg:g}"
            raise DomainError("greatest dose for a gel time, ml/kg", self.to_ml_per_kg, least)

    def require_inside(self, deck_c: float, dose_ml_per_kg: float) -> None:
        """Raise `DomainError` unless temperature and dose lie in the ranges."""
        if not self.from_c <= deck_c <= self.to_c:
            temperatures = f"{self.from_c:g} to {self.to_c:g} for a gel time"
            raise DomainError("deck temperature, °C", deck_c, temperatures)
        if not self.from_ml_per_kg <= dose_ml_per_kg <= self.to_ml_per_kg:
            doses = f"{self.from_ml_per_kg:g} to {self.to_ml_per_kg:g} for a gel time"
            raise DomainError("dose, ml/kg", dose_ml_per_kg, doses)

    def spans_outside(self, deck_c: float, dose_ml_per_kg: float) -> float:
        """Return how many widths of the ranges a place lies outside them; 0 inside.

        Temperature counts in °C and dose in its logarithm; the two distances add.

        >>> table = GelDomain(from_c=15, to_c=20, from_ml_per_kg=10, to_ml_per_kg=20)
        >>> table.spans_outside(5.0, 40.0), table.spans_outside(15.0, 10.0)
        (3.0, 0.0)
        """
        colder, warmer = self.from_c - deck_c, deck_c - self.to_c
        leaner = log(self.from_ml_per_kg / dose_ml_per_kg)
        richer = log(dose_ml_per_kg / self.to_ml_per_kg)
        doublings = log(self.to_ml_per_kg / self.from_ml_per_kg)
        return (
            max(colder, warmer, 0.0) / (self.to_c - self.from_c)
            + max(leaner, richer, 0.0) / doublings
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class GelEstimate:
    """An estimated gel time with its band.

    Attributes:
        gel_min: the estimate, minutes.
        low_min: lower end of the band, minutes.
        high_min: upper end of the band, minutes.
        extrapolated: whether temperature or dose lies outside the table that was fitted.
    """

    gel_min: float
    low_min: float
    high_min: float
    extrapolated: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class GelModel:
    """ln(gel time) = intercept + per_k * temperature + per_ln_dose * ln(dose).

    Attributes:
        intercept: ln of minutes, at 0 °C and 1 ml/kg.
        per_k: change of ln(minutes) per K; negative, for a warmer mix gels sooner.
        per_ln_dose: change of ln(minutes) per unit of ln(dose); negative.
        half_band: half-width of the band in ln(minutes), inside the table.
        table: the ranges that the fitted points span.
        domain: the ranges in which an estimate is given at all.
    """

    intercept: float
    per_k: float
    per_ln_dose: float
    half_band: float
    table: GelDomain
    domain: GelDomain

    @classmethod
    def fit(cls, points: Sequence[GelPoint], *, domain: GelDomain, spread_ratio: float) -> Self:
        """Fit the model to a table by least squares of the logarithm of the gel time.

        The half-width of the band, in ln(minutes), is the largest residual of the fit plus
        ln(spread_ratio). The residuals alone would promise too much: a table of four points
        leaves about 1 %, while leaflets of two resins of one kind differ at the same temperature
        and dose by up to 41 / 28, a ratio of 1.46. Outside the table the band widens by its own
        width for each span of the table that is left behind, in temperature and in ln(dose).

        Args:
            points: three or more, not all on one line of temperature and ln(dose).
            domain: the ranges in which estimates are wanted.
            spread_ratio: gel time of one product over another's at the same place, 1 or more.

        Raises:
            DomainError: the points do not settle the model, or gel time would rise with
                temperature or dose, or the ratio is below 1.

        Source: least squares; form and band are choices of this project.

        >>> table = [
        ...     GelPoint(deck_c=c, dose_ml_per_kg=d, gel_min=t)
        ...     for c, d, t in ((15, 10, 74), (15, 20, 28), (20, 10, 48), (20, 20, 19))
        ... ]
        >>> wide = GelDomain(from_c=5, to_c=30, from_ml_per_kg=10, to_ml_per_kg=40)
        >>> model = GelModel.fit(table, domain=wide, spread_ratio=1.5)
        >>> round(model.per_k, 4), round(model.per_ln_dose, 3)
        (-0.0821, -1.37)
        """
        if not 1.0 <= spread_ratio < float("inf"):
            raise DomainError("spread of gel times between products", spread_ratio, "1 or more")
        intercept, per_k, per_ln_dose = _least_squares(points)
        if not (per_k < 0.0 and per_ln_dose < 0.0):
            slopes = f"{per_k:.3g} per K and {per_ln_dose:.3g} per ln(dose)"
            falling = "falling with both: a warmer or richer mix gels sooner"
            raise DomainError("change of ln(gel time) in the table", slopes, falling)
        residuals = (
            log(p.gel_min) - intercept - per_k * p.deck_c - per_ln_dose * log(p.dose_ml_per_kg)
            for p in points
        )
        return cls(
            intercept=intercept,
            per_k=per_k,
            per_ln_dose=per_ln_dose,
            half_band=max(map(abs, residuals)) + log(spread_ratio),
            table=_spanned_by(points),
            domain=domain,
        )

    def through(self, cup: GelPoint) -> Self:
        """Return the model moved so that it gives a gel time that was tried.

        The intercept moves by ln(tried / estimated), both slopes stay, and the table's ranges are
        widened to hold the trial: near it the band is that inside the table, and no wider.

        Args:
            cup: the gel time of a cup of the day's own resin and catalyst.

        Raises:
            DomainError: temperature or dose of the trial lies outside the model's domain.

        Source: one-point correction of the fitted model; a choice of this project.

        >>> table = [
        ...     GelPoint(deck_c=c, dose_ml_per_kg=d, gel_min=t)
        ...     for c, d, t in ((15, 10, 74), (15, 20, 28), (20, 10, 48), (20, 20, 19))
        ... ]
        >>> wide = GelDomain(from_c=5, to_c=30, from_ml_per_kg=10, to_ml_per_kg=40)
        >>> model = GelModel.fit(table, domain=wide, spread_ratio=1.5)
        >>> tried = model.through(GelPoint(deck_c=9, dose_ml_per_kg=40, gel_min=22))
        >>> [round(one.estimate(9.0, 40.0).low_min, 1) for one in (model, tried)]
        [4.7, 14.5]
        """
        estimated = self.estimate(cup.deck_c, cup.dose_ml_per_kg).gel_min
        table = self.table
        widened = GelDomain(
            from_c=min(table.from_c, cup.deck_c),
            to_c=max(table.to_c, cup.deck_c),
            from_ml_per_kg=min(table.from_ml_per_kg, cup.dose_ml_per_kg),
            to_ml_per_kg=max(table.to_ml_per_kg, cup.dose_ml_per_kg),
        )
        intercept = self.intercept + log(cup.gel_min / estimated)
        return replace(self, intercept=intercept, table=widened)

    def estimate(self, deck_c: float, dose_ml_per_kg: float) -> GelEstimate:
        """Return the estimated gel time of a mix with its band.

        Args:
            deck_c: deck temperature, °C, inside the model's domain.
            dose_ml_per_kg: dose, ml/kg, inside the model's domain.

        Raises:
            DomainError: temperature or dose lies outside the domain.

        Source: the fitted model; see `fit` for the band.

        >>> table = [
        ...     GelPoint(deck_c=c, dose_ml_per_kg=d, gel_min=t)
        ...     for c, d, t in ((15, 10, 74), (15, 20, 28), (20, 10, 48), (20, 20, 19))
        ... ]
        >>> wide = GelDomain(from_c=5, to_c=30, from_ml_per_kg=10, to_ml_per_kg=40)
        >>> gel = GelModel.fit(table, domain=wide, spread_ratio=1.5).estimate(15.0, 20.0)
        >>> round(gel.low_min), round(gel.gel_min), round(gel.high_min), gel.extrapolated
        (19, 28, 43, False)
        """
        self.domain.require_inside(deck_c, dose_ml_per_kg)
        outside = self.table.spans_outside(deck_c, dose_ml_per_kg)
        gel_min = exp(self.intercept + self.per_k * deck_c + self.per_ln_dose * log(dose_ml_per_kg))
        factor = exp(self.half_band * (1.0 + outside))
        return GelEstimate(
            gel_min=gel_min,
            low_min=gel_min / factor,
            high_min=gel_min * factor,
            extrapolated=outside > 0.0,
        )


def _spanned_by(points: Sequence[GelPoint]) -> GelDomain:
    return GelDomain(
        from_c=min(p.deck_c for p in points),
        to_c=max(p.deck_c for p in points),
        from_ml_per_kg=min(p.dose_ml_per_kg for p in points),
        to_ml_per_kg=max(p.dose_ml_per_kg for p in points),
    )


def _least_squares(points: Sequence[GelPoint]) -> tuple[float, float, float]:
    """Solve the normal equations about the means, which keeps their numbers small."""
    if len(points) < 3:
        raise DomainError("number of points in the gel time table", len(points), "3 or more")
    count = len(points)
    mean_c = fsum(p.deck_c for p in points) / count
    mean_dose = fsum(log(p.dose_ml_per_kg) for p in points) / count
    mean_gel = fsum(log(p.gel_min) for p in points) / count
    warmth = [p.deck_c - mean_c for p in points]
    dose = [log(p.dose_ml_per_kg) - mean_dose for p in points]
    gel = [log(p.gel_min) - mean_gel for p in points]
    cc, dd, cd = _dot(warmth, warmth), _dot(dose, dose), _dot(warmth, dose)
    determinant = cc * dd - cd * cd
    if not determinant > 1e-12 * cc * dd:
        needed = "spread over two temperatures and two doses at least, not along one line"
        raise DomainError("gel time table", "too narrow to fit", needed)
    cg, dg = _dot(warmth, gel), _dot(dose, gel)
    per_k = (cg * dd - dg * cd) / determinant
    per_ln_dose = (dg * cc - cg * cd) / determinant
    return mean_gel - per_k * mean_c - per_ln_dose * mean_dose, per_k, per_ln_dose


def _dot(left: Sequence[float], right: Sequence[float]) -> float:
    return fsum(a * b for a, b in zip(left, right, strict=True))
