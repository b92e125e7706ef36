"""Whole containers for a quantity: tins, bottles, rolls, boxes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, fsum

from qa.errors import DomainError
from qa.trade.domain import require_not_negative, require_positive

MOST_SIZES = 5
"""Most sizes that are tried against each other; no trade sells more. Project choice."""

_ROUNDING = 1e-9
"""Share of a container that is rounding and not material."""

_DEPTH = 8
"""How many of the larger containers may be given up for smaller ones. Project choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Container:
    """So many containers of one size.

    Attributes:
        size: content of one, in the unit of the material.
        count: how many, 1 or more.
    """

    size: float
    count: int

    @property
    def content(self) -> float:
        """Content of all of them."""
        return self.size * self.count


def litres(mass_kg: float, *, density_g_per_ml: float) -> float:
    """Return the volume of a mass of a liquid.

    volume = mass / density: 1 g/ml is 1 kg/l.

    Args:
        mass_kg: the mass, kg, nought or more.
        density_g_per_ml: the liquid's density, g/ml, above nought.

    Raises:
        DomainError: a figure lies outside its range.

    Source: definition.

    >>> round(litres(20.0, density_g_per_ml=1.13), 2)
    17.7
    """
    require_not_negative("mass of a liquid, kg", mass_kg)
    require_positive("density of a liquid, g/ml", density_g_per_ml)
    return mass_kg / density_g_per_ml


def containers_for(quantity: float, *, sizes: Sequence[float]) -> tuple[Container, ...]:
    """Return the containers that hold a quantity with the least left over.

    Of choices with the same content, the one of fewest containers counts.

    Args:
        quantity: what is needed, nought or more.
        sizes: contents that are sold, in the same unit, each above nought; 1 to 5 of them.

    Returns:
        The containers, the largest first; none for a quantity of nought.

    Raises:
        DomainError: a figure lies outside its range.

    Source: definition; all choices are tried that give up at most eight larger containers.

    >>> [(tin.count, tin.size) for tin in containers_for(34.0, sizes=(20.0, 10.0, 5.0))]
    [(1, 20.0), (1, 10.0), (1, 5.0)]
    >>> [(tin.count, tin.size) for tin in containers_for(34.0, sizes=(20.0,))]
    [(2, 20.0)]
    """
    require_not_negative("quantity to be contained", quantity)
    if not 1 <= len(sizes) <= MOST_SIZES:
        raise DomainError("number of container sizes", len(sizes), f"1 to {MOST_SIZES}")
    for size in sizes:
        require_positive("size of a container", size)
    ordered = tuple(sorted(set(sizes), reverse=True))
    counts = _fewest(quantity, ordered)
    pairs = zip(ordered, counts, strict=True)
    return tuple(Container(size=size, count=count) for size, count in pairs if count)


def _fewest(quantity: float, sizes: tuple[float, ...]) -> tuple[int, ...]:
    """Return how many of each size, the largest first."""
    size, *smaller = sizes
    most = max(0, ceil(quantity / size - _ROUNDING))
    if not smaller:
        return (most,)
    choices = []
    for count in range(max(0, most - _DEPTH), most + 1):
        rest = max(0.0, quantity - count * size)
        choices.append((count, *_fewest(rest, tuple(smaller))))
    return min(choices, key=lambda counts: (_content(counts, sizes), sum(counts)))


def _content(counts: tuple[int, ...], sizes: tuple[float, ...]) -> float:
    return round(fsum(n * size for n, size in zip(counts, sizes, strict=True)), 9)
