"""What was used, what should have been, and whether a lot adds up.

Resin that the deck drinks is reckoned apart from resin in the laminate, or the ratio of resin to
glass would cry wolf on every absorbent deck.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from qa.errors import DomainError
from qa.trade.domain import require_not_negative, require_positive
from qa.trade.laminate import resin_for_mat_kg_per_m2

_ROUNDING = 1e-9
"""Share of what was bought that is rounding and not material."""


def used_kg(
    *, opened_kg: float, drawn_kg: float = 0.0, returned_kg: float = 0.0, wasted_kg: float = 0.0
) -> float:
    """Return what went into the work from what left the store and what came back.

    used = opened + drawn - returned - wasted.

    Args:
        opened_kg: content of the containers opened for the work, kg, nought or more.
        drawn_kg: drawn from containers already open, kg, nought or more.
        returned_kg: weighed back, kg, nought or more.
        wasted_kg: set, spilt or thrown away, kg, nought or more.

    Raises:
        DomainError: a figure is negative, or more came back or was wasted than went out.

    Source: mass balance.

    >>> used_kg(opened_kg=40.0, drawn_kg=3.5, returned_kg=6.0, wasted_kg=1.5)
    36.0
    """
    require_not_negative("opened, kg", opened_kg)
    require_not_negative("drawn, kg", drawn_kg)
    require_not_negative("returned, kg", returned_kg)
    require_not_negative("wasted, kg", wasted_kg)
    taken_kg = opened_kg + drawn_kg
    used = taken_kg - returned_kg - wasted_kg
    if used < -_ROUNDING * taken_kg:
        went_out = f"{taken_kg:g} or less, which is what went out"
        raise DomainError("returned and wasted together, kg", returned_kg + wasted_kg, went_out)
    return max(used, 0.0)


def expected_laminate_resin_kg_per_m2(
    *, mat_g_per_m2: float, layers: int, resin_to_glass: float, deck_uptake_kg_per_m2: float
) -> float:
    """Return the resin that a square metre of laminate should take, deck included.

    expected = mat * layers * ratio + deck uptake.

    Args:
        mat_g_per_m2: mass of one layer of mat, g/m², above nought.
        layers: number of layers, 1 or more.
        resin_to_glass: kg of resin per kg of glass, nought or more.
        deck_uptake_kg_per_m2: resin that the deck drinks, kg/m², nought or more.

    Raises:
        DomainError: a figure lies outside its range.

    Source: definition; the figures are the specification's.

    >>> expected_laminate_resin_kg_per_m2(
    ...     mat_g_per_m2=450.0, layers=1, resin_to_glass=2.5, deck_uptake_kg_per_m2=0.375
    ... )
    1.5
    """
    if layers < 1:
        raise DomainError("number of layers of mat", layers, "1 or more")
    require_not_negative("deck uptake, kg/m²", deck_uptake_kg_per_m2)
    layer = resin_for_mat_kg_per_m2(mat_g_per_m2=mat_g_per_m2, resin_to_glass=resin_to_glass)
    return layer * layers + deck_uptake_kg_per_m2


def rate_kg_per_m2(kg: float, m2: float) -> float:
    """Return the consumption of an area.

    Args:
        kg: mass used, kg, nought or more.
        m2: net area, m², above nought.

    Raises:
        DomainError: a figure lies outside its range.

    Source: definition.

    >>> rate_kg_per_m2(30.0, 20.0)
    1.5
    """
    require_not_negative("used, kg", kg)
    require_positive("net area, m²", m2)
    return kg / m2


def rate_uncertainty_kg_per_m2(
    *, kg: float, m2: float, kg_uncertainty: float, m2_uncertainty: float
) -> float:
    """Return the expanded uncertainty of a consumption.

    For r = m / A of independent m and A: U(r)^2 = (U(m) / A)^2 + (m U(A) / A^2)^2.

    Args:
        kg: mass used, kg, nought or more.
        m2: net area, m², above nought.
        kg_uncertainty: expanded uncertainty of the mass (k = 2), kg, nought or more.
        m2_uncertainty: expanded uncertainty of the area (k = 2), m², nought or more.

    Raises:
        DomainError: a figure lies outside its range.

    Source: JCGM 100:2008, 5.1.2 (clause number from memory).

    >>> round(
    ...     rate_uncertainty_kg_per_m2(kg=30.0, m2=20.0, kg_uncertainty=0.6, m2_uncertainty=0.2), 4
    ... )
    0.0335
    """
    rate = rate_kg_per_m2(kg, m2)
    require_not_negative("uncertainty of the mass, kg", kg_uncertainty)
    require_not_negative("uncertainty of the area, m²", m2_uncertainty)
    return hypot(kg_uncertainty / m2, rate * m2_uncertainty / m2)


@dataclass(frozen=True, slots=True, kw_only=True)
class LotBalance:
    """Where one lot of material went, in the lot's own unit.

    Attributes:
        bought: quantity of the lot, above nought.
        used: went into the work, nought or more.
        wasted: set, spilt or thrown away, nought or more.
        returned: given back to the store, nought or more.
        left: counted or weighed on the job at the end, or None where nobody did.

    Raises:
        DomainError: a figure lies outside its range.

    >>> lot = LotBalance(bought=40.0, used=31.5, wasted=1.0, returned=5.0, left=2.0)
    >>> lot.left_by_book, lot.unaccounted, lot.is_overdrawn
    (2.5, 0.5, False)
    """

    bought: float
    used: float
    wasted: float = 0.0
    returned: float = 0.0
    left: float | None = None

    def __post_init__(self) -> None:
        require_positive("quantity bought", self.bought)
        require_not_negative("quantity used", self.used)
        require_not_negative("quantity wasted", self.wasted)
        require_not_negative("quantity returned", self.returned)
        if self.left is not None:
            require_not_negative("quantity left", self.left)

    @property
    def left_by_book(self) -> float:
        """What should be left: bought - used - wasted - returned; negative where overdrawn."""
        return self.bought - self.used - self.wasted - self.returned

    @property
    def is_overdrawn(self) -> bool:
        """Whether more of the lot went than was bought."""
        return self.left_by_book < -_ROUNDING * self.bought

    @property
    def unaccounted(self) -> float | None:
        """What is missing (positive) or too much (negative); None where nobody weighed."""
        return None if self.left is None else self.left_by_book - self.left
