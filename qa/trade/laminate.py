"""Resin, glass and thickness of a hand-laid laminate of chopped strand mat.

The ratio "resin to glass 2.5 : 1" and the mass fraction of glass are two scales: 2.5 : 1 is
28.6 % glass, neither 25 % nor 40 %. Layers add; so do lengths of bandage.
"""

from __future__ import annotations

from qa.errors import DomainError
from qa.trade.domain import require_not_negative, require_positive


def fraction_from_ratio(*, resin_to_glass: float) -> float:
    """Return the mass fraction of glass at a ratio of resin to glass.

    fraction = 1 / (1 + ratio).

    Args:
        resin_to_glass: kg of resin per kg of glass, nought or more.

    Raises:
        DomainError: the ratio is negative or not finite.

    Source: definition.

    >>> round(fraction_from_ratio(resin_to_glass=2.5), 4)
    0.2857
    """
    require_not_negative("resin to glass, kg/kg", resin_to_glass)
    return 1.0 / (1.0 + resin_to_glass)


def ratio_from_fraction(*, glass_fraction: float) -> float:
    """Return the ratio of resin to glass at a mass fraction of glass.

    ratio = (1 - fraction) / fraction; the inverse of `fraction_from_ratio`.

    Args:
        glass_fraction: mass fraction of glass, above 0, at most 1.

    Raises:
        DomainError: the fraction lies outside its range.

    Source: definition.

    >>> round(ratio_from_fraction(glass_fraction=0.30), 4)
    2.3333
    """
    _require_fraction(glass_fraction)
    return (1.0 - glass_fraction) / glass_fraction


def glass_fraction(*, glass_kg: float, resin_kg: float) -> float:
    """Return the mass fraction of glass from what was laid.

    fraction = glass / (glass + resin). Resin that the deck drank is not in the laminate: take
    it off first.

    Args:
        glass_kg: mass of glass, kg or kg/m², above nought.
        resin_kg: mass of resin in the laminate, in the same unit, nought or more.

    Raises:
        DomainError: a figure lies outside its range.

    Source: definition.

    >>> round(glass_fraction(glass_kg=1.8, resin_kg=4.5), 4)
    0.2857
    """
    require_positive("glass, kg", glass_kg)
    require_not_negative("resin in the laminate, kg", resin_kg)
    return glass_kg / (glass_kg + resin_kg)


def resin_for_mat_kg_per_m2(*, mat_g_per_m2: float, resin_to_glass: float) -> float:
    """Return the resin that one layer of mat takes at a ratio of resin to glass.

    resin = mat * ratio.

    Args:
        mat_g_per_m2: mass of the mat, g/m², above nought.
        resin_to_glass: kg of resin per kg of glass, nought or more.

    Raises:
        DomainError: a figure lies outside its range.

    Source: definition.

    >>> round(resin_for_mat_kg_per_m2(mat_g_per_m2=450.0, resin_to_glass=2.5), 4)
    1.125
    """
    require_positive("mass of the mat, g/m²", mat_g_per_m2)
    require_not_negative("resin to glass, kg/kg", resin_to_glass)
    return mat_g_per_m2 * resin_to_glass / 1000.0


def resin_at_fraction_kg_per_m2(*, mat_g_per_m2: float, glass_fraction: float) -> float:
    """Return the resin that one layer of mat takes at a mass fraction of glass.

    resin = mat * (1 - fraction) / fraction.

    Args:
        mat_g_per_m2: mass of the mat, g/m², above nought.
        glass_fraction: mass fraction of glass, above 0, at most 1.

    Raises:
        DomainError: a figure lies outside its range.

    Source: definition.

    >>> round(resin_at_fraction_kg_per_m2(mat_g_per_m2=600.0, glass_fraction=0.25), 4)
    1.8
    """
    ratio = ratio_from_fraction(glass_fraction=glass_fraction)
    return resin_for_mat_kg_per_m2(mat_g_per_m2=mat_g_per_m2, resin_to_glass=ratio)


def thickness_mm(
    *,
    glass_kg_per_m2: float,
    resin_kg_per_m2: float,
    glass_g_per_cm3: float,
    resin_g_per_cm3: float,
) -> float:
    """Return the theoretical thickness of a laminate without voids.

    thickness = glass / density of glass + resin / density of cured resin: 1 kg/m² at 1 g/cm³
    is 1 mm. Layers add, so their glass and resin may be given together.

    Args:
        glass_kg_per_m2: glass, kg/m², above nought.
        resin_kg_per_m2: resin in the laminate, kg/m², nought or more.
        glass_g_per_cm3: density of the glass, g/cm³, above nought.
        resin_g_per_cm3: density of the cured resin, g/cm³, above nought.

    Raises:
        DomainError: a figure lies outside its range.

    Source: rule of mixtures. With 2.56 and 1.20 g/cm³ it is the form (2.56 / fraction - 1.36) /
    3.072 mm per kg/m² of glass of ISO 12215-5 (from memory; the two were found identical).

    >>> round(
    ...     thickness_mm(
    ...         glass_kg_per_m2=0.45,
    ...         resin_kg_per_m2=1.125,
    ...         glass_g_per_cm3=2.56,
    ...         resin_g_per_cm3=1.20,
    ...     ),
    ...     3,
    ... )
    1.113
    """
    require_positive("glass, kg/m²", glass_kg_per_m2)
    require_not_negative("resin in the laminate, kg/m²", resin_kg_per_m2)
    require_positive("density of the glass, g/cm³", glass_g_per_cm3)
    require_positive("density of the cured resin, g/cm³", resin_g_per_cm3)
    return glass_kg_per_m2 / glass_g_per_cm3 + resin_kg_per_m2 / resin_g_per_cm3


def glass_fraction_on_ignition(
    *, crucible_g: float, with_specimen_g: float, with_residue_g: float
) -> float:
    """Return the mass fraction of glass that a burnt-off specimen shows.

    fraction = (m3 - m1) / (m2 - m1), for a resin without filler.

    Args:
        crucible_g: m1, the crucible alone, g, nought or more.
        with_specimen_g: m2, crucible and dry specimen, g, above m1.
        with_residue_g: m3, crucible and residue, g, from m1 to m2.

    Raises:
        DomainError: a weighing lies outside its range.

    Source: ISO 1172, method A (formula from memory).

    >>> round(
    ...     glass_fraction_on_ignition(
    ...         crucible_g=25.1234, with_specimen_g=28.2460, with_residue_g=26.0602
    ...     ),
    ...     6,
    ... )
    0.300006
    """
    require_not_negative("crucible, g", crucible_g)
    require_positive("specimen, g", with_specimen_g - crucible_g)
    if not crucible_g <= with_residue_g <= with_specimen_g:
        weighings = f"{crucible_g:g} to {with_specimen_g:g}"
        raise DomainError("crucible with residue, g", with_residue_g, weighings)
    return (with_residue_g - crucible_g) / (with_specimen_g - crucible_g)


def bandage_area_m2(*, length_m: float, width_mm: float) -> float:
    """Return the area of a length of bandage.

    area = length * width.

    Args:
        length_m: total length of the strips, m, nought or more.
        width_mm: width of the strip, mm, above nought.

    Raises:
        DomainError: a figure lies outside its range.

    Source: definition.

    >>> round(bandage_area_m2(length_m=40.0, width_mm=75.0), 4)
    3.0
    """
    require_not_negative("length of bandage, m", length_m)
    require_positive("width of the bandage, mm", width_mm)
    return length_m * width_mm / 1000.0


def bandage_resin_kg(
    *, length_m: float, width_mm: float, bandage_g_per_m2: float, resin_to_glass: float
) -> float:
    """Return the resin that a length of bandage takes.

    resin = length * width * mass of the bandage * ratio. What the deck under it drinks comes
    on top.

    Args:
        length_m: total length of the strips, m, nought or more.
        width_mm: width of the strip, mm, above nought.
        bandage_g_per_m2: mass of the bandage, g/m², above nought.
        resin_to_glass: kg of resin per kg of glass, nought or more.

    Raises:
        DomainError: a figure lies outside its range.

    Source: definition.

    >>> round(
    ...     bandage_resin_kg(
    ...         length_m=40.0, width_mm=75.0, bandage_g_per_m2=450.0, resin_to_glass=2.5
    ...     ),
    ...     4,
    ... )
    3.375
    """
    area_m2 = bandage_area_m2(length_m=length_m, width_mm=width_mm)
    return area_m2 * resin_for_mat_kg_per_m2(
        mat_g_per_m2=bandage_g_per_m2, resin_to_glass=resin_to_glass
    )


def _require_fraction(fraction: float) -> None:
    if not 0.0 < fraction <= 1.0:
        raise DomainError("mass fraction of glass", fraction, "above 0 and at most 1")
